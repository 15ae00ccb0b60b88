"""Stiff against tall soft sidewalls under a throttle that opens suddenly.

python -m examples.sidewalls
"""

from __future__ import annotations

from pathlib import Path

from axlewright.cli.printed.motion import print_tables
from axlewright.draw.motion import motion_plot
from axlewright.solve.motion import events
from examples.variants import soft_sidewalls, sprung

DOCS = Path(__file__).parents[1] / "docs"


def main() -> None:
    """One table and one plot."""
    found = [(car.name, events.torque_hit(car, torque=1800.0, ramp=0.01)) for car in (sprung(), soft_sidewalls())]
    print_tables(found, "metric")
    motion_plot(found, DOCS / "sidewalls.svg")


if __name__ == "__main__":
    main()
