"""A live axle and an independent rear on a smooth and on a rough road.

They are two different cars, so that only what one road does against the other may be compared.

    python -m examples.rear_ends
"""

from __future__ import annotations

from pathlib import Path

from axlewright import load
from axlewright.cli.printed.motion import print_tables
from axlewright.draw.motion import motion_plot
from axlewright.road import rough
from axlewright.solve.motion import events

DOCS = Path(__file__).parents[1] / "docs"


def main() -> None:
    """Both cars, class A and class C."""
    found = []
    for grade in ("A", "C"):
        road = rough(grade, length=120.0)
        for name in ("teasel", "sorrel"):
            found.append((f"{name}, class {grade}", events.over_road(load(name), road, speed=25.0)))
    print_tables(found, "metric")
    motion_plot(found[2:], DOCS / "rear_ends.svg")


if __name__ == "__main__":
    main()
