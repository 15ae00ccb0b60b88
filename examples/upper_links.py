"""Rigid upper link, sprung drive-side link, damped brake-side link: the same hit on each, side by side.

python -m examples.upper_links          (beside the README: a table, and plots in docs)
"""

from __future__ import annotations

from pathlib import Path

from axlewright.cli.printed.motion import print_tables
from axlewright.draw.motion import motion_plot
from axlewright.solve.motion import events
from examples.variants import rigid, sprung, undamped

DOCS = Path(__file__).parents[1] / "docs"


def main() -> None:
    """Throttle, then brakes."""
    cars = [rigid(), undamped(), sprung()]
    for name, do in (
        ("throttle", lambda car: events.torque_hit(car, torque=1800.0, ramp=0.01)),
        ("brakes", lambda car: events.brake_hit(car, effort=0.7, ramp=0.05)),
    ):
        found = [(car.name, do(car)) for car in cars]
        print_tables(found, "metric")
        motion_plot(found, DOCS / f"upper_links_{name}.svg")


if __name__ == "__main__":
    main()
