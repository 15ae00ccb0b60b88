"""What a person asked for by name: phases, adjusters, readings; a wrong name is told with the nearest right one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from axlewright.car.adjusters import Adjuster
from axlewright.car.schema import Car
from axlewright.errors import known
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
