"""How far and how fast an axle winds up, and what its torque links go through."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import numpy as np

from axlewright.readings.motion.base import MotionReading, after, listed, settled
from axlewright.solve.motion.run import Run

SAE = "SAE J670 (wind-up)"
OWN = "own definition"
LINKS = ("drive_link", "brake_link", "upper", "upper_left", "upper_right", "arm")  # hold an axle against its torque
OFF_SEAT = 25.0  # N; less tension than this and a drive-side link is off its seat


def _largest(values: np.ndarray) -> np.ndarray:
    """Value of largest magnitude with its sign, over time."""
    at = np.argmax(np.abs(values), axis=0)
    return np.take_along_axis(values, at[None], axis=0)[0]


def peak(run: Run, path: str) -> np.ndarray:
    """Largest wind-up, rad."""
    return _largest(run.seen.wind_up[path][after(run)])


def peak_rate(run: Run, path: str) -> np.ndarray:
    """Fastest winding-up, rad/s."""
    return _largest(run.seen.wind_up_rate[path][after(run)])


def settled_wind_up(run: Run, path: str) -> np.ndarray:
    """Wind-up at the end, rad."""
    return settled(run, run.seen.wind_up[path])


def peak_force(run: Run, path: str) -> np.ndarray:
    """Largest force in a link, tension positive, N."""
    return _largest(run.seen.tension[path][after(run)])


def settled_force(run: Run, path: str) -> np.ndarray:
    """Force at the end, N."""
    return settled(run, run.seen.tension[path])


def least_force(run: Run, path: str) -> np.ndarray:
    """Least tension (most compression) of a link, N."""
    return run.seen.tension[path][after(run)].min(axis=0)


def travel_used(run: Run, path: str) -> np.ndarray:
    """Range of a link's length, m."""
    return np.ptp(run.seen.extension[path], axis=0)


def impacts(run: Run, path: str) -> np.ndarray:
    """How often a drive-side link, having gone slack, comes back onto its seat."""
    off = run.seen.tension[path] < OFF_SEAT
    return (off[:-1] & ~off[1:]).sum(axis=0).astype(float)


def energy_in(run: Run, path: str) -> np.ndarray:
    """Work that goes into a link, J."""
    power = run.seen.tension[path] * run.seen.extension_rate[path]
    return np.trapezoid(np.maximum(power, 0.0), run.time, axis=0)


def energy_back(run: Run, path: str) -> np.ndarray:
    """Work that comes back out of a link, J."""
    power = run.seen.tension[path] * run.seen.extension_rate[path]
    return np.trapezoid(np.maximum(-power, 0.0), run.time, axis=0)


def wind_ups_of(run: Run) -> list[MotionReading]:
    """For cars with an axle; forces of its torque links where it has any."""
    found: list[MotionReading] = []
    nose = "pinion nose further up", "pinion nose further down"
    for path in run.seen.wind_up if run.kind in ("drive", "brake", "road") else ():
        most = [
            ("wind_up_peak", "peak wind-up", "rad", "deg", *nose, partial(peak, path=path)),
            ("wind_up_rate", "fastest winding-up", "rad/s", "deg/s", *nose, partial(peak_rate, path=path)),
        ]
        end = [("wind_up_settled", "settled wind-up", "rad", "deg", *nose, partial(settled_wind_up, path=path))]
        found += [*listed(SAE, most), *listed(SAE, end, settles=run.kind != "road")]
    # A corner's own "upper" link holds no axle.
    axles = {path.rsplit(".", 1)[0] for path in run.seen.wind_up}
    for path in run.seen.tension:
        copy, link = path.rsplit(".", 1)
        if copy in axles and link in LINKS:
            found += _of_link(run, path, link)
    if run.kind in ("steer", "sweep"):
        return [replace(reading, detail=True) for reading in found]
    return found


def _of_link(run: Run, path: str, link: str) -> list[MotionReading]:
    said, force, amount = link.replace("_", " "), ("more tension", "more compression"), ("more", "less")
    rows = [
        (f"{link}_peak", f"{said}: peak force", "N", "N", *force, partial(peak_force, path=path)),
        (f"{link}_settled", f"{said}: settled force", "N", "N", *force, partial(settled_force, path=path)),
    ]
    least = (f"{link}_least", f"{said}: least tension", "N", "N", *force, partial(least_force, path=path))
    if path not in run.seen.extension:
        return [*listed(OWN, rows), *listed(OWN, [least], detail=True)]
    moves = "moves more", "moves less"
    rows.append((f"{link}_travel", f"{said}: travel used", "m", "mm", *moves, partial(travel_used, path=path)))
    if link == "drive_link":
        knocks, read = ("more knocks", "fewer knocks"), partial(impacts, path=path)
        rows.append(("seat_impacts", "drive link: returns to its seat", "", "", *knocks, read))
    energies = [
        (f"{link}_in", f"{said}: energy taken in", "J", "J", *amount, partial(energy_in, path=path)),
        (f"{link}_back", f"{said}: energy given back", "J", "J", *amount, partial(energy_back, path=path)),
    ]
    return [*listed(OWN, rows), *listed(OWN, [least, *energies], detail=True)]
