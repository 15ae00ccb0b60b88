"""What limits a car as plain data for machines: how far each phase can be pushed, and what runs out first."""

from __future__ import annotations

from axlewright.tune.export import VERSION, Data, sentence
from axlewright.tune.limits import Limits
from axlewright.tune.runs_out import Entry, Least, RunsOut


def limits_data(found: Limits) -> Data:
    """{"version", "car", "unit", "phases": {NAME: {"found", "limit", "margin", "runs_out", "result",
    "adjusters": {ID: {"steps", "change"}}}}}.

    limit and margin in m/s2 along the phase's own direction; change of the margin in m/s2 for so many usable steps,
    first order.
    """
    at, phases = found.limit, {}
    for p, held in enumerate(found.phases):
        own = {
            key: {"steps": found.steps[key], "change": float(found.change[i, p])}
            for i, key in enumerate(found.adjusters)
        }
        phases[held.name] = {
            "found": bool(at.found[p]),
            "limit": float(at.share[p] * at.size[p]) if at.found[p] else None,
            "margin": float(at.margin[p]) if at.found[p] else None,
            "runs_out": str(at.ran_out[p]) if at.found[p] else None,
            "result": sentence(at.start.result[p]),
            "adjusters": own if at.found[p] else {},
        }
    return {"version": VERSION, "car": found.car, "unit": "m/s**2", "phases": phases}


def runs_out_data(found: RunsOut) -> Data:
    """{"version", "car", "travel": {"bump", "droop", "lock", "wind_up"}, "not_reached", "results": {PHASE: sentence},
    "limits": [{"id", "name", "unit", "word", "left", "share", "at_rest", "whole", "where", "eaten_by", "used_up",
    "travel": {"left", "where"}, "phase": {"left", "where"}, "steps": [{"adjuster", "steps", "change"}]}]}.

    SI; least first; `travel` null where a margin means nothing without forces; what is left is negative once used up.
    """
    cycle = found.cycle
    return {
        "version": VERSION,
        "car": found.car,
        "travel": {
            "bump": [float(x) for x in cycle.bump],
            "droop": [float(x) for x in cycle.droop],
            "lock": cycle.lock,
            "wind_up": float(cycle.wind_up),
        },
        "not_reached": list(found.unreached),
        "results": {held.name: sentence(code) for held, code in zip(found.phases, found.result, strict=True)},
        "limits": [_entry(entry) for entry in found.entries],
    }


def _entry(entry: Entry) -> Data:
    own = {key: getattr(entry, key) for key in ("id", "name", "unit", "word", "used_up", "at_rest", "whole")}
    least = {key: _least(getattr(entry, key)) for key in ("travel", "phase")}
    steps = [{"adjuster": s.adjuster, "steps": s.steps, "change": s.change} for s in entry.steps]
    where = {"left": entry.value, "share": entry.share, "where": entry.least.where, "eaten_by": entry.eaten_by}
    return {**own, **where, **least, "steps": steps}


def _least(least: Least | None) -> Data | None:
    return None if least is None else {"left": least.value, "where": least.where}
