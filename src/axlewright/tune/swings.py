"""Modes of a car in its phases and along an adjuster, told apart by what moves."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from axlewright.car.adjusters import adjusters_of
from axlewright.car.adjusters.setup import Setup
from axlewright.car.schema import Car
from axlewright.car.schema.phases import Phase
from axlewright.errors import RequestError, known
from axlewright.solve.motion.events import Ready, ready
from axlewright.solve.motion.modes import Mode, linear, modes_of
from axlewright.solve.motion.piston_speed import at_piston_speed
from axlewright.solve.phases import demand_of, held_phases

STANDING = "standing"
SWINGS = (
    "heave",
    "pitch",
    "roll",
    "front hop",
    "front tramp",
    "rear hop",
    "rear tramp",
    "wind-up",
    "yaw",
    "wheel spin",
)
LEAST_SHARE = 0.08  # of the kinetic energy, below which a movement is not named
PEOPLE = 40.0  # Hz: faster swings are not felt as such
FINE = 33  # positions along an adjuster at most


@dataclass(frozen=True)
class Swings:
    """Modes of one held state."""

    state: str
    at: Ready
    modes: tuple[Mode, ...]

    def named(self) -> dict[str, Mode]:
        """The swing that each kind of movement has the largest share in; each mode under one name."""
        left = [mode for mode in self.modes if mode.frequency > 0.0 and mode.natural < PEOPLE]
        found: dict[str, Mode] = {}
        pairs = [(mode.shares.get(name, 0.0), i, name) for i, mode in enumerate(left) for name in SWINGS]
        taken: set[int] = set()
        for share, i, name in sorted(pairs, reverse=True):
            if share >= LEAST_SHARE and name not in found and i not in taken:
                found[name] = left[i]
                taken.add(i)
        return {name: found[name] for name in SWINGS if name in found}


def swings(
    car: Car,
    setup: Setup | None = None,
    *,
    phases: Sequence[str] = (),
    turns: Sequence[str] = ("left",),
    piston_speed: float | None = None,
    progress: Callable[[str, int, int], None] = lambda *_: None,
) -> list[Swings]:
    """Standing, then every phase (or those named) as it is held; dampers at a piston speed in m/s if one is given."""
    known("phase", [p for p in phases if p != STANDING], [phase.name for phase in car.phases])
    chosen = [
        (p, t) for p, t in held_phases(car.phases) if (not phases or p.name in phases) and t in (*turns, "straight")
    ]
    states: list[tuple[str, tuple[Phase, str] | None]] = []
    if not phases or STANDING in phases:
        states.append((STANDING, None))
    states += [(held[0].name if held[1] == "straight" else f"{held[0].name}, {held[1]}", held) for held in chosen]
    found = []
    for i, (name, held) in enumerate(states):
        progress(f"modes: {name}", i, len(states))
        at = ready(car, [setup or {}], None if held is None else demand_of([held]))
        at = at if piston_speed is None else at_piston_speed(at, piston_speed)
        found.append(Swings(name, at, tuple(modes_of(at, linear(at)))))
    return found


@dataclass(frozen=True)
class Along:
    """How swings change along an adjuster."""

    adjuster: str
    positions: np.ndarray  # (P,)
    frequency: dict[str, np.ndarray]  # (P,) Hz
    damping: dict[str, np.ndarray]  # (P,)


def along(
    car: Car,
    adjuster: str,
    *,
    phase: str = STANDING,
    turn: str = "left",
    piston_speed: float | None = None,
    setup: Setup | None = None,
) -> Along:
    """Frequency and damping ratio of each swing over the range of an adjuster, in one state."""
    adjusters = adjusters_of(car)
    known("adjuster", [adjuster], adjusters)
    a = adjusters[adjuster]
    count = int(min(np.floor((a.hi - a.lo) / a.step + 1e-9) + 1, FINE))
    if count < 2:
        raise RequestError(f"{a.name} has one position: there is nothing to go along")
    positions = np.linspace(a.lo, a.hi, count)
    found = []
    for position in positions:
        moved = {**(setup or {}), adjuster: float(position)}
        try:
            found.append(swings(car, moved, phases=[phase], turns=[turn], piston_speed=piston_speed)[0].named())
        except RequestError:
            found.append({})
    names = [name for name in SWINGS if any(name in one for one in found)]
    take = lambda name, what: np.array([getattr(one[name], what) if name in one else np.nan for one in found])  # noqa: E731
    return Along(adjuster, positions, {n: take(n, "frequency") for n in names}, {n: take(n, "damping") for n in names})
