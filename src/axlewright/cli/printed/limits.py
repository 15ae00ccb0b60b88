"""Limits, printed."""

from __future__ import annotations

import click
import numpy as np
from rich.markup import escape
from rich.table import Table

from axlewright.cli._say import cautions, console
from axlewright.say.cautions import ABOUT_NUMBERS, BY_DEGREES
from axlewright.solve.results import Result
from axlewright.tune.export import csv_text, sentence
from axlewright.tune.limits import Limits
from axlewright.units import GRAVITY

NO_CHANGE = 0.0005  # g; prints as 0.000


def print_csv(found: Limits) -> None:
    """One line a phase, one column an adjuster."""
    at = found.limit
    heads = [f"{key} x {steps:+d} [m/s**2]" for key, steps in found.steps.items()]
    lines: list[list[object]] = [["phase", "limit [m/s**2]", "margin [m/s**2]", "runs out", "result", *heads]]
    for p, held in enumerate(found.phases):
        row = [at.share[p] * at.size[p], at.margin[p], at.ran_out[p]] if at.found[p] else [None, None, None]
        changes = found.change[:, p] if at.found[p] else [None] * len(found.adjusters)
        lines.append([held.name, *row, sentence(at.start.result[p]), *changes])
    click.echo(csv_text(lines), nl=False)


def print_table(found: Limits, most: int) -> None:
    """Limits, and the adjusters that move them most."""
    out, at = console(), found.limit
    table = Table(title=f"{escape(found.car)}: how far each phase can be pushed", title_justify="left", box=None)
    for head in ("phase", "asked, g", "limit, g", "margin, g", "what runs out"):
        table.add_column(head, justify="left" if head in ("phase", "what runs out") else "right")
    for p, held in enumerate(found.phases):
        asked = at.size[p] / GRAVITY
        if at.found[p]:
            numbers = [f"{asked:.3f}", f"{at.share[p] * asked:.3f}", f"{at.margin[p] / GRAVITY:+.3f}"]
            table.add_row(escape(held.name), *numbers, str(at.ran_out[p]))
        else:
            table.add_row(escape(held.name), f"{asked:.3f}", "-", "-", "[dim]no limit found along this direction[/dim]")
    out.print(table)
    for p in np.flatnonzero(at.start.result != Result.SOLVED):
        out.print(f"[red]{escape(found.phases[p].name)}: {sentence(at.start.result[p])}[/red]")
    _print_adjusters(found, most)
    cautions(out, (ABOUT_NUMBERS, BY_DEGREES))


def _print_adjusters(found: Limits, most: int) -> None:
    out, change = console(), np.where(found.limit.found, found.change / GRAVITY, np.nan)
    if not len(change) or not found.limit.found.any():
        return
    names = list(found.adjusters)
    order = np.argsort(-np.nanmax(np.abs(change[:, found.limit.found]), axis=1))[:most]
    table = Table(
        title="\nwhat one usable step does to the margin, g (first order)", title_justify="left", box=None,
    )  # fmt: skip
    table.add_column("adjuster")
    table.add_column("step", justify="right")
    for held in found.phases:
        table.add_column(escape(held.name.replace(", ", "\n")), justify="right", vertical="bottom")
    for i in order:
        adjuster = found.adjusters[names[i]]
        step = f"{found.steps[names[i]] * adjuster.step:+g} {adjuster.unit}"
        cells = ["-" if np.isnan(x) else f"{x:+.3f}" if abs(x) >= NO_CHANGE else "[dim]0[/dim]" for x in change[i]]
        table.add_row(escape(adjuster.name), step, *cells)
    out.print(table)
    if len(order) < len(names):
        out.print(f"[dim]{len(names) - len(order)} weaker adjusters are not shown: --all lists them[/dim]")
