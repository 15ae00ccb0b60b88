"""The whole range of an adjuster as a plot: panels of curves for one, lines of equal value for two."""

from __future__ import annotations

import numpy as np

from axlewright.cli.printed.numbers import Units, unit_of
from axlewright.cli.printed.ranges import Column, columns, explained, way, ways
from axlewright.draw.axis import Axis, of_adjuster, of_reading
from axlewright.draw.curves import Curve, Panel, panels
from axlewright.draw.grid import Surface, grids
from axlewright.readings import Reading
from axlewright.tune.whole_range import AT_REST, WholeRange

MOST = 4  # reasons below a plot


def draw(found: WholeRange, path: str, units: Units, asked: bool) -> None:
    """Draw what the table shows; `asked`: phases were asked for by name."""
    every = columns(found, asked=asked)
    notes = [*ways(found), *explained(found)[:MOST]]
    x = of_adjuster(found.adjusters[0])
    if len(found.adjusters) == 2:
        y = of_adjuster(found.adjusters[1])
        shown = [Surface(_axis(c.reading, units), c.values, _name(found, c, [c.state])) for c in every]
        now = (found.adjusters[0].position, found.adjusters[1].position)
        places = (found.positions[0], found.positions[1])
        grids(shown, path, x=x, y=y, places=places, now=now, title=_title(found), notes=notes)
        return
    drawn = []
    for key, states in dict.fromkeys((c.reading.id, c.state == AT_REST) for c in every):
        group = [c for c in every if (c.reading.id, c.state == AT_REST) == (key, states)]
        drawn.append(_panel(found, group, units))
    panels(drawn, path, x=x, title=_title(found), notes=notes)


def _title(found: WholeRange) -> str:
    return f"{found.car}: {' and '.join(adjuster.name for adjuster in found.adjusters)}, from end to end"


def _panel(found: WholeRange, group: list[Column], units: Units) -> Panel:
    """One reading; of several phases its change from now, since phases differ by more than an adjuster does."""
    (now,), states = found.now, {c.state for c in group}
    several = len(states) > 1 and all(np.isfinite(c.values[now]) for c in group)
    axis = _axis(group[0].reading, units)
    axis = axis._replace(name=f"change of {axis.name}" if several else f"{group[0].state}: {axis.name}")
    curves = [
        Curve(
            _name(found, c, [c.state] if len(states) > 1 else []),
            found.positions[0],
            c.change if several else c.values,
            now=float(found.positions[0][now]),
        )
        for c in group
    ]
    return Panel(axis, curves)


def _name(found: WholeRange, column: Column, words: list[str]) -> str:
    return ", ".join([*words, *([way(column.sweep)] if len(found.sweeps) > 1 else [])])


def _axis(reading: Reading, units: Units) -> Axis:
    return of_reading(reading, unit_of(reading, units))
