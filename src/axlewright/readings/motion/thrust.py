"""Grip in the first moments of a drive or brake hit: how much of it is used, when it is there, and what is lost."""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings.motion.base import MotionReading, after, first_time, listed, settled
from axlewright.solve.motion.run import Run

OWN = "own definition"
THERE = 0.95  # of the settled force: full grip
LOST = (0.1, 0.3, 1.0)  # s


def pushing(run: Run) -> np.ndarray:
    """Wheels whose force is what the event asks for, (W,): the driven ones, or all when it brakes."""
    return run.driven if run.kind == "drive" else np.ones_like(run.driven)


def thrust(run: Run) -> np.ndarray:
    """Fore-and-aft force of those wheels in the direction that was asked for, N, (T, B)."""
    sign = -1.0 if run.kind == "brake" else 1.0
    return sign * run.seen.longitudinal[:, pushing(run)].sum(axis=1)


def demand(run: Run) -> np.ndarray:
    """Largest share of its grip that any of those tyres uses, (T, B)."""
    return run.seen.use[:, pushing(run)].max(axis=1)


def peak_demand(run: Run) -> np.ndarray:
    """Largest demand."""
    return demand(run)[after(run)].max(axis=0)


def settled_demand(run: Run) -> np.ndarray:
    """Demand at the end."""
    return settled(run, demand(run))


def demand_overshoot(run: Run) -> np.ndarray:
    """Peak demand over the settled one, less one."""
    return peak_demand(run) / settled_demand(run) - 1.0


def peak_demand_of(run: Run, wheels: tuple[int, int]) -> np.ndarray:
    """Largest share of its grip that a tyre of one end uses."""
    return run.seen.use[after(run)][:, list(wheels)].max(axis=(0, 1))


def overshoot(run: Run) -> np.ndarray:
    """Peak thrust over the settled one, less one."""
    return thrust(run)[after(run)].max(axis=0) / settled(run, thrust(run)) - 1.0


def time_to_full_grip(run: Run) -> np.ndarray:
    """s until the thrust is within 5 % below its settled value, and stays."""
    force = thrust(run)
    return first_time(run, force >= THERE * settled(run, force))


def lost(run: Run, within: float) -> np.ndarray:
    """Share of the settled thrust that is missing over the first `within` s; below 0 when there is more than that; NaN
    where the run is shorter or does not settle to a thrust.
    """
    force = thrust(run)
    end = settled(run, force)
    if run.begins + within > run.time[-1] + 1e-9:
        return np.full(run.batch, np.nan)
    end = np.where(end > 0.0, end, np.nan)
    early = (run.time >= run.begins - 1e-9) & (run.time <= run.begins + within + 1e-9)
    return 1.0 - np.trapezoid(force[early], run.time[early], axis=0) / (end * np.ptp(run.time[early]))


def sliding(run: Run) -> np.ndarray:
    """Time that any of those tyres spends beyond its peak, s."""
    past = run.seen.past_peak[:, pushing(run)].max(axis=1)
    return np.trapezoid(past, run.time, axis=0)


def thrusts_of(run: Run) -> list[MotionReading]:
    """For events that drive or brake."""
    if run.kind not in ("drive", "brake"):
        return []

    near, loses = ("nearer to sliding", "further from sliding"), ("loses more", "loses less")
    harder = "hits harder", "hits softer"
    ends = [(end, w) for end, w in (("front", (0, 1)), ("rear", (2, 3))) if pushing(run)[list(w)].any()]
    each = [
        (f"peak_demand_{end}", f"peak tyre demand, {end}", "", "%", *near, partial(peak_demand_of, wheels=wheels))
        for end, wheels in ends
    ]
    lost_within = [
        (f"thrust_lost_{s:g}", f"thrust lost in {s:g} s", "", "%", *loses, partial(lost, within=s)) for s in LOST
    ]
    settling = [
        ("settled_demand", "settled tyre demand", "", "%", *near, settled_demand),
        ("demand_overshoot", "tyre demand overshoot", "", "%", *harder, demand_overshoot),
        ("overshoot", "thrust overshoot", "", "%", *harder, overshoot),
    ]
    sliding_time = ("past_peak", "time beyond the peak", "s", "s", "slides longer", "slides less", sliding)
    return [
        *listed(OWN, [("peak_demand", "peak tyre demand", "", "%", *near, peak_demand)]),
        *listed(OWN, each, detail=True),
        *listed(OWN, settling, settles=True),
        *listed(OWN, [("time_to_full_grip", "time to full grip", "s", "s", "later", "sooner", time_to_full_grip)]),
        *listed(OWN, [*lost_within, sliding_time]),
    ]
