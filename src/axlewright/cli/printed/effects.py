"""The effects table, printed: one table a phase, one row an adjuster, what is felt first."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from textwrap import wrap
from typing import NamedTuple

import click
import numpy as np
from rich.console import Console
from rich.markup import escape
from rich.text import Text

from axlewright.cli._say import cautions, console
from axlewright.readings import Reading
from axlewright.say.cautions import ABOUT_NUMBERS, BY_DEGREES
from axlewright.say.effects import (
    BALANCE,
    MARKS,
    NOTHING,
    TOO_SMALL,
    adjusters_cautions,
    change_number,
    counted_words,
    held_words,
    is_felt,
    phase_words,
    range_words,
    recheck_words,
    restoring_words,
    sharpen_words,
)
from axlewright.say.numbers import Units, direction, unit_of
from axlewright.solve.results import Result
from axlewright.tune.effects import AS_TURNED, PUT_RIGHT, Effects, Row
from axlewright.tune.export import is_change
from axlewright.units import GRAVITY

NAME, CELL, WIDTH = 46, 20, 118  # columns of the name, of a number, and of a line
MOVED = 3  # other readings named a row
CLEAR = 20.0  # times a reading's smallest change; less than that counts for less
NOTABLE = 0.1  # of the largest change that any step makes to a reading in the phase; less isn't worth naming
FEW = 8  # adjusters whose re-checks are listed


def echo(data: Mapping[str, object]) -> None:
    """Data as compact JSON: a whole table has a hundred thousand numbers."""
    click.echo(json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":")))


class _Pair(NamedTuple):
    """A phase's columns in the table: left and right, or the one direction there is."""

    name: str
    columns: tuple[int, ...]


def print_table(table: Effects, units: Units) -> None:
    """The table for people."""
    out = console()
    out.print(f"[bold]{escape(table.car)}: what one usable step of each adjuster changes[/bold]")
    out.print(_how_to_read(table, units))
    for pair in _pairs(table):
        _print_phase(out, table, pair, units)
    _below(out, table)
    cautions(out, (ABOUT_NUMBERS, BY_DEGREES, *_own_cautions(table)))


def _how_to_read(table: Effects, units: Units) -> str:
    lines = [
        _what_leads(table, units),
        "left / right are the turn directions. ? the direction is only likely, ?? it is not known, given how well the "
        "car file's numbers are known.",
        "up, put right: with the restoring moves named below it: heights, cross weight, bars, toe, links as before.",
    ]
    return "\n".join(f"[dim]{line}[/dim]" for line in lines if line)


def _what_leads(table: Effects, units: Units) -> str:
    """What the numbers in the columns are."""
    lead = _lead(table)
    if lead is None:
        return "Readings that change stand below each step; ok: the state was reached."
    reading = table.readings[lead]
    if reading.id != BALANCE:
        return f"Changes of {escape(reading.name)}, {unit_of(reading, units) or 'a plain number'}; 0 is no change."
    return (
        "Balance is grip left in front minus grip left at the rear, g: + is looser, - pushes more. A dim row is too "
        f"small to feel (under {reading.felt / GRAVITY:.3f} g, a rule of thumb); 0 is no change."
    )


def _pairs(table: Effects) -> list[_Pair]:
    names = dict.fromkeys(held.phase.name for held in table.phases)
    return [_Pair(name, tuple(i for i, h in enumerate(table.phases) if h.phase.name == name)) for name in names]


