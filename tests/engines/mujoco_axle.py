"""Teasel's live rear axle in motion in MuJoCo: every body, rigid link and force law of it written out again.

The chassis is the world. Rigid links are MuJoCo's own soft constraints; springs, stops, gas, dampers and torque links
are laws written here from what their parts' docstrings say, not the package's functions. The road carries each contact
point, fixed to the axle's body, by a linear spring that also pulls.
"""

# pyright: reportAttributeAccessIssue=false
# MuJoCo is an extension module without type stubs: the checker does not see its functions.
from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

import mujoco
import numpy as np

from axlewright.car.mechanism import Block, Values
from axlewright.parts import LOSS
from axlewright.parts.coil_spring import LOOSE_WIDTH
from axlewright.parts.drive_link import RESIDUAL, WIDTH
from axlewright.parts.stop import CONTACT_WIDTH, SECOND_WIDTH
from tests.engines.mujoco_block import Engine, engine

Law = Callable[[float, float], float]  # of extension m and its rate m/s -> tension N
WHEELS = ("LR", "RR")


class Push(NamedTuple):
    """What the outside does to one contact point, by time in s."""

    forward: Callable[[float], float]  # N
    road: Callable[[float], float]  # m


class Moved(NamedTuple):
    """Through time (T,)."""

    pitch: np.ndarray  # rad, nose down
    roll: np.ndarray  # rad, right side down
    height: np.ndarray  # m, of the axle's reference point
    tension: dict[str, np.ndarray]  # N, elastic links


def followed(
    block: Block,
    values: Values,
    contacts: Mapping[str, np.ndarray],
    loads: Mapping[str, float],
    rate: float,
    pushes: Mapping[str, Push],
    saved: np.ndarray,
    step: float,
) -> Moved:
    """The axle from rest through the saved times, which are whole numbers of steps of `step` s, from 0 on.

    loads: N that the road carries at each contact as drawn; rate N/m of each tyre.
    """
    marks = {name: ("axle", at) for name, at in contacts.items()}
    found = engine(block, "rear", values, marks, step=step)
    laws = {link.name: link_law(block, link.name, values) for link in block.links if link.terms}
    model, data = found.model, found.data

    def control(_: mujoco.MjModel, now: mujoco.MjData) -> None:
        for name, law in laws.items():
            now.actuator(name).ctrl[0] = -law(*_stretch(found, name))
        for name, push in pushes.items():
            now.actuator(f"{name}.x").ctrl[0] = push.forward(now.time)
            high = now.site(name).xpos[2] - contacts[name][2]
            now.actuator(f"{name}.z").ctrl[0] = loads[name] + rate * (push.road(now.time) - high)

    rows: list[tuple[float, ...]] = []
    mujoco.set_mjcb_control(control)
    try:
        for i, time in enumerate(saved):
            if i:
                mujoco.mj_step(model, data, round((time - saved[i - 1]) / step))
            mujoco.mj_fwdPosition(model, data)
            mujoco.mj_fwdVelocity(model, data)
            at, turn = found.place("axle")
            pulls = (law(*_stretch(found, name)) for name, law in laws.items())
            rows.append((-np.arcsin(turn[2, 0]), np.arctan2(turn[2, 1], turn[2, 2]), at[2], *pulls))
    finally:
        mujoco.set_mjcb_control(None)
    pitch, roll, height, *tensions = np.array(rows).T
    return Moved(pitch, roll, height, dict(zip(laws, tensions, strict=True)))


def _stretch(found: Engine, name: str) -> tuple[float, float]:
    tendon = found.data.tendon(name)
    return float(tendon.length[0]) - found.drawn[name], float(tendon.velocity[0])


def link_law(block: Block, name: str, values: Values) -> Law:
    """All that acts along one link of the rear copy."""
    link = next(link for link in block.links if link.name == name)
    path = f"rear.{name}"
    laws = []
    for term in link.terms:
        stated = {
            key.removeprefix(f"{path}.{term.name}."): float(value)
            for key, value in values.items()
            if key.startswith(f"{path}.{term.name}.") and np.ndim(value) == 0
        }
        laws.append((_TERMS[term.kind](stated), stated.get("loss", LOSS[term.kind])))
    damping = _damper(path, values) if link.damped else None

    def tension(extension: float, rate: float) -> float:
        total = sum(law(extension + loss * rate) for law, loss in laws)
        return total if damping is None else total + damping(rate)

    return tension


def _corner(x: float, width: float) -> float:
    """0 before a corner, x after it, a parabola from -width to width."""
    if x <= -width:
        return 0.0
    return x if x >= width else (x + width) ** 2 / (4.0 * width)


def _spring(p: Mapping[str, float]) -> Callable[[float], float]:
    """A coil spring that only pushes, far from coil bind."""
    return lambda e: -p["rate"] * _corner(p["set"] + p["seat"] - e, LOOSE_WIDTH)


def _stop(p: Mapping[str, float]) -> Callable[[float], float]:
    gap, sense = p["gap"] - p["packer"], p["sense"]

    def law(e: float) -> float:
        first = p["rate"] * _corner(sense * e - gap, CONTACT_WIDTH)
        return sense * (first + p["second_step"] * _corner(sense * e - gap - p["second_onset"], SECOND_WIDTH))

    return law


def _gas(p: Mapping[str, float]) -> Callable[[float], float]:
    return lambda e: -p["force"]


def _drive(p: Mapping[str, float]) -> Callable[[float], float]:
    """Solid up to the preload, then the spring, then its stop; a thousandth of solid while slack."""
    solid, soft = p["seat_rate"], p["rate"]
    corners = (0.0, p["preload"] / solid, p["preload"] / solid + p["travel"])
    steps = (solid - RESIDUAL * solid, soft - solid, solid - soft)

    def law(e: float) -> float:
        u = e + p["set"]
        pull = RESIDUAL * solid * u
        return pull + sum(rise * _corner(u - at, WIDTH) for at, rise in zip(corners, steps, strict=True))

    return law


def _brake(p: Mapping[str, float]) -> Callable[[float], float]:
    """Gas, and a bumper after its gap."""

    def law(e: float) -> float:
        pressed = -e - p["gap"]
        first = p["bumper_rate"] * _corner(pressed, CONTACT_WIDTH)
        return -(p["gas"] + first + p["second_step"] * _corner(pressed - p["second_onset"], SECOND_WIDTH))

    return law


_TERMS = {"coil_spring": _spring, "stop": _stop, "gas": _gas, "drive_link": _drive, "brake_link": _brake}


def _damper(path: str, values: Values) -> Callable[[float], float]:
    """Force against speed from its table, straight between entries and beyond the last."""

    def table(name: str) -> np.ndarray:
        at, clicks = (np.asarray(values[f"{path}.damping.{key}"]) for key in ("speed", "clicks"))
        rows = np.asarray(values[f"{path}.damping.{name}"]).reshape(len(clicks), len(at))
        now = float(np.asarray(values[f"{path}.damping.{name}_clicks"]))
        return np.array([np.interp(now, clicks, column) for column in rows.T])

    speeds = np.asarray(values[f"{path}.damping.speed"])
    closing, opening = table("compression"), table("rebound")

    def law(rate: float) -> float:
        force = opening if rate > 0.0 else closing
        past = max(abs(rate) - speeds[-1], 0.0)
        slope = (force[-1] - force[-2]) / (speeds[-1] - speeds[-2])
        return float(np.sign(rate) * (np.interp(abs(rate), speeds, force) + slope * past))

    return law
