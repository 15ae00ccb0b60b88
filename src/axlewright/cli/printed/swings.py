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
from axlewright.cli.printed.motion import ABOUT_MOTION
from axlewright.cli.printed.state import echo_json
from axlewright.readings import READINGS
from axlewright.solve.motion.events import cruising, ready
from axlewright.solve.motion.modes import linear
from axlewright.solve.verbs import rest
from axlewright.tune.damper_choice import damper_rates, end_damping, evenest, nearest_clicks, propose
from axlewright.tune.hop_choice import HopRow
from axlewright.tune.hop_margin import G, HopMargin, load_over_ripples
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


def _number(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


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
    rows = [
        (one.state, name, mode.frequency, mode.damping, mode.shares)
        for one in found
        for name, mode in one.named().items()
    ]

    def tell(as_json: bool, as_csv: bool) -> None:
        if as_json:
            states: dict[str, dict[str, object]] = {}
            for state, name, hertz, ratio, shares in rows:
                big = {k: round(v, 4) for k, v in shares.items() if v > 0.01}
                states.setdefault(state, {})[name] = {"frequency": hertz, "damping": ratio, "shares": big}
            echo_json({"version": 1, "car": car.name, "piston_speed": piston, "states": states, "ride": _ride(car)})
        elif as_csv:
            _csv(("state", "swing", "frequency", "damping"), [row[:4] for row in rows])
        else:
            out = console()
            for one in found:
                lines = [
                    (name, f"{mode.frequency:.2f}", f"{mode.damping:.2f}", _shares(mode.shares))
                    for name, mode in one.named().items()
                ]
                speed = "" if piston is None else f", dampers at {1e3 * piston:.0f} mm/s"
                _table(f"{car.name}: {one.state}{speed}", ("swing", "Hz", "damping", "what moves"), lines, ())
            ride = _ride(car)
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


def _ride(car: Car) -> dict[str, float]:
    """Ride frequencies on wheel rate, Hz, and static deflections, m."""
    standing = rest(car)
    front, rear = (float(READINGS[f"ride_frequency_{end}"].read(standing)[0]) for end in ("front", "rear"))
    deflection = {end: G / (2.0 * np.pi * f) ** 2 for end, f in (("front", front), ("rear", rear))}
    return {
        "front": front, "rear": rear, "ratio": rear / front,
        "deflection_front": deflection["front"], "deflection_rear": deflection["rear"],
    }  # fmt: skip


def along_teller(car: Car, phase: str, found: Along, plot: str | None) -> Teller:
    """Swings along an adjuster."""
    names = list(found.frequency)
    if plot is not None:
        from axlewright.draw.swings import along_plot

        along_plot(car, phase, found, plot)

    def tell(as_json: bool, as_csv: bool) -> None:
        if as_json:
            swings = {
                name: {
                    "frequency": [_number(v) for v in found.frequency[name]],
                    "damping": [_number(v) for v in found.damping[name]],
                }
                for name in names
            }
            positions = [float(p) for p in found.positions]
            about = {"car": car.name, "state": phase, "adjuster": found.adjuster}
            echo_json({"version": 1, **about, "positions": positions, "swings": swings})
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


def hop_teller(car: Car, rows: Sequence[HopRow]) -> Teller:
    """Margins to hop."""
    ways = ("drive", "brake")

    def one(m: HopMargin) -> dict[str, float | None]:
        looked = float(np.nanmax(np.abs(m.ax)))
        return {"margin": _number(m.margin), "hop": _number(m.least), "tramp": _number(m.least_tramp), "to": looked}

    def tell(as_json: bool, as_csv: bool) -> None:
        if as_json:
            data = {row.name: {way: one(getattr(row, way)) for way in ways} for row in rows}
            echo_json({"version": 1, "car": car.name, "hop": data})
        elif as_csv:
            header = [f"{way}_{what}" for way in ways for what in ("margin", "hop_damping", "tramp_damping")]
            lines = [[r.name, *(v for way in ways for v in list(one(getattr(r, way)).values())[:3])] for r in rows]
            _csv(["setup", *header], [["" if v is None else v for v in line] for line in lines])
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
        rows = [
            [*(one.setup[k] for k in keys), one.lost, one.demand, one.travel, "yes" if one.room else "no"]
            for one in found
        ]
        header = [*keys, "thrust_lost_0.3", "peak_demand", "travel", "off_its_stop"]
        if as_json:
            data = [dict(zip(header, row, strict=True)) for row in rows]
            echo_json({"version": 1, "car": car.name, "choices": data})
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


def ripple_teller(car: Car, setup: dict[str, float], height: float, wave: float, speed: float) -> Teller:
    """Tyre loads over ripples."""
    at = ready(car, [setup], cruising(speed))
    about = linear(at)
    speeds = speed * np.array([0.5, 0.75, 0.9, 1.0, 1.1, 1.25, 1.5])
    swing = np.array([load_over_ripples(at, about, wave=wave, speed=v, height=height) for v in speeds])
    names = at.mover.machine.topology.mechanism.wheels

    def tell(as_json: bool, as_csv: bool) -> None:
        if as_json:
            data = {name: [float(v) for v in swing[:, i]] for i, name in enumerate(names)}
            echo_json({"version": 1, "car": car.name, "speeds": [float(v) for v in speeds], "load_swing": data})
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


def damper_teller(car: Car, grade: str, speed: float, body: float, wheel: float) -> Teller:
    """Damping of each end, and what it could be."""
    ends, now, best = end_damping(car), damper_rates(car), evenest(car, grade=grade, speed=speed)
    curves = {end: propose(one, body=body, wheel=wheel) for end, one in ends.items()}
    clicks = {end: nearest_clicks(car, end, curve) for end, curve in curves.items()}

    def tell(as_json: bool, as_csv: bool) -> None:
        rows = [
            (end, one.motion_ratio, one.critical, now.get(end, 0.0), one.ratio(now.get(end, 0.0)),
             best.rates.get(end, math.nan), best.ratios.get(end, math.nan), best.before[end], best.after[end])
            for end, one in ends.items()
        ]  # fmt: skip
        header = ("end", "motion_ratio", "critical", "rate_now", "ratio_now", "rate_even", "ratio_even",
                  "variation_now", "variation_even")  # fmt: skip
        if as_json:
            data = {row[0]: dict(zip(header[1:], (_number(float(v)) for v in row[1:]), strict=True)) for row in rows}
            shapes = {
                end: {
                    "speed": c.speed,
                    "compression": [float(f) for f in c.compression],
                    "rebound": [float(f) for f in c.rebound],
                }
                for end, c in curves.items()
            }
            set_to = {
                end: {key: {"clicks": p, "off": off} for key, (p, off) in one.items()} for end, one in clicks.items()
            }
            echo_json({"version": 1, "car": car.name, "ends": data, "curves": shapes, "clicks": set_to})
            return
        if as_csv:
            _csv(header, rows)
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
            f"{car.name}: dampers at 50 mm/s, evenest on a class {grade.upper()} road at {speed:.0f} m/s",
            words,
            shown,
            (),
        )
        for end, c in curves.items():
            lines = [
                (f"{1e3 * v:.0f} mm/s", f"{f:.0f}", f"{r:.0f}")
                for v, f, r in zip(c.speed, c.compression, c.rebound, strict=True)
            ]
            nearest = ", ".join(f"{key} {p:g} (off by {off:.0f} N)" for key, (p, off) in clicks[end].items())
            title = f"{end}: curve for a ratio of {body:g} up to 50 mm/s and {wheel:g} beyond"
            _table(
                title, ("speed", "compression N", "rebound N"), lines, (f"nearest clicks: {nearest or 'it has none'}",)
            )
        cautions(console(), (DAMPERS, ABOUT_MOTION))

    return tell
