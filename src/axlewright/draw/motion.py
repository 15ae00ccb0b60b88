"""Runs drawn over time, cars and setups over each other; a sweep over frequency."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np

from axlewright.draw.axis import Axis
from axlewright.draw.curves import Curve, Panel, panels
from axlewright.readings.motion.sweep import response
from axlewright.readings.motion.thrust import demand, thrust
from axlewright.solve.motion.run import Run
from axlewright.units import scale

Found = Sequence[tuple[str, Run]]
TIME = Axis("time since it was done", "s", more="later")
DEG, G = scale("deg")[0], scale("g")[0]
FASTEST = 5.0  # Hz that a sweep is drawn to


def _panel(found: Found, axis: Axis, read: Callable[[Run], np.ndarray]) -> Panel:
    """One quantity (T,) of each run over time."""
    return Panel(axis, [Curve(name, run.time - run.begins, read(run)) for name, run in found])


def _sum(found: Found) -> str:
    return found[0][1].event


def _notes(found: Found) -> list[str]:
    return [f"{name}: {run.sentences[0]}" for name, run in found if run.sentences[0]]


def _wind(run: Run) -> np.ndarray:
    first = next(iter(run.seen.wind_up.values()), None)
    return np.full(len(run.time), np.nan) if first is None else first[:, 0]


def hit_plot(found: Found, path: str | Path) -> None:
    """A drive or brake hit: force, tyre demand, wind-up, rear load."""
    pushes = "pushes more" if found[0][1].kind == "drive" else "brakes more"
    force = Axis("force of the tyres that are asked", "kN", 1e3, pushes)
    use = Axis("largest share of its grip that one uses", "%", 0.01, "nearer to sliding")
    wound, load = Axis("wind-up", "deg", DEG, "pinion nose up", "nose down"), Axis("mean rear tyre load", "kN", 1e3)
    shown = [
        _panel(found, force, lambda run: thrust(run)[:, 0]),
        _panel(found, use, lambda run: demand(run)[:, 0]),
        _panel(found, wound, _wind),
        _panel(found, load, lambda run: run.seen.load[:, 2:, 0].mean(axis=1)),
    ]
    shown = [panel for panel in shown if any(np.isfinite(curve.y).any() for curve in panel.series)]
    panels(shown, path, x=TIME, title=_sum(found), notes=_notes(found))


def steer_plot(found: Found, path: str | Path) -> None:
    """Steering and turns: rack, yaw rate, lateral acceleration, sideslip; a sweep's gain and phase over frequency."""
    if found[0][1].kind == "sweep":
        _sweep(found, path)
        return
    shown = [
        _panel(found, Axis("yaw rate", "deg/s", DEG, "turns left"), lambda run: run.seen.yaw_rate[:, 0]),
        _panel(found, Axis("lateral acceleration", "g", G, "to the left"), lambda run: run.seen.ay[:, 0]),
        _panel(found, Axis("sideslip", "deg", DEG, "moves left of its heading"), lambda run: run.seen.sideslip[:, 0]),
        _panel(found, Axis("roll to the road", "deg", DEG, "right side down"), lambda run: run.seen.roll[:, 0]),
        _panel(found, Axis("speed", "m/s", 1.0, "faster"), lambda run: run.seen.speed[:, 0]),
    ]
    panels(shown, path, x=TIME, title=_sum(found), notes=_notes(found))


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
    panels(
        shown, path, x=Axis("frequency of the steering", "Hz", more="faster"), title=_sum(found), notes=_notes(found)
    )


def road_plot(found: Found, path: str | Path) -> None:
    """A road or a drop: the road, tyre loads, vertical acceleration."""
    road, up = Axis("road under the left front wheel", "mm", 1e-3, "higher"), Axis("vertical acceleration", "g", G)
    shown = [_panel(found, road, lambda run: run.seen.road_height[:, 0, 0])]
    for wheel, name in ((0, "left front"), (2, "left rear"), (3, "right rear")):
        load = Axis(f"{name} tyre load", "kN", 1e3)
        shown.append(_panel(found, load, lambda run, w=wheel: run.seen.load[:, w, 0]))
    shown.append(_panel(found, up, lambda run: run.seen.az[:, 0]))
    panels(shown, path, x=TIME, title=_sum(found), notes=_notes(found))
