"""The whole range of an adjuster, printed: a row a position; of two adjusters, a table a reading."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

import numpy as np
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from axlewright.car.adjusters import CAUTIONS
from axlewright.car.adjusters.hand import said
from axlewright.cli._say import cautions, console
from axlewright.readings import Reading
from axlewright.say.cautions import ABOUT_NUMBERS, BY_DEGREES
from axlewright.say.numbers import Units, number, shown, unit_of
from axlewright.tune.export_range import members
from axlewright.tune.whole_range import AT_REST, Sweep, WholeRange

COLUMNS = 7  # beside the positions; more go below
FEW = 6  # reasons and notes that are listed


class Column(NamedTuple):
    """One reading in one state, made in one way."""

    reading: Reading
    state: str
    sweep: Sweep
    values: np.ndarray  # over the positions, SI
    change: np.ndarray  # from the present position

    @property
    def still(self) -> bool:
        """Whether it is the same everywhere."""
        return not np.any(np.abs(self.change) >= max(self.reading.smallest, np.finfo(float).tiny))

    @property
    def unfelt(self) -> np.ndarray:
        """Which changes are too small to feel."""
        return np.abs(self.change) < self.reading.felt


def columns(found: WholeRange, *, asked: bool) -> list[Column]:
    """What is shown: readings at rest where they have a value there, others in the phases; all in phases `asked`."""
    out = []
    for r, reading in enumerate(found.readings):
        for s, state in enumerate(found.states):
            if not (reading.at_rest if state == AT_REST else reading.held and (asked or not reading.at_rest)):
                continue
            for sweep in found.sweeps:
                values = sweep.values[..., s, r]
                out.append(Column(reading, state, sweep, values, values - values[found.now]))
    return out


def way(sweep: Sweep) -> str:
    """How a sweep is made, in a word."""
    return "re-set" if sweep.keeping else "as turned"


def ways(found: WholeRange) -> list[str]:
    """What "re-set" means, where anything is."""
    return [
        f"re-set: {keeping.reading.name} at rest held by {keeping.hand.name}"
        for sweep in found.sweeps
        for keeping in sweep.keeping
    ]


def print_tables(ranges: Mapping[str, WholeRange], units: Units, *, asked: bool) -> None:
    """Ranges for people, each under its name where there are several; `asked`: phases were asked for by name."""
    out = console()
    for name, found in ranges.items():
        out.print(f"[bold]{escape(title(found))}{escape(f': {name}') if len(ranges) > 1 else ''}[/bold]")
        _print_range(out, found, units, asked=asked)
    moved = [adjuster for found in ranges.values() for adjuster in found.adjusters]
    own = {key: CAUTIONS[key] for adjuster in moved for key in adjuster.cautions if key != "prove by degrees"}
    cautions(out, (ABOUT_NUMBERS, BY_DEGREES, *own.values()))


def _print_range(out: Console, found: WholeRange, units: Units, *, asked: bool) -> None:
    words = [f"{adjuster.name}: {adjuster.direction}; {adjuster.reference}" for adjuster in found.adjusters]
    for line in (*words, *ways(found)):
        out.print(f"[dim]{escape(line)}[/dim]")
    every = columns(found, asked=asked)
    moving = [column for column in every if not column.still]
    if len(found.adjusters) == 1:
        for group in _groups(moving):
            _print_one(out, found, group, units)
    else:
        for column in moving:
            _print_two(out, found, column, units)
    out.print()
    _below(out, found, every, units)


def title(found: WholeRange) -> str:
    """What was moved, from where to where."""
    moved = [
        f"{a.name} from {said(float(p[0]), a.unit)} to {said(float(p[-1]), a.unit)}, now {said(a.position, a.unit)}"
        for a, p in zip(found.adjusters, found.positions, strict=True)
    ]
    return f"{found.car}: {'; '.join(moved)}"


def _groups(moving: list[Column]) -> Iterator[list[Column]]:
    """Columns that stand in one table: all at rest together, else those of one reading."""
    for key in dict.fromkeys("" if c.state == AT_REST else c.reading.id for c in moving):
        group = [c for c in moving if ("" if c.state == AT_REST else c.reading.id) == key]
        for first in range(0, len(group), COLUMNS):
            yield group[first : first + COLUMNS]


def _print_one(out: Console, found: WholeRange, group: list[Column], units: Units) -> None:
    (adjuster,), (positions,), (now,) = found.adjusters, found.positions, found.now
    at_rest = group[0].state == AT_REST
    table = Table(box=None, pad_edge=False, header_style="bold", title_justify="left", title=_head(group, units))
    table.add_column("")
    hands = {id(c.sweep): c.sweep for c in group if c.sweep.keeping}.values() if at_rest else ()
    for column in group:
        words = [_labelled(column.reading, units)] if at_rest else [column.state]
        words += [way(column.sweep)] if len(found.sweeps) > 1 else []
        table.add_column(escape("\n".join(words)), justify="right", vertical="bottom", max_width=22)
    heads = [(sweep, k, keeping.hand) for sweep in hands for k, keeping in enumerate(sweep.keeping)]
    for _, _, hand in heads:
        table.add_column(escape(f"{hand.name}, {hand.unit}"), justify="right", vertical="bottom", max_width=22)
    for i, position in enumerate(positions):
        cells = [_cell(column, (i,), units, now=i == now) for column in group]
        reset = [f"{sweep.counts[i, k]:.2f}" if np.isfinite(sweep.counts[i, k]) else "-" for sweep, k, _ in heads]
        name = said(float(position), adjuster.unit)
        table.add_row(f"{name}, now" if i == now else name, *cells, *reset, style="bold" if i == now else "")
    out.print(table)


def _head(group: list[Column], units: Units) -> str:
    if group[0].state == AT_REST:
        return "\n" + AT_REST
    return "\n" + escape(_labelled(group[0].reading, units))


def _labelled(reading: Reading, units: Units) -> str:
    unit = unit_of(reading, units)
    return f"{reading.name}, {unit}" if unit else reading.name


def _print_two(out: Console, found: WholeRange, column: Column, units: Units) -> None:
    (down, across), (rows, heads) = found.adjusters, found.positions
    words = [_labelled(column.reading, units), column.state]
    words += [way(column.sweep)] if len(found.sweeps) > 1 else []
    for first in range(0, len(heads), COLUMNS + 3):
        table = Table(
            box=None, pad_edge=False, header_style="bold", title_justify="left", title=f"\n{escape('; '.join(words))}"
        )
        table.add_column(escape(f"{down.name}\n{across.name}:"), max_width=40)
        shown_heads = range(first, min(first + COLUMNS + 3, len(heads)))
        for j in shown_heads:
            name = said(float(heads[j]), across.unit)
            table.add_column(f"{name}\nnow" if j == found.now[1] else name, justify="right", vertical="bottom")
        for i, position in enumerate(rows):
            cells = [_cell(column, (i, j), units, now=(i, j) == found.now) for j in shown_heads]
            name = said(float(position), down.unit)
            table.add_row(f"{name}, now" if i == found.now[0] else name, *cells)
        out.print(table)


def _cell(column: Column, at: tuple[int, ...], units: Units, *, now: bool) -> str:
    text = number(float(column.values[at]), unit_of(column.reading, units))
    if now:
        return f"[bold]{text}[/bold]"
    return f"[dim]{text}[/dim]" if column.unfelt[at] else text


def _below(out: Console, found: WholeRange, every: list[Column], units: Units) -> None:
    still = [c for c in every if c.still and np.isfinite(c.change).any()]
    for line in _named(found, still):
        out.print(f"[dim]no change over the range: {escape(line)}[/dim]")
    felt = [c for c in every if c.reading.felt and not c.still]
    for line in _named(found, [c for c in felt if not (np.abs(c.change) >= c.reading.felt).any()]):
        out.print(f"[dim]too small to feel over the whole range: {escape(line)}[/dim]")
    for reading in {c.reading.id: c.reading for c in felt if c.unfelt.any()}.values():
        size = shown(reading, reading.felt, units)
        out.print(
            f"[dim]{escape(reading.name)}: dim is too small to feel, under {size} from now (a rule of thumb)[/dim]"
        )
    reasons = explained(found)
    for line in reasons[:FEW]:
        out.print(f"[red]{escape(line)}[/red]")
    if len(reasons) > FEW:
        out.print(f"[dim]{len(reasons) - FEW} more reasons: --json has them all[/dim]")


def _named(found: WholeRange, group: list[Column]) -> list[str]:
    """A line a reading: its name and the states."""
    lines = []
    for reading in {c.reading.id: c.reading for c in group}.values():
        own = [c for c in group if c.reading.id == reading.id]
        states = [f"{c.state} ({way(c.sweep)})" if len(found.sweeps) > 1 else c.state for c in own]
        lines.append(f"{reading.name}: {'; '.join(states)}")
    return lines


def explained(found: WholeRange) -> list[str]:
    """Why positions have no values, and what would have to be done that can't be: `hole 5: the reason`."""
    places: dict[tuple[str, str], dict[str, list[str]]] = {}
    for sweep in found.sweeps:
        kept = f", {way(sweep)}" if sweep.keeping else ""
        for at in members(found):
            places_of = zip(found.adjusters, found.positions, at, strict=True)
            place = " with ".join(said(float(p[i]), a.unit) for a, p, i in places_of)
            why = dict(zip(found.states, sweep.reasons[at], strict=True))
            if why[AT_REST]:  # then it is so in every state
                why = {AT_REST: why[AT_REST]}
            for state, reason in (*why.items(), ("", sweep.notes[at])):
                if reason:
                    places.setdefault((str(reason), kept), {}).setdefault(place, []).append(state)
    lines = []
    for (reason, kept), where in places.items():
        by_states: dict[tuple[str, ...], list[str]] = {}
        for place, states in where.items():
            by_states.setdefault(tuple(s for s in states if s not in ("", AT_REST)), []).append(place)
        for states, at in by_states.items():
            named = "; ".join(states)
            lines.append(f"{', '.join(at)}{f' ({named})' if named else ''}{kept}: {reason}")
    return lines
