"""What one step of each adjuster does to a race car with a live rear axle.

The verbs, all of which the command line uses too:

| verb | question | found in |
|---|---|---|
| `load` | what is the car in this file? | `axlewright.car.file` |
| `rest` | how does it stand? | `axlewright.solve.verbs` |
| `hold` | what state does it settle into in a held manoeuvre? | `axlewright.solve.verbs` |
| `limit` | how far can that manoeuvre be pushed, and what runs out? | `axlewright.solve.verbs` |
| `travel` | where does the linkage go when its wheels move? | `axlewright.solve.travel` |
| `effects` | what does one step of each adjuster change? | `axlewright.tune.effects` |
| `whole_range` | what does an adjuster do from end to end? | `axlewright.tune.whole_range` |
| `torque_hit`, `brake_hit` | what does a pedal do? | `axlewright.solve.motion.events` |
| `step_steer`, `sine_sweep` | how does it answer the steering? | `axlewright.solve.motion.events` |
| `over_road`, `drop` | what does a road do to it? | `axlewright.solve.motion.events` |
| `swings` | how does it swing by itself? | `axlewright.tune.swings` |

A verb is imported when it is first used, so that `import axlewright` and `load` do not start the solver.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from axlewright.car.file import load as load
    from axlewright.solve.motion.events import brake_hit as brake_hit
    from axlewright.solve.motion.events import drop as drop
    from axlewright.solve.motion.events import over_road as over_road
    from axlewright.solve.motion.events import sine_sweep as sine_sweep
    from axlewright.solve.motion.events import step_steer as step_steer
    from axlewright.solve.motion.events import torque_hit as torque_hit
    from axlewright.solve.travel import travel as travel
    from axlewright.solve.verbs import hold as hold
    from axlewright.solve.verbs import limit as limit
    from axlewright.solve.verbs import rest as rest
    from axlewright.tune.effects import effects as effects
    from axlewright.tune.runs_out import runs_out as runs_out
    from axlewright.tune.swings import swings as swings
    from axlewright.tune.whole_range import whole_range as whole_range

__all__ = [
    "brake_hit",
    "drop",
    "effects",
    "hold",
    "limit",
    "load",
    "over_road",
    "rest",
    "runs_out",
    "sine_sweep",
    "step_steer",
    "swings",
    "torque_hit",
    "travel",
    "whole_range",
]

_HOME = {
    "effects": "axlewright.tune.effects",
    "hold": "axlewright.solve.verbs",
    "limit": "axlewright.solve.verbs",
    "load": "axlewright.car.file",
    "rest": "axlewright.solve.verbs",
    "runs_out": "axlewright.tune.runs_out",
    "travel": "axlewright.solve.travel",
    "swings": "axlewright.tune.swings",
    "brake_hit": "axlewright.solve.motion.events",
    "drop": "axlewright.solve.motion.events",
    "over_road": "axlewright.solve.motion.events",
    "sine_sweep": "axlewright.solve.motion.events",
    "step_steer": "axlewright.solve.motion.events",
    "torque_hit": "axlewright.solve.motion.events",
    "whole_range": "axlewright.tune.whole_range",
}


def __getattr__(name: str) -> object:
    """Import a verb on first use; raises AttributeError for any other name."""
    if name not in _HOME:
        raise AttributeError(f"module 'axlewright' has no attribute {name!r}; its verbs are {', '.join(__all__)}")
    return getattr(import_module(_HOME[name]), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
