"""Runs drawn over time, cars and setups over each other; a sweep over frequency."""

from __future__ import annotations

from pathlib import Path

from axlewright.draw.axis import Axis
from axlewright.draw.curves import Curve, Panel, panels
from axlewright.draw.moments import DEG, TIME, Found, quantities, there
from axlewright.readings.motion.sweep import response

FASTEST = 5.0  # Hz that a sweep is drawn to


def _notes(found: Found) -> list[str]:
    return [f"{name}: {run.sentences[0]}" for name, run in found if run.sentences[0]]


def motion_plot(found: Found, path: str | Path) -> None:
    """Runs of one event over time; a sweep's gain and phase over frequency."""
    event, kind = found[0][1].event, found[0][1].kind
    if kind == "sweep":
        _sweep(found, path)
        return
    shown = [
        Panel(one.axis, [Curve(name, run.time - run.begins, one.read(run)) for name, run in found])
        for one in there(found, [one for one in quantities(kind) if not one.aside])
    ]
    panels(shown, path, x=TIME, title=event, notes=_notes(found))


def _sweep(found: Found, path: str | Path) -> None:
    gains, phases = [], []
    for name, run in found:
        f, gain, phase = response(run, "yaw_rate")
        shown = f <= FASTEST
        gains.append(Curve(name, f[shown], gain[shown, 0]))
        phases.append(Curve(name, f[shown], phase[shown, 0]))
    shown = [
        Panel(Axis("yaw rate a millimetre of rack", "deg/s", DEG * 1e3, "answers more"), gains),
        Panel(Axis("phase of yaw rate to rack", "deg", DEG, "leads", "lags"), phases),
    ]
    x = Axis("frequency of the steering", "Hz", more="faster")
    panels(shown, path, x=x, title=found[0][1].event, notes=_notes(found))
