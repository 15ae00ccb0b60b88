"""Modes, margins to hop and dampers, printed or as data: each function gives what prints one of them."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Callable, Sequence

import click
import numpy as np
from rich.markup import escape
from rich.table import Table

from axlewright.car.adjusters.adjuster import CAUTIONS
from axlewright.car.schema import Car
from axlewright.cli._say import cautions, console
from axlewright.cli.printed.state import echo_json
from axlewright.say.motion import ABOUT_MOTION
from axlewright.tune.damper_table import HEADER, DamperTable
from axlewright.tune.export_swings import (
    along_data,
    choice_rows,
    choices_data,
    dampers_data,
    hop_data,
    ride_data,
    ripples_data,
    swings_data,
)
from axlewright.tune.hop_choice import HopRow
from axlewright.tune.hop_margin import G, HopMargin
from axlewright.tune.ripple_loads import Ripples
from axlewright.tune.swings import Along, Swings
from axlewright.tune.torque_link_choice import Choice

Teller = Callable[[bool, bool], None]  # (as JSON, as CSV)
STORED = CAUTIONS["stored energy"]
STATED = "A swing whose damping ratio is below 0 grows by itself; at 1 and more it creeps back without swinging."
HOP = "The margin is a screening value: damping of the model's small movements, not a promise that an axle won't hop."
DAMPERS = (
    "A proposed curve is a starting point: the damper's maker decides what it can do, and a charged damper is opened "
    "only by someone equipped for it."
)


def _csv(header: Sequence[str], rows: Sequence[Sequence[object]]) -> None:
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(["" if isinstance(v, float) and not math.isfinite(v) else v for v in row] for row in rows)
    click.echo(target.getvalue(), nl=False)


def _table(title: str, header: Sequence[str], rows: Sequence[Sequence[str]], notes: Sequence[str]) -> None:
    out = console()
    table = Table(box=None, pad_edge=False, header_style="bold")
    for i, name in enumerate(header):
        table.add_column(name, justify="left" if i == 0 else "right")
    for row in rows:
        table.add_row(*(escape(cell) for cell in row))
    out.print(f"[bold]{escape(title)}[/bold]")
    out.print(table)
    cautions(out, notes)


def swings_teller(car: Car, found: Sequence[Swings], piston: float | None) -> Teller:
    """Every state's swings."""

    def tell(as_json: bool, as_csv: bool) -> None:
        if as_json:
            echo_json(swings_data(car, found, piston))
        elif as_csv:
            rows = [(s.state, name, m.frequency, m.damping) for s in found for name, m in s.named().items()]
            _csv(("state", "swing", "frequency", "damping"), rows)
        else:
            out = console()
            for one in found:
                lines = [
                    (name, f"{mode.frequency:.2f}", f"{mode.damping:.2f}", _shares(mode.shares))
                    for name, mode in one.named().items()
                ]
                speed = "" if piston is None else f", dampers at {1e3 * piston:.0f} mm/s"
                _table(f"{car.name}: {one.state}{speed}", ("swing", "Hz", "damping", "what moves"), lines, ())
            ride = ride_data(car)
            out.print(
                f"ride frequency front {ride['front']:.2f}, rear {ride['rear']:.2f} Hz on wheel rate (rear over front "
                f"{ride['ratio']:.2f}); static deflection {1e3 * ride['deflection_front']:.0f} and "
                f"{1e3 * ride['deflection_rear']:.0f} mm"
            )
            cautions(out, (STATED, ABOUT_MOTION))

    return tell


def _shares(shares: dict[str, float]) -> str:
    big = sorted(((v, k) for k, v in shares.items() if v >= 0.1), reverse=True)
    return ", ".join(f"{name} {100 * value:.0f} %" for value, name in big)


def along_teller(car: Car, phase: str, found: Along, plot: str | None) -> Teller:
    """Swings along an adjuster."""
    names = list(found.frequency)
    if plot is not None:
        from axlewright.draw.swings import along_plot

        along_plot(car, phase, found, plot)

    def tell(as_json: bool, as_csv: bool) -> None:
        if as_json:
            echo_json(along_data(car, phase, found))
            return
        header = [found.adjuster, *(f"{n} {what}" for n in names for what in ("Hz", "damping"))]
        rows = [
            [p, *(float(table[n][i]) for n in names for table in (found.frequency, found.damping))]
            for i, p in enumerate(found.positions)
        ]
        if as_csv:
            _csv(header, rows)
        else:
            pairs = [[f"{p:g}", *(_pair(found, n, i) for n in names)] for i, p in enumerate(found.positions)]
            title = f"{car.name}: {phase}, Hz and damping ratio along {found.adjuster}"
            _table(title, [found.adjuster, *names], pairs, (STATED, ABOUT_MOTION))

    return tell


def _pair(found: Along, name: str, i: int) -> str:
    hertz, ratio = found.frequency[name][i], found.damping[name][i]
    return f"{hertz:.2f} {ratio:.2f}" if math.isfinite(hertz) else "-"


