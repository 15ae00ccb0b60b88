"""The linkage through its travel, printed: one row a reading, one column a position."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import click
import numpy as np
from rich.markup import escape
from rich.table import Table

from axlewright import units as si
from axlewright.cli._say import cautions, console
from axlewright.draw import axis, curves, grid
from axlewright.errors import RequestError, known
from axlewright.readings import Reading
from axlewright.say.numbers import Units, number, shown, unit_of
from axlewright.say.travel import BY_HAND, MORE, WORDS, unit_for
from axlewright.solve.assemblies import assemblies
from axlewright.solve.phases import WHEELS
from axlewright.solve.poses import Poses
from axlewright.solve.travel import Travelled
from axlewright.tune.travelled import travel_csv, values_of

COLUMNS = 7  # positions side by side; more go below
PLOTTED = 6  # readings that a plot shows unless they are named


def wheels_of(pairs: Sequence[str]) -> dict[str, str]:
    """`("LF=-30..30",)` as wheel -> text."""
    found: dict[str, str] = {}
    for pair in pairs:
        wheel, equals, text = pair.partition("=")
        if not equals:
            raise RequestError(f'found --wheel "{pair}"; expected WHEEL=FROM..TO, such as --wheel LF=-30..30')
        known("wheel", [wheel.strip()], WHEELS)
        found[wheel.strip()] = text
    return found


def assembly_of(pairs: Sequence[str]) -> dict[str, float]:
    """`("bellcrank=-161",)` as angles in rad."""
    found: dict[str, float] = {}
    for pair in pairs:
        part, _, angle = pair.partition("=")
        try:
            found[part.strip()] = float(np.radians(float(angle)))
        except ValueError:
            raise RequestError(f'found --assembly "{pair}"; expected PART=DEGREES, such as bellcrank=-161') from None
    return found


def named(setups: Mapping[str, Mapping[str, float]]) -> dict[str, str]:
    """Each setup by what was moved in it."""
    return {
        name: ", ".join(f"{key} {position:g}" for key, position in setup.items()) or "as the car is set"
        for name, setup in setups.items()
    }


def print_tables(
    car: str, found: Mapping[str, Travelled], names: Mapping[str, str], readings: Sequence[Reading], units: Units
) -> None:
    """Tables for people, one a setup."""
    out = console()
    for key, travelled in found.items():
        title = f"{car} through its travel" + (f": {names[key]}" if len(found) > 1 else "")
        out.print(f"[bold]{escape(title)}[/bold]")
        values = values_of(travelled, readings)
        still = [i for i, reading in enumerate(readings) if _still(reading, values[:, i])]
        moving = [i for i in range(len(readings)) if i not in still] or still
        for first in range(0, travelled.poses.batch, COLUMNS):
            members = list(range(first, min(first + COLUMNS, travelled.poses.batch)))
            out.print(_table(travelled, values[:, moving], [readings[i] for i in moving], members, units))
        if still and moving != still:
            out.print(
                "[dim]unchanged: "
                + escape("; ".join(_said(readings[i], values[:, i], units) for i in still))
                + "[/dim]"
            )
        stopped = list(dict.fromkeys(filter(None, travelled.reasons)))
        for reason in stopped:
            out.print(f"[red]{escape(reason)}[/red]", soft_wrap=True)
        ways = [way.name for way in assemblies(travelled.solved.machine)] if stopped else []
        if ways:
            out.print(f"Put together as drawn. The same parts also close as --assembly {' or '.join(ways)}.")
    cautions(out, (BY_HAND,))


def _still(reading: Reading, values: np.ndarray) -> bool:
    """Whether a reading does not change over several poses by as much as it is worth saying."""
    there = values[np.isfinite(values)]
    return there.size > 1 and bool(np.ptp(there) < max(reading.smallest, np.finfo(float).tiny))


def _said(reading: Reading, values: np.ndarray, units: Units) -> str:
    return f"{reading.name} {shown(reading, float(values[np.isfinite(values)][0]), units)}"


def _heads(poses: Poses, units: Units) -> list[str]:
    """What stands in the first column: the movements that vary, with their units, one a line."""
    return [f"{WORDS[name]}, {unit_for(name, units)}" for name in poses.names]


def _head(poses: Poses, member: int, units: Units) -> str:
    """One position, a line for each movement that varies."""
    if not poses.names:
        return poses.say(member)
    index = np.unravel_index(member, poses.shape)
    placed = zip(poses.names, poses.axes, index, strict=True)
    return "\n".join(number(float(values[i]), unit_for(name, units)) for name, values, i in placed)


def _table(
    travelled: Travelled, values: np.ndarray, readings: Sequence[Reading], members: Sequence[int], units: Units
) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold")
    table.add_column("\n".join(_heads(travelled.poses, units)), vertical="bottom")
    table.add_column("unit", style="dim", vertical="bottom")
    for member in members:
        table.add_column(escape(_head(travelled.poses, member, units)), justify="right", vertical="bottom")
    for i, reading in enumerate(readings):
        unit = unit_of(reading, units)
        if np.isfinite(values[:, i]).any():
            table.add_row(escape(reading.name), unit, *(number(values[m, i], unit) for m in members))
    return table


def print_csv(found: Mapping[str, Travelled], readings: Sequence[Reading]) -> None:
    """Travel as CSV, SI."""
    click.echo(travel_csv(found, readings), nl=False)


def draw(
    car: str, found: Mapping[str, Travelled], names: Mapping[str, str], readings: Sequence[Reading], path: str,
    units: Units,
) -> None:  # fmt: skip
    """Curves over the movement that varies, the setups over each other; or one reading over two movements."""
    first = next(iter(found.values()))
    reasons = list(dict.fromkeys(reason for travelled in found.values() for reason in travelled.reasons if reason))
    title, under = f"{car} through its travel", "chassis fixed, springs out"
    if len(first.poses.names) == 1:
        (movement,), (places,) = first.poses.names, first.poses.axes
        panels = [
            curves.Panel(
                axis.of_reading(reading, unit_of(reading, units)),
                [curves.Curve(names[key], places, travelled.read(reading.read), travelled.reached, 0.0)
                 for key, travelled in found.items()],
            )
            for reading in readings[:PLOTTED]
        ]  # fmt: skip
        curves.panels(panels, path, x=_axis(movement, units), title=title, under=under, notes=reasons)
    elif len(first.poses.names) == 2 and len(found) == 1:
        x, y = (_axis(name, units) for name in first.poses.names)
        surfaces = [
            grid.Surface(
                axis.of_reading(reading, unit_of(reading, units)), first.read(reading.read).reshape(first.poses.shape)
            )
            for reading in readings[:PLOTTED]
        ]
        places = (first.poses.axes[0], first.poses.axes[1])
        grid.grids(
            surfaces, path, x=x, y=y, places=places, now=(0.0, 0.0), title=title, under=under, notes=reasons,
        )  # fmt: skip
    else:
        raise RequestError(
            f"found {len(first.poses.names)} movements and {len(found)} setups to draw; expected one movement, or two "
            "without --against. Likeliest fix: name fewer movements"
        )


def _axis(movement: str, units: Units) -> axis.Axis:
    unit = unit_for(movement, units)
    more, less = MORE[movement]
    return axis.Axis(WORDS[movement], unit, si.scale(unit)[0], more, less)
