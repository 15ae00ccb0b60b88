"""The rear end as a page draws it moving: where everything is at rest, and how far it moves from there.

Lengths in mm, moves in tenths of a mm, turns in thousandths of a degree: whole numbers, because they travel small.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from axlewright.draw.axle import Axle, axle_of
from axlewright.say.motion import Found
from axlewright.solve.motion.run import Run
from axlewright.web.motion.plots import FEWER, picked

STILL = 0.05  # mm; an end that moves less is drawn where it is
LIFTED = 1.0  # N
BODY = 0.28  # m above the wheel centres, where the chassis is drawn from behind


def animation(found: Found) -> dict[str, Any]:
    """{"every", "cars": [...]}: one more moment of the plots for `every` of them, and for each run its views and words.

    A view: {"links": [{"name", "ends": [{"at": [a, b], "moves": [[...], [...]] or null}, ...]}], ...}; the side view
    in chassis axes (x forward, z up), the rear view above the road (y left, z up).
    """
    shown = picked(found)
    plotted = len(range(*shown.indices(len(found[0][1].time))))
    every = max(-(-(plotted - 1) // (FEWER - 1)), 1)
    moments = slice(None, None, (shown.step or 1) * every)
    return {"every": every, "cars": [_car(run, moments) for _, run in found]}


def _car(run: Run, moments: slice) -> dict[str, Any]:
    axle = axle_of(run)
    last = np.flatnonzero(np.isfinite(run.seen.heave[moments, 0]))
    return {
        "radius": _mm(axle.radius),
        "side": _side(axle, moments) if axle.body else None,
        "rear": _rear(axle, moments),
        "moments": int(last[-1]) + 1 if len(last) else 0,  # that were reached
        "states": [_states(run, k) for k in range(*moments.indices(len(run.time)))],
    }


def _side(axle: Axle, moments: slice) -> dict[str, Any]:
    turned = np.degrees(axle.wind_up[moments])
    return {
        "links": _links(axle.side_view(), moments),
        "arms": _links(axle.arms(), moments),
        "wheel": _point(axle.centre[moments]),
        "wind_up": _whole(1e3 * turned),
    }


def _rear(axle: Axle, moments: slice) -> dict[str, Any]:
    above = axle.centre[0, 1] + BODY
    middle = np.array([[axle.centre[0, 0]] * 2, [axle.across * 0.6, -axle.across * 0.6], [above] * 2])
    body = axle.behind(np.broadcast_to(middle, (len(axle.wind_up), 3, 2)))[moments]
    sides = np.array([axle.across, -axle.across])
    return {
        "links": _links(axle.rear_view(), moments),
        "wheels": [_point(np.stack([np.full(len(body), sides[w]), axle.heights[moments, w]], axis=1)) for w in (0, 1)],
        "road": [_point(np.stack([np.full(len(body), sides[w]), axle.road[moments, w]], axis=1)) for w in (0, 1)],
        "body": [_point(body[:, :, w]) for w in (0, 1)],
        "tube": bool(axle.body),
    }


def _states(run: Run, k: int) -> str:
    """What the rear tyres are at a moment, a letter for left and right: lifted, past the peak, or nothing to say."""
    seen = run.seen
    return "".join("l" if seen.load[k, w, 0] < LIFTED else "p" if seen.past_peak[k, w, 0] > 0 else "." for w in (2, 3))


def _links(ends: dict[str, np.ndarray], moments: slice) -> list[dict[str, Any]]:
    return [
        {"name": path.removeprefix("rear.").replace("_", " ").replace(".", " "),
         "ends": [_point(at[moments, :, end]) for end in (0, 1)]}
        for path, at in ends.items()
    ]  # fmt: skip


def _point(at: np.ndarray) -> dict[str, Any]:
    """A point's way (T, 2)."""
    moves = 1e3 * (at - at[0])
    still = bool(np.nanmax(np.abs(moves)) < STILL)
    return {"at": [_mm(v) for v in at[0]], "moves": None if still else [_whole(10.0 * moves[:, k]) for k in (0, 1)]}


def _mm(metres: float) -> float:
    return round(1e3 * float(metres), 1)


def _whole(values: np.ndarray) -> list[int | None]:
    return [int(value) if np.isfinite(value) else None for value in np.round(values)]
