"""Swings along an adjuster: frequency and damping ratio."""

from __future__ import annotations

from pathlib import Path

from axlewright.car.adjusters import adjusters_of
from axlewright.car.schema import Car
from axlewright.draw.axis import Axis, of_adjuster
from axlewright.draw.curves import Curve, Panel, panels
from axlewright.tune.swings import Along

BODY = ("heave", "pitch", "roll")


def along_plot(car: Car, phase: str, found: Along, path: str | Path) -> None:
    """Draw frequency and damping of the body's and of the wheels' swings over an adjuster's range."""
    adjuster = adjusters_of(car)[found.adjuster]
    groups = {
        "body": [name for name in found.frequency if name in BODY],
        "wheels and axle": [name for name in found.frequency if name not in (*BODY, "yaw", "wheel spin")],
    }
    shown = []
    for group, names in groups.items():
        for table, axis in (
            (found.damping, Axis(f"{group}: damping ratio", more="dies away sooner", less="below 0 it grows")),
            (found.frequency, Axis(f"{group}: frequency", "Hz", more="faster")),
        ):
            lines = [Curve(name, found.positions, table[name], now=adjuster.position) for name in names]
            if lines:
                shown.append(Panel(axis, lines))
    panels(shown, path, x=of_adjuster(adjuster), title=f"{car.name}, {phase}: swings along {adjuster.name}")
