"""Runs, printed: one row a reading, one column a car or setup; or as data."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Sequence
from itertools import pairwise

import click
import numpy as np
from rich.markup import escape
from rich.table import Table

from axlewright.cli._say import cautions, console
from axlewright.readings.motion import unsettled
from axlewright.readings.motion.dampers import EDGES, histogram
from axlewright.say.numbers import Units, number, unit_of
from axlewright.solve.motion.run import Run
from axlewright.tune.export_motion import rows_of

ABOUT_MOTION = (
    "Predicted by a model in motion, not tested on this car: damper curves, tyre lag and inertias are guessed unless "
    "you measured them. A direction is fairly sure, a size is not."
)
ABOUT_HITS = (
    "Loads are screening values: no weld, notch, wear or damage is in them, and a real kerb is rougher. The "
    "sanctioning body's rules, the parts' makers and a qualified engineer decide. Prove a changed car by degrees."
)
UNSETTLED = "it still moved at its end, so what counts from there is left out: follow it for longer with --seconds"
CHANNELS = ("speed", "ax", "ay", "az", "yaw_rate", "sideslip", "pitch", "roll", "rack", "axle_torque")
OF_WHEELS = ("load", "longitudinal", "lateral", "use", "spin", "slip_ratio", "slip_angle", "brake_torque", "deflection")


def print_tables(found: Sequence[tuple[str, Run]], units: Units, *, everything: bool = False) -> None:
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
    for name, run in found:
        if run.sentences[0]:
            out.print(f"[red]{escape(name)}: {escape(run.sentences[0])}[/red]")
        if unsettled(run)[0]:
            out.print(f"[yellow]{escape(name)}: {UNSETTLED}[/yellow]")
    cautions(out, (ABOUT_MOTION, ABOUT_HITS))


def _speeds(name: str, run: Run) -> Table:
    """How a run's time is shared by damper speeds: one row a range, one column a damper."""
    table = Table(box=None, pad_edge=False, header_style="bold")
    table.add_column("damper speed, mm/s (share of time, %)")
    shares = {path: histogram(run, path)[:, 0] for path in run.seen.damper_push}
    for path in shares:
        table.add_column(escape(path.replace(".", " ").replace("_", " ")), justify="right", overflow="fold")
    for k, (low, high) in enumerate(pairwise(EDGES)):
        way = "compression" if low > 0.0 else "rebound" if high < 0.0 else "still"
        least, most = sorted((1e3 * abs(low), 1e3 * abs(high)))
        edge = f"below {most:.0f}" if way == "still" else f"{least:.0f} to {most:.0f}"
        said = f"above {least:.0f}" if math.isinf(most) else edge
        table.add_row(f"{way} {said}", *(number(share[k], "%") for share in shares.values()))
    return table


def print_csv(found: Sequence[tuple[str, Run]]) -> None:
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