def _margin(one: HopMargin) -> str:
    return f"{one.margin / G:.2f} g" if math.isfinite(one.margin) else f"none to {np.nanmax(np.abs(one.ax)) / G:.2f} g"


def _told(m: HopMargin) -> tuple[float, float, float]:
    return m.margin, m.least, m.least_tramp


def hop_teller(car: Car, rows: Sequence[HopRow]) -> Teller:
    """Margins to hop."""
    ways = ("drive", "brake")

    def tell(as_json: bool, as_csv: bool) -> None:
        if as_json:
            echo_json(hop_data(car, rows))
        elif as_csv:
            header = [f"{way}_{what}" for way in ways for what in ("margin", "hop_damping", "tramp_damping")]
            _csv(["setup", *header], [[r.name, *(v for m in (r.drive, r.brake) for v in _told(m))] for r in rows])
        else:
            words = ("hops with drive from", "hop", "tramp", "hops braking from", "hop", "tramp")
            shown = [
                [
                    r.name,
                    *(t for m in (r.drive, r.brake) for t in (_margin(m), f"{m.least:.3f}", f"{m.least_tramp:.3f}")),
                ]
                for r in rows
            ]
            _table(
                f"{car.name}: margin to hop and tramp, and least damping on the way",
                ("", *words),
                shown,
                (HOP, ABOUT_MOTION),
            )

    return tell


def choice_teller(car: Car, found: Sequence[Choice]) -> Teller:
    """Combinations of the torque links' adjusters, best first."""
    keys = list(found[0].setup)

    def tell(as_json: bool, as_csv: bool) -> None:
        header, rows = choice_rows(found)
        if as_json:
            echo_json(choices_data(car, found))
        elif as_csv:
            _csv(header, rows)
        else:
            shown = [
                [*(f"{v:g}" for v in row[: len(keys)]), f"{100 * row[-4]:.1f} %", f"{100 * row[-3]:.0f} %",
                 f"{1e3 * row[-2]:.1f} mm", row[-1]]
                for row in rows
            ]  # fmt: skip
            words = [*keys, "lost in 0.3 s", "peak demand", "travel used", "off its stop"]
            _table(f"{car.name}: torque links in a hit, least thrust lost first", words, shown, (STORED, ABOUT_MOTION))

    return tell


def ripple_teller(car: Car, height: float, wave: float, found: Ripples) -> Teller:
    """Tyre loads over ripples."""
    names, speeds, swing = found.wheels, found.speeds, found.swing

    def tell(as_json: bool, as_csv: bool) -> None:
        if as_json:
            echo_json(ripples_data(car, found))
        elif as_csv:
            _csv(("speed", *names), [(float(v), *map(float, row)) for v, row in zip(speeds, swing, strict=True)])
        else:
            rows = [
                (f"{v:.1f} m/s", f"{v / wave:.1f} Hz", *(f"{100 * x:.0f} %" for x in row))
                for v, row in zip(speeds, swing, strict=True)
            ]
            title = f"{car.name}: swing of tyre loads over ripples of {1e3 * height:g} mm every {wave:g} m"
            note = "Above 100 % a wheel leaves the road. Small movements about cruising at the middle speed."
            _table(title, ("speed", "ripples", *names), rows, (note, ABOUT_MOTION))

    return tell


def damper_teller(car: Car, found: DamperTable) -> Teller:
    """Damping of each end, and what it could be."""

    def tell(as_json: bool, as_csv: bool) -> None:
        rows = found.rows()
        if as_json:
            echo_json(dampers_data(car, found))
            return
        if as_csv:
            _csv(HEADER, rows)
            return
        shown = [
            (
                r[0], f"{r[1]:.3f}", f"{r[2] / 1e3:.2f}", f"{r[3] / 1e3:.2f}", f"{r[4]:.2f}", f"{r[5] / 1e3:.2f}",
                f"{r[6]:.2f}", f"{100 * r[7]:.1f} %", f"{100 * r[8]:.1f} %",
            )
            for r in rows
        ]  # fmt: skip
        words = ("end", "motion ratio", "critical kN s/m", "now kN s/m", "ratio", "evenest kN s/m", "ratio",
                 "load variation now", "then")  # fmt: skip
        _table(
            f"{car.name}: dampers at 50 mm/s, evenest on a class {found.grade.upper()} road at {found.speed:.0f} m/s",
            words,
            shown,
            (),
        )
        for end, c in found.curves.items():
            lines = [
                (f"{1e3 * v:.0f} mm/s", f"{f:.0f}", f"{r:.0f}")
                for v, f, r in zip(c.speed, c.compression, c.rebound, strict=True)
            ]
            nearest = ", ".join(f"{key} {p:g} (off by {off:.0f} N)" for key, (p, off) in found.clicks[end].items())
            title = f"{end}: curve for a ratio of {found.body:g} up to 50 mm/s and {found.wheel:g} beyond"
            _table(
                title, ("speed", "compression N", "rebound N"), lines, (f"nearest clicks: {nearest or 'it has none'}",)
            )
        cautions(console(), (DAMPERS, ABOUT_MOTION))

    return tell
