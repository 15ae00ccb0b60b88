"""What the commands of motion have in common: cars and setups side by side, quantities with units, and the answer."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from axlewright.cli import _say
from axlewright.errors import RequestError
from axlewright.units import UnitError, parse

if TYPE_CHECKING:
    from axlewright.car.schema import Car
    from axlewright.solve.motion.run import Run
    from axlewright.tune.events_asked import Pair

cars = click.argument("cars", nargs=-1, required=True, metavar="CAR [CAR...]")
also = click.option(
    "--also",
    multiple=True,
    metavar="ADJUSTER=POSITION,...",
    help="One more setup of the first car to compare, such as front_bar_hole=4,rear_bar_hole=1; may be given again.",
)
plot = click.option("--plot", metavar="FILE", help="Draw it to an .svg or .png file.")
everything = click.option("--all", "everything", is_flag=True, help="Every reading, details too.")
seconds = click.option("--seconds", default="", metavar="TIME", help='How long to follow it, such as "3 s".')


def amount(text: str, kind: str, option: str) -> float:
    """SI value of a quantity given on the command line."""
    try:
        return parse(text, kind).value
    except UnitError as error:
        raise RequestError(f"{option}: {error}") from error


def setups_of(setting: Sequence[str], also: Sequence[str]) -> list[dict[str, float]]:
    """The setup that --set gives, then each of --also on top of it."""
    first = _say.setup_of(setting)
    return [first, *({**first, **_say.setup_of([p for p in one.split(",") if p.strip()], "--also")} for one in also)]


def pair(text: str, option: str, example: str = "20 mm,0.6 m") -> Pair:
    """Two lengths given on the command line."""
    parts = [part.strip() for part in text.split(",")]
    if len(parts) != 2:
        raise RequestError(f'found {option} "{text}"; expected a height and a length, such as "{example}"')
    return amount(parts[0], "length", option), amount(parts[1], "length", option)


def answer(
    found: Sequence[tuple[str, Run]],
    *,
    units: str | None,
    first: Car,
    as_json: bool,
    as_csv: bool,
    everything: bool,
) -> None:
    """Print runs side by side, or as data."""
    from axlewright.cli.printed import motion
    from axlewright.say import numbers

    if as_json:
        from axlewright.cli.printed.state import echo_json
        from axlewright.tune.export_motion import runs_data

        echo_json(runs_data(found))
    elif as_csv:
        motion.print_csv(found)
    else:
        motion.print_tables(found, numbers.units_of(first, units), everything=everything)
