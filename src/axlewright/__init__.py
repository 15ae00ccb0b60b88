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

A verb is imported when it is first used, so that `import axlewright` and `load` do not start the solver.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from axlewright.car.file import load as load
    from axlewright.solve.travel import travel as travel
    from axlewright.solve.verbs import hold as hold
    from axlewright.solve.verbs import limit as limit
    from axlewright.solve.verbs import rest as rest
    from axlewright.tune.effects import effects as effects
    from axlewright.tune.runs_out import runs_out as runs_out
    from axlewright.tune.whole_range import whole_range as whole_range

__all__ = ["effects", "hold", "limit", "load", "rest", "runs_out", "travel", "whole_range"]

_HOME = {
    "effects": "axlewright.tune.effects",
    "hold": "axlewright.solve.verbs",
    "limit": "axlewright.solve.verbs",
    "load": "axlewright.car.file",
    "rest": "axlewright.solve.verbs",
    "runs_out": "axlewright.tune.runs_out",
    "travel": "axlewright.solve.travel",
    "whole_range": "axlewright.tune.whole_range",
}


def __getattr__(name: str) -> object:
    """Import a verb on first use; raises AttributeError for any other name."""
    if name not in _HOME:
        raise AttributeError(f"module 'axlewright' has no attribute {name!r}; its verbs are {', '.join(__all__)}")
    return getattr(import_module(_HOME[name]), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
