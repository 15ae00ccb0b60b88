"""Runs, printed: one row a reading, one column a car or setup; or as data."""

from __future__ import annotations

import csv
import io
import math

import click
import numpy as np
from rich.markup import escape
from rich.table import Table

from axlewright.cli._say import cautions, console
from axlewright.say.motion import ABOUT_HITS, ABOUT_MOTION, Found, damper_speeds, notes
from axlewright.say.numbers import Units, number, unit_of
from axlewright.solve.motion.run import Run
from axlewright.tune.export_motion import rows_of

LONGER = " with --seconds"  # how a command is followed for longer
CHANNELS = ("speed", "ax", "ay", "az", "yaw_rate", "sideslip", "pitch", "roll", "rack", "axle_torque")
OF_WHEELS = ("load", "longitudinal", "lateral", "use", "spin", "slip_ratio", "slip_angle", "brake_torque", "deflection")


def print_tables(found: Found, units: Units, *, everything: bool = False) -> None:
    """A table for people."""
    out = console()
    table = Table(box=None, pad_edge=False, header_style="bold")
    table.add_column("reading")
    for name, _ in found:
        table.add_column(escape(name), justify="right", overflow="fold")
    table.add_column("unit")
    table.add_column("more is")
    for reading, values in rows_of(found).values():
        if (reading.detail and not everything) or not np.isfinite(values).any():
            continue
        unit = unit_of(reading, units)
        table.add_row(reading.name, *(number(v, unit) for v in values), unit, reading.more)
    out.print(f"[bold]{escape(found[0][1].event)}[/bold]")
    out.print(table)
    for name, run in found:
        if run.kind == "road" and (everything or len(found) == 1):
            out.print(_speeds(name, run))
    for name, words, stopped in notes(found):
        colour = "red" if stopped else "yellow"
        out.print(f"[{colour}]{escape(name)}: {escape(words)}{'' if stopped else LONGER}[/{colour}]")
    cautions(out, (ABOUT_MOTION, ABOUT_HITS))


def _speeds(name: str, run: Run) -> Table:
    """How a run's time is shared by damper speeds: one row a range, one column a damper."""
    table = Table(box=None, pad_edge=False, header_style="bold")
    table.add_column("damper speed, mm/s (share of time, %)")
    shares, ranges = damper_speeds(run)
    for path in shares:
        table.add_column(escape(path.replace(".", " ").replace("_", " ")), justify="right", overflow="fold")
    for k, words in enumerate(ranges):
        table.add_row(words, *(number(share[k], "%") for share in shares.values()))
    return table


def print_csv(found: Found) -> None:
    """What was seen at every moment, SI, one row a moment and run."""
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    run = found[0][1]
    columns = [*CHANNELS, *(f"{name}.{wheel}" for name in OF_WHEELS for wheel in run.wheels)]
    links = list(dict.fromkeys(path for _, one in found for path in one.seen.tension))
    writer.writerow(["car", "time", *columns, *(f"tension.{path}" for path in links)])
    for name, one in found:
        values = [getattr(one.seen, channel)[:, 0] for channel in CHANNELS]
        values += [getattr(one.seen, channel)[:, w, 0] for channel in OF_WHEELS for w in range(len(one.wheels))]
        values += [one.seen.tension.get(path, np.full((len(one.time), 1), np.nan))[:, 0] for path in links]
        for k, time in enumerate(one.time):
            cells = ["" if not math.isfinite(v[k]) else f"{v[k]:.7g}" for v in values]
            writer.writerow([name, f"{time:.6g}", *cells])
    click.echo(target.getvalue(), nl=False)
