"""The car in motion: two seconds after a torque hit, batches of setups, modes; and how cost grows with stiffness.

Charts of both growths: `python -m benchmarks.motion FOLDER`.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np

from axlewright import load
from axlewright.draw.axis import Axis
from axlewright.draw.curves import Curve, curves
from axlewright.road import level
from axlewright.solve.motion.events import Ready, control, cruising, ready, script
from axlewright.solve.motion.going import TOLERANCE, Event, go, times
from axlewright.solve.motion.integrate import Method
from axlewright.solve.motion.modes import modes
from axlewright.solve.motion.roads import surface_of
from axlewright.solve.motion.run import Run
from benchmarks.timing import Measurement, times_of

REPEATS = 5
SECONDS, TORQUE = 2.0, 1800.0
BATCHES = (1, 8, 32, 64)
STIFFER = (0.3, 1.0, 3.0, 10.0, 30.0)  # times the rate of the drive link's seat


def hit(at: Ready, method: Method = "explicit", seconds: float = SECONDS) -> Run:
    """A torque hit from a held beginning."""
    moments = ((0.0, at.engine), (0.1, at.engine), (0.12, TORQUE), (60.0, TORQUE))
    done = script(at, engine=control(at.batch, *moments))
    return go(
        at.held, at.moving, done, surface_of(level()), times(seconds), cars=at.cars,
        event=Event("hit", "drive", 0.1), method=method, tolerance=TOLERANCE,
    )  # fmt: skip


def setups(count: int) -> list[dict[str, float]]:
    """As many setups, each with another preload."""
    return [{"drive_preload": float(p)} for p in np.linspace(500.0, 2500.0, count)] if count > 1 else [{}]


def stiffer(at: Ready, factor: float) -> Ready:
    """The beginning with a drive link's seat so many times as stiff, and its preload where it was."""
    packing = at.mover.going.form.car
    car = packing.unpack(at.held.car)
    block = car.blocks[1]
    row = next(
        i for i, (_, _, term) in enumerate(at.mover.machine.topology.blocks[1].terms) if term.kind == "drive_link"
    )
    step = np.array(block.elastic.step)
    step[0, row] *= factor
    blocks = (car.blocks[0], block._replace(elastic=block.elastic._replace(step=step)))
    return replace(at, held=replace(at.held, car=packing.pack(car._replace(blocks=blocks))))


def measure() -> Iterator[Measurement]:
    """All of it, on as many cores as the process may use."""
    car = load("teasel")
    alone = ready(car, None, cruising(15.0))
    single = None
    for count in BATCHES:
        at = ready(car, setups(count), cruising(15.0))
        run = hit(at)
        taken = times_of(partial(hit, at), repeats=REPEATS)
        single = single or min(taken)
        asked = 1.0 if count == 1 else 10.0 * single if count == BATCHES[-1] else None
        name = f"{SECONDS:g} s after a torque hit, {count} setup{'s' if count > 1 else ''}"
        yield Measurement(name=name, times=taken, members=count, found=f"{run.steps} steps", limit=asked)
    for factor in STIFFER:
        at = stiffer(alone, factor)
        run = hit(at)
        found = f"{run.steps} steps{', stopped' if run.ended.any() else ''}"
        name = f"the same, drive link's seat {factor:g} x as stiff"
        yield Measurement(
            name=name,
            times=times_of(partial(hit, at), repeats=3),
            found=found,
        )
    hit(alone, "implicit", 0.4)
    ways: tuple[Method, ...] = ("explicit", "implicit")
    for method in ways:
        run = hit(alone, method, 0.4)
        taken = times_of(partial(hit, alone, method, 0.4), repeats=3)
        yield Measurement(name=f"0.4 s of it, {method}", times=taken, found=f"{run.steps} steps")
    modes(alone)
    yield Measurement(
        name="modes of a cruising car", times=times_of(partial(modes, alone), repeats=20),
        found=f"{len(modes(alone))} modes", limit=0.020,
    )  # fmt: skip


def main() -> None:
    """Draw cost against batch and against stiffness to a folder."""
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else ".")
    found = {it.name: it for it in measure()}
    batch = np.array([found[name].best for name in list(found)[: len(BATCHES)]])
    count = np.array(BATCHES, dtype=float)
    curves(
        [Curve("", count, 1e3 * batch / count)], folder / "batch.svg", x=Axis("setups in a batch"),
        y=Axis("time a setup", "ms", more="slower"), title="two seconds of the full car: time a setup",
    )  # fmt: skip
    rows = [it for name, it in found.items() if "as stiff" in name]
    steps = np.array([float(it.found.split()[0]) for it in rows])
    seat = "stiffness of the drive link's seat, times"
    curves(
        [Curve("", np.array(STIFFER), steps)], folder / "stiffness.svg", x=Axis(seat),
        y=Axis("steps of the integrator", more="slower"), title="two seconds of the full car: steps against stiffness",
    )  # fmt: skip


if __name__ == "__main__":
    main()
