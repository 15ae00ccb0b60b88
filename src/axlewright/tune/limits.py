"""How far a car can be pushed in each phase, and what one usable step of each adjuster does to that."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from axlewright.car.adjusters import Adjuster, adjusters_of
from axlewright.car.adjusters.setup import Setup, apply
from axlewright.car.schema import Car
from axlewright.solve.limit import Limit, limit
from axlewright.solve.phases import HeldPhase
from axlewright.solve.verbs import hold, machine_of
from axlewright.tune.adjust import freed, usable_moves
from axlewright.tune.choose import chosen_adjusters, chosen_phases


@dataclass(frozen=True)
class Limits:
    """Limits of a car."""

    car: str
    phases: tuple[HeldPhase, ...]
    limit: Limit
    adjusters: Mapping[str, Adjuster]  # those that have a usable step and act in a held state
    change: np.ndarray  # (adjusters, phases) m/s2 of margin for the step below, first order
    steps: Mapping[str, int]  # +1 the step up, -1 where there is only the one down


def limits(
    car: Car,
    *,
    phases: Sequence[str] | None = None,
    turns: Sequence[str] = ("left", "right"),
    setup: Setup | None = None,
    adjusters: Sequence[str] | None = None,
) -> Limits:
    """Walk to the limit of every phase, and differentiate it to every adjuster there.

    `setup` moves adjusters from where they are before that. Raises RequestError for a name that the car has not got.
    """
    every, held, now = adjusters_of(car), chosen_phases(car, phases, turns), dict(setup or {})
    chosen = [key for key in chosen_adjusters(every, adjusters) if every[key].acts == "held"]
    at = limit(hold(car, held, now))
    steps, tried = {}, []
    for key in chosen:
        for way, step in zip((1, -1), usable_moves(every[key]), strict=True):
            if step.position is not None:
                steps[key] = way
                tried.append(now | {key: now.get(key, every[key].position) + step.position - every[key].position})
                break
    machine = machine_of(car)
    values, batch = apply(machine.values, freed(every, every), [now, *tried])
    packed = machine.parameters(values, batch)
    change = at.sensitivity(packed[:, 1:] - packed[:, :1]).reshape(-1, len(held))
    return Limits(car.name, held, at, {key: every[key] for key in steps}, change, steps)
