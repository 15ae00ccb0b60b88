"""What a person asked for by name: phases, adjusters, readings; a wrong name is told with the nearest right one."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from difflib import get_close_matches

from axlewright.car.adjusters import Adjuster
from axlewright.car.schema import Car
from axlewright.errors import RequestError
from axlewright.solve.phases import HeldPhase, held_phases

FEW = 20  # names that a sentence can hold


def known(kind: str, asked: Sequence[str], have: Collection[str]) -> None:
    """Raise RequestError for a name that is not there."""
    for name in asked:
        if name not in have:
            near = get_close_matches(name, have, n=3, cutoff=0.4)
            listed = have if len(have) <= FEW else near
            words = f"did you mean {' or '.join(f'`{n}`' for n in near)}?" if near else "check the name."
            more = f" It has: {', '.join(listed)}." if listed is have else ""
            raise RequestError(f"this car has no {kind} `{name}`: {words}{more}")


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
