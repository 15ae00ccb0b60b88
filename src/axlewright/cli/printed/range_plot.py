"""The whole range of an adjuster as a plot: panels of curves for one, lines of equal value for two."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from axlewright.cli.printed.ranges import Column, columns, explained, way, ways
from axlewright.draw.axis import Axis, of_adjuster, of_reading
from axlewright.draw.curves import Curve, Panel, panels
from axlewright.draw.grid import Surface, grids
from axlewright.errors import RequestError
from axlewright.readings import Reading
from axlewright.say.numbers import Units, unit_of
from axlewright.tune.whole_range import AT_REST, WholeRange

MOST = 4  # reasons below a plot


def draw(ranges: Mapping[str, WholeRange], path: str, units: Units, asked: bool) -> None:
    """Draw what the tables show, setups over each other by their names; `asked`: phases were asked for by name."""
    found = next(iter(ranges.values()))
    notes = [*ways(found), *dict.fromkeys(line for one in ranges.values() for line in explained(one)[:MOST])]
    title = f"{found.car}: {' and '.join(adjuster.name for adjuster in found.adjusters)}, from end to end"
    x = of_adjuster(found.adjusters[0])
    every = {name: columns(one, asked=asked) for name, one in ranges.items()}
    if len(found.adjusters) == 2:
        if len(ranges) > 1:
            raise RequestError("found two adjusters and two setups to draw; expected one adjuster, or one setup")
        y = of_adjuster(found.adjusters[1])
        shown = [
            Surface(_axis(c.reading, units), c.values, _name([c.state, *_way(found, c)]))
            for column in every.values()
            for c in column
        ]
        now = (found.adjusters[0].position, found.adjusters[1].position)
        places = (found.positions[0], found.positions[1])
        grids(shown, path, x=x, y=y, places=places, now=now, title=title, notes=notes)
        return
    drawn = []
    for key in dict.fromkeys(map(_panel_of, next(iter(every.values())))):
        groups = {name: [c for c in column if _panel_of(c) == key] for name, column in every.items()}
        drawn.append(_panel(ranges, groups, units))
    panels(drawn, path, x=x, title=title, notes=notes)


def _panel_of(column: Column) -> tuple[str, bool]:
    return column.reading.id, column.state == AT_REST


def _panel(ranges: Mapping[str, WholeRange], groups: Mapping[str, list[Column]], units: Units) -> Panel:
    """One reading; of several phases its change from now, since phases differ by more than an adjuster does."""
    every = [c for group in groups.values() for c in group]
    states = {c.state for c in every}
    several = len(states) > 1 and all(np.isfinite(c.change).any() for c in every)
    axis = _axis(every[0].reading, units)
    axis = axis._replace(name=f"change of {axis.name}" if several else f"{every[0].state}: {axis.name}")
    curves = []
    for name, group in groups.items():
        found = ranges[name]
        (positions,), (now,) = found.positions, found.now
        for c in group:
            words = [*([c.state] if len(states) > 1 else []), *_way(found, c), *([name] if len(ranges) > 1 else [])]
            curves.append(Curve(_name(words), positions, c.change if several else c.values, now=float(positions[now])))
    return Panel(axis, curves)


def _way(found: WholeRange, column: Column) -> list[str]:
    return [way(column.sweep)] if len(found.sweeps) > 1 else []


def _name(words: Sequence[str]) -> str:
    return ", ".join(words)


def _axis(reading: Reading, units: Units) -> Axis:
    return of_reading(reading, unit_of(reading, units))
