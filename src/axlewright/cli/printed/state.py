"""Held or rest states, printed: one column a state, one row a reading; then in what state the parts are."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence

import click
import numpy as np
from rich.markup import escape
from rich.table import Table

from axlewright.cli._say import cautions, console
from axlewright.readings import Reading, states
from axlewright.say.cautions import ABOUT_LOADS, ABOUT_NUMBERS
from axlewright.say.numbers import Units, number, unit_of
from axlewright.say.states import is_ordinary, part_name
from axlewright.solve.results import Result
from axlewright.solve.solved import Solved
from axlewright.tune.export import sentence, states_csv, values_of

COLUMNS = 7  # states side by side; more go below


def echo_json(data: Mapping[str, object]) -> None:
    """Data as JSON text."""
    click.echo(json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False))


def print_csv(names: Sequence[str], readings: Sequence[Reading], solved: Solved) -> None:
    """States as CSV."""
    click.echo(states_csv(names, readings, values_of(solved, readings), solved.result), nl=False)


def print_table(title: str, names: Sequence[str], readings: Sequence[Reading], solved: Solved, units: Units) -> None:
    """States as tables for people."""
    out, values = console(), values_of(solved, readings)
    words = [states(solved, i) for i in range(solved.batch)]
    out.print(f"[bold]{escape(title)}[/bold]")
    for first in range(0, solved.batch, COLUMNS):
        members = range(first, min(first + COLUMNS, solved.batch))
        out.print(_table(readings, values, [names[i] for i in members], list(members), units))
        out.print(_words(words, [names[i] for i in members], list(members)))
    for i in map(int, np.flatnonzero(solved.result != Result.SOLVED)):
        out.print(f"[red]{escape(names[i])}: {sentence(solved.result[i])}[/red]")
    cautions(out, (ABOUT_NUMBERS, ABOUT_LOADS))


def _table(
    readings: Sequence[Reading], values: np.ndarray, heads: Sequence[str], members: Sequence[int], units: Units
) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold")
    table.add_column("")
    table.add_column("unit", style="dim")
    for head in heads:
        table.add_column(escape(head.replace(", ", "\n")), justify="right", vertical="bottom")
    for i, r in enumerate(readings):
        unit = unit_of(r, units)
        if np.isfinite(values[members, i]).any():
            table.add_row(escape(r.name), unit, *(number(values[m, i], unit) for m in members))
    return table


def _words(words: Sequence[Mapping[str, str]], heads: Sequence[str], members: Sequence[int]) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold")
    table.add_column("state of the parts")
    for head in heads:
        table.add_column(escape(head.replace(", ", "\n")), justify="right")
    ordinary = 0
    for part in words[0]:
        own = [words[m][part] for m in members]
        if is_ordinary(part, set(own)):
            ordinary += 1
            continue
        table.add_row(part_name(part), *own)
    table.add_row(f"[dim]{ordinary} others: wheels rolling, springs seated, stops clear, bars turning[/dim]")
    return table
