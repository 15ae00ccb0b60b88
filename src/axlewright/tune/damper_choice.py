"""What dampers should do: a force-velocity curve from damping ratios, the clicks nearest to it, and the rates that keep
tyre loads evenest on a rough road.

Critical damping of an end is taken at the wheel, c = 2 sqrt(k m) of its wheel rate and the sprung mass on that wheel
(any text on vibration); a damper's own rate is that over its motion ratio squared, the ratio from the linkage.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from axlewright.car.adjusters import adjusters_of
from axlewright.car.schema import Car
from axlewright.errors import RequestError
from axlewright.model.topology import BlockTopology
from axlewright.parts.elastic import tension
from axlewright.readings.ride import sprung_mass, wheel_rate
from axlewright.road.rough import CLASSES, LONGEST, REFERENCE, SHORTEST, coherence
from axlewright.solve.motion.events import Ready, cruising, ready
from axlewright.solve.motion.modes import Linear, linear
from axlewright.solve.motion.piston_speed import rate_at, unpacked, with_rates
from axlewright.solve.verbs import rest
from axlewright.tune.hop_margin import G

SPEEDS = (0.0, 0.05, 0.25, 1.0)  # m/s of a proposed curve
KNEE = 0.05  # m/s, where body control ends and wheel control begins: common practice, no source
REBOUND = 0.6  # share of rebound in compression + rebound: common practice, no source
ENDS = ("front", "rear")
STEPS = 60  # frequencies of a load spectrum


@dataclass(frozen=True)
class EndDamping:
    """Dampers of one end, at one wheel."""

    end: str
    motion_ratio: float  # damper movement over wheel movement, both wheels alike
    wheel_rate: float  # N/m
    sprung_mass: float  # kg
    critical: float  # N s/m at the damper

    @property
    def static_deflection(self) -> float:
        """Weight over wheel rate, m."""
        return self.sprung_mass * G / self.wheel_rate

    def ratio(self, rate: float) -> float:
        """Damping ratio that a damper's rate in N s/m gives the body on a stiff tyre."""
        return rate / self.critical


def _dampers(block: BlockTopology) -> list[int]:
    """Damped links of a block that carry a spring's line, not a torque link's: indices into `damped`."""
    return [k for k, i in enumerate(block.damped) if "brake_link" not in block.elastic[i]]


def end_damping(car: Car) -> dict[str, EndDamping]:
    """Each end of a car as it stands."""
    standing = rest(car)
    at = ready(car, None)
    about = linear(at)
    found = {}
    for end in ENDS:
        ratio = _motion_ratio(at, about, end)
        rate, mass = float(wheel_rate(standing, end)[0]), float(sprung_mass(standing, end)[0])
        found[end] = EndDamping(end, ratio, rate, mass, 2.0 * np.sqrt(rate * mass) / ratio**2)
    return found


def _motion_ratio(at: Ready, about: Linear, end: str) -> float:
    """How fast a damper shortens for each m/s that both wheels of an end rise in the chassis, from the linkage.

    Of all movements that the linkage allows, that with both wheels of the end rising alike and nothing else.
    """
    topology = at.mover.machine.topology
    index = next(i for i, block in enumerate(topology.blocks) if block.block.rear == (end == "rear"))
    block, packing = topology.blocks[index], at.mover.going.state
    places = packing.unpack(np.arange(packing.size)[:, None])
    rows = places.rate[index][..., 0]  # (motions, c)
    first = sum(len(b.damped) * b.n_copies for b in topology.blocks[:index])
    wheel_count = len(topology.mechanism.wheels)
    outputs = about.c[wheel_count:]
    own = np.zeros(packing.size, dtype=bool)
    own[rows.ravel()] = True
    columns = np.flatnonzero(np.any(np.abs(about.basis[own]) > 0, axis=0))
    centres = np.asarray(at.held.parameters.blocks[index].wheels.centre)[..., 0]
    reference = np.asarray(at.held.parameters.blocks[index].body_at)[..., 0]
    rises = []
    for c in range(block.n_copies):
        for w, frame in enumerate(block.wheel_frames):
            k = frame - 1
            arm = centres[:, w, c] - reference[:, k, c]
            moves = about.basis[rows[6 * k : 6 * k + 6, c]][:, columns]
            rises.append(moves[2] + arm[1] * moves[3] - arm[0] * moves[4])
    rises = np.array(rises)  # (wheels, columns)
    push = np.linalg.pinv(rises) @ np.ones(len(rises))
    damped = _dampers(block)
    lengthening = [
        outputs[first + k * block.n_copies + c, columns] @ push for k in damped for c in range(block.n_copies)
    ]
    return float(np.mean(np.abs(lengthening)))


def damper_rates(car: Car, speed: float = KNEE) -> dict[str, float]:
    """Mean rate of compression and rebound of each end's dampers at a piston speed, N s/m."""
    at = ready(car, None)
    found = {}
    for block, moving in zip(at.mover.machine.topology.blocks, unpacked(at).blocks, strict=True):
        chosen = _dampers(block)
        if chosen:
            rate = rate_at(moving.damping, speed)
            found["rear" if block.block.rear else "front"] = float(rate[chosen].mean())
    return found


@dataclass(frozen=True)
class Curve:
    """A proposed force-velocity curve of one damper."""

    speed: tuple[float, ...]  # m/s
    compression: tuple[float, ...]  # N
    rebound: tuple[float, ...]  # N, as magnitudes


