"""What a person asked for by name: phases, adjusters, readings; a wrong name is told with the nearest right one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from axlewright.car.adjusters import PLACES, Adjuster, adjusters_of
from axlewright.car.schema import Car
from axlewright.errors import RequestError, known
from axlewright.readings import Reading, readings_of
from axlewright.solve.machine import Machine
from axlewright.solve.phases import HeldPhase, held_phases


def chosen_phases(car: Car, asked: Sequence[str] | None, turns: Sequence[str]) -> tuple[HeldPhase, ...]:
    """The asked phases of a car, or all, in the asked turn directions."""
    if asked:
        known("phase", asked, [phase.name for phase in car.phases])
    return held_phases([phase for phase in car.phases if not asked or phase.name in asked], turns)


def chosen_adjusters(every: Mapping[str, Adjuster], asked: Sequence[str] | None) -> list[str]:
    """The asked adjusters, or all that are not left out of the table."""
    if asked:
        known("adjuster", asked, every)
        return list(dict.fromkeys(asked))
    return [key for key, adjuster in every.items() if not adjuster.off]


def within(car: Car, asked: Sequence[str], place: str | None, minutes: float | None) -> list[str] | None:
    """The asked adjusters that can be moved at a place within a time; None for all."""
    if place is None and minutes is None:
        return list(asked) or None
    every, order = adjusters_of(car), [*map(str, PLACES)]
    found = [
        key
        for key in chosen_adjusters(every, asked)
        if (place is None or order.index(every[key].place) <= order.index(place))
        and (minutes is None or every[key].minutes <= minutes)
    ]
    if not found:
        where = f" at the {place}" if place else ""
        when = f" within {minutes:g} minutes" if minutes is not None else ""
        raise RequestError(f"no adjuster of this car can be moved{where}{when}; allow more time or another place")
    return found


def chosen_readings(machine: Machine, asked: Sequence[str], *, at_rest: bool, everything: bool) -> tuple[Reading, ...]:
    """The asked readings of a state, or all that are not detail, or all."""
    every = readings_of(machine)
    if asked:
        known("reading", asked, every)
        return tuple(every[name] for name in asked)
    fitting = [r for r in every.values() if (r.at_rest if at_rest else r.held)]
    return tuple(r for r in fitting if everything or not r.detail)


def chosen_geometry(machine: Machine, asked: Sequence[str], *, everything: bool) -> tuple[Reading, ...]:
    """The asked readings of geometry, or the ones to look at first, or all."""
    every = readings_of(machine)
    if asked:
        known("reading", asked, every)
        for name in asked:
            if not every[name].travel:
                raise RequestError(
                    f"found reading `{name}` asked of the linkage alone; expected one of geometry, since nothing is "
                    "loaded here. Likeliest fix: ask `axlewright hold` or `axlewright rest` for it"
                )
        return tuple(every[name] for name in asked)
    return tuple(r for r in every.values() if r.travel and (everything or r.moving or not r.detail))
