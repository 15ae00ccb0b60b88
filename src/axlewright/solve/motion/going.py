"""Runs a script: integration, what is seen, and a sentence where a member could not be followed to the end."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

import numpy as np

from axlewright.errors import RequestError
from axlewright.model.moving.parameters import WORK
from axlewright.model.moving.script import Script, Surface
from axlewright.model.moving.seen import SeenNow
from axlewright.model.vectors import Array
from axlewright.solve.machine import threads
from axlewright.solve.motion.integrate import Method
from axlewright.solve.motion.mover import SIZES, Mover, integration, mover_of
from axlewright.solve.motion.run import Kind, Run, Seen
from axlewright.solve.solved import Solved

TOLERANCE = 1e-3  # of the small changes in `integrate`: micrometres and microradians a step
SAMPLES = (401, 2001)  # saved moments a run: each is one more compilation


class Event(NamedTuple):
    """What was done."""

    words: str
    kind: Kind
    begins: float = 0.0  # s
    swept: tuple[float, float] | None = None  # Hz


def times(duration: float, interval: float = 0.005) -> np.ndarray:
    """Saved moments (T,) of a run, no farther apart than asked: as many as some compiled function saves."""
    wanted = duration / interval + 1
    count = next((n for n in SAMPLES if n >= wanted - 1e-9), None)
    if count is None:
        raise RequestError(
            f"a run of {duration:g} s seen every {interval * 1e3:g} ms has {wanted:.0f} moments, the most is "
            f"{SAMPLES[-1]}: make it shorter or look less often"
        )
    return np.linspace(0.0, duration, count)


def go(
    held: Solved,
    moving: np.ndarray,
    script: Script,
    surface: Surface,
    saved: np.ndarray,
    *,
    cars: Sequence[str],
    event: Event,
    start: np.ndarray | None = None,
    method: Method = "explicit",
    tolerance: float = TOLERANCE,
    fixed: bool = False,
) -> Run:
    """Follow B held states through the saved times.

    moving: packed parameters of motion (n, B) or (n, 1); `start` packed states (n, B) where it is not the held one.
    All members of a call of the compiled function share their steps; one that stops is gone through again by itself,
    so that it takes no other with it.
    """
    mover = mover_of(held.machine)
    batch = held.batch
    begin = mover.start(held, moving)[0] if start is None else start
    arrays = [held.car, moving, mover.going.script.pack(script), begin]
    wide = [np.broadcast_to(a, (a.shape[0], batch)) for a in arrays]
    states, counts = _integrated(mover, wide, saved, surface, method, tolerance, fixed)
    good = np.isfinite(states).all(axis=(0, 1))
    if not good.all() and batch > 1:
        for i in np.flatnonzero(~good):
            alone = [a[:, i : i + 1] for a in wide]
            states[:, :, i : i + 1], one = _integrated(mover, alone, saved, surface, method, tolerance, fixed)
            counts[2, i], counts[3, i] = one[2, 0], one[3, 0]
    ended = counts[3].astype(int)
    sentences = tuple(
        _why(mover, [a[:, i : i + 1] for a in wide], surface, saved, states[:, :, i], float(counts[2, i]))
        if code
        else ""
        for i, code in enumerate(ended)
    )
    seen = watch(mover, wide[0], wide[1], wide[2], surface, saved, states, held)
    return Run(
        tuple(cars), saved, seen, ended, sentences, held, event.words, event.kind, event.begins, event.swept,
        int(counts[:2, 0].sum()),
    )  # fmt: skip


def _integrated(mover: Mover, wide, saved, surface, method, tolerance, fixed) -> tuple[np.ndarray, np.ndarray]:  # noqa: ANN001
    """States (T, n, B) and counts (4, B) of a batch of any size."""
    batch = wide[0].shape[1]
    size = next((n for n in SIZES if n >= batch), SIZES[-1]) if method == "explicit" else 1
    run = integration(mover.going, len(surface.height), len(saved), size, method, fixed)

    def one(first: int) -> tuple[np.ndarray, np.ndarray]:
        chunk = [a[:, first : first + size] for a in wide]
        missing = size - chunk[0].shape[1]
        full = [np.ascontiguousarray(np.concatenate([c, np.repeat(c[:, -1:], missing, axis=1)], axis=1)) for c in chunk]
        states, counts = run(*full, saved, np.array([tolerance]), *surface)
        kept = size - missing
        return np.array(states)[:, :, :kept], np.repeat(np.array(counts)[:, None], kept, axis=1)

    found = list(threads().map(one, range(0, batch, size))) if batch > size else [one(0)]
    return np.concatenate([f[0] for f in found], axis=2), np.concatenate([f[1] for f in found], axis=1)


def _why(
    mover: Mover, one: list[np.ndarray], surface: Surface, saved: np.ndarray, states: np.ndarray, reached: float
) -> str:
    """When a member stopped, and which part moved most violently just before."""
    whole = np.flatnonzero(np.isfinite(states).all(axis=1))
    last = int(whole[-1]) if len(whole) else 0
    now = mover.watch(one[0], one[1], one[2], surface, saved[last : last + 1], np.nan_to_num(states[last][:, None]))
    worst, name = 0.0, "the chassis"
    for block, at in zip(mover.machine.topology.blocks, now.blocks, strict=True):
        speed = np.abs(np.asarray(at.extension_rate))[:, :, 0]
        for link, copy in np.argwhere(speed == speed.max())[:1] if speed.size else []:
            if speed[link, copy] > worst:
                worst, name = float(speed[link, copy]), f"{block.block.copies[copy]}.{block.elastic[link]}"
    return (
        f"too violent to follow: the steps became too small at {reached:.4f} s, where {name} was the fastest part, at "
        f"{worst:.2f} m/s; ask for less, or for a slower ramp"
    )


def watch(
    mover: Mover,
    car: np.ndarray,
    moving: np.ndarray,
    script: np.ndarray,
    surface: Surface,
    saved: np.ndarray,
    states: np.ndarray,
    held: Solved,
) -> Seen:
    """What is seen of states (T, n, B); NaN where a member had stopped."""
    count, _, batch = states.shape
    flat = states.transpose((1, 0, 2)).reshape((states.shape[1], count * batch))
    cars, extras, scripts = (np.tile(a, (1, count)) for a in (car, moving, script))
    gone = ~np.isfinite(flat).all(axis=0)
    found = mover.watch(cars, extras, scripts, surface, np.repeat(saved, batch), np.where(gone, states[0][:, :1], flat))
    rest = held if held.rest is None else held.rest

    def shaped(a: Array) -> np.ndarray:
        wide = np.where(gone, np.nan, np.asarray(a))
        return np.moveaxis(wide.reshape((*wide.shape[:-1], count, batch)), -2, 0)

    return _named(mover, found, shaped, rest, batch)


def _named(mover: Mover, found: SeenNow, shaped: Callable[[Array], np.ndarray], rest: Solved, batch: int) -> Seen:
    topology = mover.machine.topology
    by_link: dict[str, dict[str, np.ndarray]] = {
        name: {}
        for name in ("tension", "extension", "extension_rate", "damper_push", "wind_up", "wind_up_rate", "ends")
    }
    for i, (block, at) in enumerate(zip(topology.blocks, found.blocks, strict=True)):
        tables = (
            ("tension", block.links, at.tension),
            ("extension", block.elastic, at.extension),
            ("extension_rate", block.elastic, at.extension_rate),
            ("damper_push", [block.elastic[k] for k in block.damped], at.damper_push),
        )
        for name, links, values in tables:
            full = shaped(values)
            for k, link in enumerate(links):
                for c, copy in enumerate(block.block.copies):
                    by_link[name][f"{copy}.{link}"] = full[:, k, c]
        points = shaped(at.points)
        for k, link in enumerate(block.links):
            for c, copy in enumerate(block.block.copies):
                by_link["ends"][f"{copy}.{link}"] = points[:, :, [k, k + len(block.links)], c]
        if block.n_wheels > 1:
            pitch, rate = shaped(at.pitch), shaped(at.pitch_rate)
            motion = np.asarray(rest.unknowns.local[i])
            for k, body in enumerate(block.block.bodies):
                path = f"{block.block.copies[0]}.{body}"
                at_rest = _pitch(motion[6 * k + 3 : 6 * k + 6, 0])
                by_link["wind_up"][path] = np.broadcast_to(at_rest, (batch,)) - pitch[:, k, 0]
                by_link["wind_up_rate"][path] = -rate[:, k, 0]
    car = {name: shaped(value) for name, value in found.car._asdict().items() if name not in ("stored", "work")}
    stored, work = shaped(found.car.stored), shaped(found.car.work)
    energy = dict(zip(("kinetic", "weight", "elastic"), (stored[:, k] for k in range(3)), strict=True))
    energy |= dict(zip(WORK, (work[:, k] for k in range(len(WORK))), strict=True))
    wheels = {name: shaped(value) for name, value in found.wheels._asdict().items()}
    fields: dict[str, Any] = {**car, **wheels, **by_link, "energy": energy}
    return Seen(**fields)


def _pitch(r: np.ndarray) -> np.ndarray:
    """Nose-down pitch of a Cayley vector (3, B), rad."""
    q = 0.25 * (r * r).sum(axis=0)
    return -np.arcsin((0.5 * r[2] * r[0] - r[1]) / (1.0 + q))
