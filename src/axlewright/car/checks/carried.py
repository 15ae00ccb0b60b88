"""Springs, bars and rods that stand on a part which this layout has not got."""

from __future__ import annotations

from collections.abc import Iterator

from axlewright.car.describe.corner import stands_on
from axlewright.car.schema import Car
from axlewright.car.schema.independent import Independent
from axlewright.errors import Problem


def carried_problems(car: Car) -> Iterator[Problem]:
    """What stands on nothing, and rockers on which nothing stands."""
    for end in (car.front, car.rear):
        if isinstance(end, Independent):
            yield from _of(end)


def _of(end: Independent) -> Iterator[Problem]:
    parts = end.parts("left")
    there = {"lower-arm": parts.lower, "upper-arm": parts.upper, "rocker": parts.rocker}
    known = [part for part, table in there.items() if table is not None] + ["upright"]
    for key, on in stands_on(end):
        if on not in known:
            found = f'"{on}", which this {end.end} end has not got'
            fix = f"add [{end.end}.rocker]" if on == "rocker" else f'write "{known[0]}", or another of them'
            yield Problem(f"{end.end}.{key}.on", found, f"one of {', '.join(known)}", fix)
    if parts.rocker is not None and "rocker" not in [on for _, on in stands_on(end)]:
        found, expected = "a rocker on which nothing stands", "a spring, bar or third spring on it"
        fix = f'write on = "rocker" in [{end.end}.spring], or take the rocker away'
        yield Problem(f"{end.end}.rocker", found, expected, fix)