def _print_phase(out: Console, table: Effects, pair: _Pair, units: Units) -> None:
    rows = {(row.adjuster, row.steps, row.kind): row for row in table.rows}
    lead, scale = _lead(table), _largest(table, pair)
    columns = ["up", "down", *(["up, put right"] if any(kind == PUT_RIGHT for _, _, kind in rows) else [])]
    lines = [Text(), Text.from_markup(_head(table, pair))]
    lines.append(_line("adjuster, usable step", columns, "min, where", "bold"))
    if _turns(table, pair):
        lines.append(_line("", [_turns(table, pair)] * len(columns), "", "bold"))
    still, divided = [], False
    for key in _by_size(table, pair, rows, lead):
        up, down, right = (rows.get((key, *which)) for which in ((1, AS_TURNED), (-1, AS_TURNED), (1, PUT_RIGHT)))
        cells = [_cell(table, row, pair, lead, units) for row in (up, down, right)[: len(columns)]]
        moved = _moved(table, up or down, pair, units, scale, "" if up else "a step down: ")
        if not moved and all(Text.from_markup(cell).plain.strip("0 /-") == "" for cell in cells):
            still.append(key)
            continue
        felt = _felt(table, [up, down], pair, lead)
        if not felt and not divided:
            divided = True
            lines.append(Text(f"{f' {TOO_SMALL} from here on ':-^{WIDTH}}", "dim"))
        adjuster, style = table.adjusters[key], "" if felt else "dim"
        step = f"{adjuster.name}, {adjuster.step:g} {adjuster.unit}"
        lines.append(_line(step, cells, f"{adjuster.minutes:g}, {adjuster.place}", style))
        lines += [Text(line, style) for line in _wrapped(moved, out.width)]
        lines += [Text(line, "dim") for line in _wrapped(restoring_words(right, table.every), out.width)]
    if still:
        lines += [Text(line, "dim") for line in _wrapped(f"no change in this phase: {', '.join(still)}", out.width)]
    out.print(Text("\n").join(lines), soft_wrap=True)


def _wrapped(text: str, width: int) -> list[str]:
    return wrap(text, width, initial_indent="    ", subsequent_indent="    ")


def _line(name: str, cells: Sequence[str], last: str, style: str) -> Text:
    """One line of the table: a name, right-justified numbers, minutes and place."""
    text = Text(style=style).append(f"{name:<{NAME}}" if len(name) <= NAME else f"{name[: NAME - 1]}~")
    for cell in cells:
        number = Text.from_markup(cell)
        text.append(" " * max(CELL - len(number), 1)).append_text(number)
    return text.append(f"  {last}")


def _turns(table: Effects, pair: _Pair) -> str:
    turns = [table.phases[i].turn for i in pair.columns]
    return "" if turns == ["straight"] else " / ".join(turns)


def _lead(table: Effects) -> int | None:
    """Column of the reading that rows are sorted by: the balance, or the first that was asked for."""
    ids = [r.id for r in table.readings]
    return ids.index(BALANCE) if BALANCE in ids else (0 if len(ids) == 1 else None)


def _head(table: Effects, pair: _Pair) -> str:
    first = pair.columns[0]
    lines = [f"[bold]{escape(pair.name)}[/bold] ({phase_words(table, first)})"]
    for i in pair.columns:
        said = held_words(table, i)
        if said:
            bad = "" if table.base_result[i] == Result.SOLVED else "red"
            turn = "" if table.phases[i].turn == "straight" else f"{table.phases[i].turn}: "
            lines.append("  " + turn + _styled("; ".join(said), bad))
    return "\n".join(lines)


def _styled(text: str, style: str) -> str:
    return f"[{style}]{text}[/{style}]" if style else text


def _largest(table: Effects, pair: _Pair) -> np.ndarray:
    """Largest change that any step makes to each reading in the phase, as turned."""
    changes = [np.abs(row.change[list(pair.columns)]) for row in table.rows if row.kind == AS_TURNED]
    if not changes:
        return np.zeros(len(table.readings))
    stacked = np.stack(changes)
    return np.where(np.isfinite(stacked), stacked, 0.0).max(axis=(0, 1))


def _by_size(table: Effects, pair: _Pair, rows: Mapping[tuple[str, int, str], Row], lead: int | None) -> list[str]:
    """Adjusters that have a step, the largest effect on the lead first."""
    keys = [key for key in table.adjusters if (key, 1, AS_TURNED) in rows or (key, -1, AS_TURNED) in rows]
    if lead is None:
        return keys

    def size(key: str) -> float:
        own = [rows[key, way, AS_TURNED] for way in (1, -1) if (key, way, AS_TURNED) in rows]
        changes = np.abs([row.change[list(pair.columns), lead] for row in own])
        return float(np.where(np.isfinite(changes), changes, 0.0).max())

    return sorted(keys, key=lambda key: -round(size(key), 9))


