"""What runs out first, printed: one row a margin, the used up ones first and in words."""

from __future__ import annotations

import click
import numpy as np
from rich.markup import escape
from rich.table import Table

from axlewright.cli._say import cautions, console
from axlewright.say.numbers import Units, number
from axlewright.solve.results import Result
from axlewright.tune.cycle import say
from axlewright.tune.export import csv_text, sentence
from axlewright.tune.runs_out import Entry, RunsOut, Step

FIRST = 12  # margins printed unless all are asked for; both sides of a pair count as one
ALIKE = 0.02  # of the share left, up to which two sides are printed as one

ABOUT_ROOM = (
    "Part failure: this is screening from drawn points, with stiff brackets and no bush deflection, hose, weld bead "
    "or damage in it. Prove it by cycling the car by hand, springs out, on stands: full bump and droop, each corner "
    "alone, roll both ways, lock to lock. Nobody near a pinch point while someone moves the car: hands out of "
    "bellcrank, links and wheel arches."
)


def print_csv(found: RunsOut) -> None:
    """One line a margin, SI."""
    heads = ["id", "name", "word", "left", "unit", "share", "where", "eaten by", "at rest", "best step", "its change"]
    lines: list[list[object]] = [list(heads)]
    for e in found.entries:
        best = [f"{e.steps[0].adjuster} {e.steps[0].steps:+d}", e.steps[0].change] if e.steps else [None, None]
        lines.append([e.id, e.name, e.word, e.value, e.unit, e.share, e.least.where, e.eaten_by, e.at_rest, *best])
    click.echo(csv_text(lines), nl=False)


def print_table(found: RunsOut, units: Units, everything: bool) -> None:
    """The list for people."""
    out, inches = console(), units == "us"
    rows = [(entry, "") for entry in found.entries] if everything else _folded(found.entries)[:FIRST]
    table = Table(
        title=f"{escape(found.car)}: what runs out first", title_justify="left", box=None, pad_edge=False,
        header_style="bold",
    )  # fmt: skip
    table.add_column("what")
    table.add_column("left", justify="right")
    table.add_column("of it", justify="right")
    table.add_column("where")
    table.add_column("eaten by")
    table.add_column("one step that gives back")
    for entry, alike in rows:
        name = escape(entry.name) + (f" [dim]{alike}[/dim]" if alike else "")
        table.add_row(
            f"{name}{_word(entry)}", _shown(entry.value, entry.unit, units), f"{entry.share * 100:.0f}%",
            escape(_where(found, entry, inches)), escape(entry.eaten_by), _step(found, entry, units),
        )  # fmt: skip
    out.print(table)
    hidden = len(found.entries) - len(rows)
    if not everything and hidden:
        out.print(f"[dim]{hidden} more, both sides of a pair counted apart: --all lists them[/dim]")
    out.print(f"[dim]cycled through {_travel(found, inches)}[/dim]")
    for reason in found.unreached:
        out.print(f"[yellow]not reached: {escape(reason)}[/yellow]")
    for p in np.flatnonzero(found.result != Result.SOLVED):
        out.print(f"[red]{escape(found.phases[p].name)}: {sentence(found.result[p])}[/red]")
    cautions(out, (ABOUT_ROOM,))


def _word(entry: Entry) -> str:
    if not entry.word:
        return ""
    return f"\n[yellow]{entry.word}[/yellow]" if entry.value >= 0.0 else f"\n[bold red]STOP: {entry.word}[/bold red]"


def _where(found: RunsOut, entry: Entry, inches: bool) -> str:
    least = entry.least
    return say(found.cycle.poses, least.member, found.track, inches) if least is entry.travel else least.where


def _shown(value: float, unit: str, units: Units, *, change: bool = False) -> str:
    shown = "deg" if unit == "rad" else "in" if units == "us" else "mm"
    return f"{number(value, shown, change=change)} {shown}"


def _step(found: RunsOut, entry: Entry, units: Units) -> str:
    """The step that gives most back, with its size."""
    helps = [step for step in entry.steps if step.change > 0.0]
    return _said(found, helps[0], entry.unit, units) if helps else "[dim]none[/dim]" if entry.steps else ""


def _said(found: RunsOut, step: Step, unit: str, units: Units) -> str:
    adjuster = found.adjusters[step.adjuster]
    moved = f"{step.steps * adjuster.step:+g} {adjuster.unit}"
    return f"{escape(adjuster.name)} {moved}: {_shown(step.change, unit, units, change=True)}"


def _folded(entries: tuple[Entry, ...]) -> list[tuple[Entry, str]]:
    """One of each pair that has as little left on both sides."""
    kept: dict[str, Entry] = {}
    rows: dict[str, str] = {}
    for entry in entries:
        other = kept.get(_mirrored(entry.id))
        if other is not None and abs(other.share - entry.share) < ALIKE and other.word == entry.word:
            rows[other.id] = "and the other side"
            continue
        kept[entry.id], rows[entry.id] = entry, ""
    return [(kept[ident], alike) for ident, alike in rows.items()]


def _mirrored(ident: str) -> str:
    return ident.replace("left", "\0").replace("right", "left").replace("\0", "right")


def _travel(found: RunsOut, inches: bool) -> str:
    cycle, said = found.cycle, []
    for end, first in (("front", 0), ("rear", 2)):
        bump, droop = min(cycle.bump[first : first + 2]), max(cycle.droop[first : first + 2])
        size = (f"{x / 0.0254:.2f}" if inches else f"{x * 1e3:.0f}" for x in (bump, -droop))
        said.append(f"{end} {' up and '.join(size)} {'in' if inches else 'mm'} down")
    if cycle.lock:
        said.append("steering lock to lock")
    if cycle.wind_up:
        said.append(f"{np.degrees(cycle.wind_up):.0f} deg of wind-up both ways")
    return ", ".join(said)