def propose(end: EndDamping, *, body: float = 0.6, wheel: float = 0.3) -> Curve:
    """A curve that gives the body the ratio `body` up to 50 mm/s and falls to a slope of `wheel` beyond it."""
    for name, ratio in (("body", body), ("wheel", wheel)):
        if not 0.0 < ratio < 3.0:
            raise RequestError(
                f"a damping ratio of {ratio:g} for the {name}; expected one between 0 and 3, such as 0.6"
            )
    slow, fast = body * end.critical, wheel * end.critical
    both = [2.0 * (slow * min(v, KNEE) + fast * max(v - KNEE, 0.0)) for v in SPEEDS]
    return Curve(SPEEDS, tuple((1.0 - REBOUND) * f for f in both), tuple(REBOUND * f for f in both))


def nearest_clicks(car: Car, end: str, curve: Curve) -> dict[str, tuple[float, float]]:
    """Setting of each click adjuster of an end's dampers nearest to a curve, and how far off it stays, N (rms)."""
    adjusters = adjusters_of(car)
    found = {}
    for way, sign in (("compression", -1.0), ("rebound", 1.0)):
        key = f"damper_{end}_{way}"
        if key not in adjusters:
            continue
        a = adjusters[key]
        positions = np.arange(a.lo, a.hi + 0.5 * a.step, 1.0)
        at = ready(car, [{key: float(p)} for p in positions])
        index = next(i for i, b in enumerate(at.mover.machine.topology.blocks) if b.block.rear == (end == "rear"))
        law = unpacked(at).blocks[index].damping
        one = np.ones_like(np.asarray(law.stiffness))
        chosen = _dampers(at.mover.machine.topology.blocks[index])[0]
        forces = np.stack([np.abs(tension(law, sign * v * one))[chosen, 0] for v in curve.speed[1:]])
        asked = np.array(getattr(curve, way)[1:])[:, None]
        off = np.sqrt(((forces - asked) ** 2).mean(axis=0))
        found[key] = float(positions[np.argmin(off)]), float(off.min())
    return found


def load_variation(at: Ready, about: Linear, *, grade: str = "B", speed: float = 30.0) -> np.ndarray:
    """Root mean square of each tyre's load over its held load on an ISO 8608 road, small movements, (W,)."""
    if grade.upper() not in CLASSES:
        raise RequestError(f'road class "{grade}"; expected one of {", ".join(CLASSES)} (ISO 8608)')
    n = np.geomspace(1.0 / LONGEST, 1.0 / SHORTEST, STEPS)
    density = CLASSES[grade.upper()] * (n / REFERENCE) ** -2.0
    centre = at.held.wheel_parameter("centre")[:, :, 0]
    wheels = centre.shape[1]
    h = about.response(speed * n)[:, :wheels] * np.exp(2j * np.pi * n[:, None] * (centre[0] - centre[0].max()))[:, None]
    left = centre[1] > 0.0
    by_left, by_right = h[:, :, left].sum(axis=2), h[:, :, ~left].sum(axis=2)
    together = coherence(n, float(np.ptp(centre[1])))[:, None]
    power = np.abs(by_left) ** 2 + np.abs(by_right) ** 2 + 2.0 * together * (by_left * by_right.conj()).real
    total = np.trapezoid(power * density[:, None], n, axis=0)
    return np.sqrt(total) / about.outputs[:wheels]


@dataclass(frozen=True)
class Evenest:
    """Damping rates that keep tyre loads evenest."""

    rates: dict[str, float]  # end -> N s/m at the damper
    ratios: dict[str, float]  # end -> damping ratio of the body
    before: dict[str, float]  # end -> load variation now
    after: dict[str, float]


def evenest(car: Car, *, grade: str = "B", speed: float = 30.0, piston_speed: float = KNEE) -> Evenest:
    """Straight dampers with the least rms tyre load on a road class at a speed, end by end.

    Small movements about cruising; where the wheels lift or stops are met they are more. Each end's own load is made
    evenest with the other end's dampers as they are, twice round.
    """
    at = ready(car, None, cruising(speed))
    ends = end_damping(car)
    now = damper_rates(car, piston_speed)
    blocks = at.mover.machine.topology.blocks
    rates = [rate_at(moving.damping, piston_speed) for moving in unpacked(at).blocks]

    def variation(values: list[np.ndarray]) -> np.ndarray:
        set_to = with_rates(at, values)
        return load_variation(set_to, linear(set_to), grade=grade, speed=speed)

    def with_end(values: list[np.ndarray], end: str, rate: float) -> list[np.ndarray]:
        out = []
        for block, one in zip(blocks, values, strict=True):
            changed = one.copy()
            if ("rear" if block.block.rear else "front") == end:
                changed[_dampers(block)] = rate
            out.append(changed)
        return out

    before = variation(rates)
    best = dict(now)
    for _ in range(2):
        for end, wheels in zip(ENDS, (slice(0, 2), slice(2, 4)), strict=True):
            if end not in now:
                continue
            tried = ends[end].critical * np.geomspace(0.05, 1.5, 15)
            values = [variation(with_end(rates, end, c))[wheels].mean() for c in tried]
            best[end] = _least(tried, np.array(values))
            rates = with_end(rates, end, best[end])
    after = variation(rates)
    by_end = lambda v: {end: float(v[s].mean()) for end, s in zip(ENDS, (slice(0, 2), slice(2, 4)), strict=True)}  # noqa: E731
    ratios = {end: ends[end].ratio(rate) for end, rate in best.items()}
    return Evenest(best, ratios, by_end(before), by_end(after))


def _least(x: np.ndarray, y: np.ndarray) -> float:
    """Place of the least value, by a parabola through it and its neighbours in log x."""
    k = int(np.clip(np.argmin(y), 1, len(x) - 2))
    a, b, c = np.polyfit(np.log(x[k - 1 : k + 2]), y[k - 1 : k + 2], 2)
    del c
    inside = np.clip(-b / (2.0 * a) if a > 0 else np.log(x[k]), np.log(x[k - 1]), np.log(x[k + 1]))
    return float(np.exp(inside))