def _felt(table: Effects, rows: Sequence[Row | None], pair: _Pair, lead: int | None) -> bool:
    if lead is None:
        return True
    changes = [change for row in rows if row is not None for change in row.change[list(pair.columns), lead]]
    return any(is_felt(table.readings[lead], change) for change in changes)


def _cell(table: Effects, row: Row | None, pair: _Pair, lead: int | None, units: Units) -> str:
    """A step's change of the lead reading in each turn direction, with how sure it is."""
    if row is None:
        return "-"
    if lead is None:
        bad = [i for i in pair.columns if row.result[i] != Result.SOLVED]
        return "[red]![/red]" if bad else "ok"
    said = []
    for i in pair.columns:
        text = change_number(table.readings[lead], row.change[i, lead], units)
        sure = MARKS[str(row.sure[i, lead])] if row.sure is not None and text != NOTHING else ""
        bad = "[red]![/red]" if row.result[i] != Result.SOLVED else ""
        said.append(f"{text}{sure}{bad}")
    return " / ".join(said)


def _moved(table: Effects, row: Row | None, pair: _Pair, units: Units, scale: np.ndarray, before: str) -> str:
    """What else this step moves most, against what any step does to that, in words; of the first turn direction."""
    if row is None:
        return ""
    change = row.change[pair.columns[0]]
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(scale > 0, np.abs(change) / scale, 0.0)
    clear = CLEAR * np.array([reading.smallest for reading in table.readings])
    share = share * np.minimum(1.0, np.abs(change) / np.maximum(clear, np.finfo(float).tiny))
    asked = len(table.readings) <= MOVED + 2  # a person who names a few readings wants to see all of them
    order = [
        i
        for i in map(int, np.argsort(-np.nan_to_num(share)))
        if table.readings[i].id != BALANCE
        and is_change(table.readings[i], change[i])
        and np.isfinite(change[i])
        and (asked or (share[i] > NOTABLE and not table.readings[i].detail))
    ]
    return before + "; ".join((direction(table.readings[i], change[i], units)) for i in _apart(table, order))


def _apart(table: Effects, order: Sequence[int]) -> list[int]:
    """The first few, one of each kind: not four tyre loads one after the other."""
    found: dict[str, int] = {}
    for i in order:
        found.setdefault(_kind(table.readings[i]), i)
        if len(found) == MOVED:
            break
    return list(found.values())


def _kind(reading: Reading) -> str:
    return reading.name.split(",")[0].split(":")[0]


def _below(out: Console, table: Effects) -> None:
    """What is not in the tables: steps that are not there, re-checks, and what would make the table surer."""
    ends = [reason for reasons in table.ends.values() for reason in reasons]
    if ends:
        out.print("\n[bold]no step there[/bold]")
        for reason in ends:
            out.print(f"  {escape(reason)}")
    if len(table.adjusters) <= FEW:
        out.print("\n[bold]the adjusters, and what to re-check after a move[/bold]")
        for a in table.adjusters.values():
            out.print(f"  {escape(a.name)}: {range_words(a)}; {escape(counted_words(a))}")
            out.print(f"    re-check: {recheck_words(a)}", style="dim")
    else:
        out.print("\n[dim]--adjuster ID says how one is counted, and what to re-check after a move[/dim]")
    if table.sharpen:
        out.print("\n[bold]what would make the balance surer[/bold]")
        for line in sharpen_words(table.sharpen):
            out.print(f"  {line}")


def _few(names: Sequence[str], most: int = 8) -> str:
    rest = len(names) - most
    return ", ".join(names[:most]) + (f" and {rest} more" if rest > 0 else "")


def _own_cautions(table: Effects) -> list[str]:
    """Cautions of the adjusters shown, each once, with who it is for."""
    who = adjusters_cautions(table.adjusters)
    return [f"{text} [dim]({_few(ids, 6)})[/dim]" for text, ids in who.items()]
