"""`axlewright range CAR ADJUSTER [ADJUSTER]`: what an adjuster does from one end of its range to the other."""

from __future__ import annotations

from collections.abc import Sequence

import click

from axlewright.cli import _say
from axlewright.errors import RequestError


def holds_of(pairs: Sequence[str]) -> dict[str, str]:
    """`("pinion_angle=drive_length",)` as reading -> adjuster."""
    found: dict[str, str] = {}
    for pair in pairs:
        reading, equals, adjuster = (part.strip() for part in pair.partition("="))
        if not (reading and equals and adjuster):
            example = "--hold pinion_angle=drive_length"
            raise RequestError(f'found --hold "{pair}"; expected READING=ADJUSTER, such as {example}')
        if reading in found:
            raise RequestError(f"{reading} is to be held twice: name one adjuster for it")
        found[reading] = adjuster
    return found


@click.command("range")
@click.argument("car")
@click.argument("adjusters", nargs=-1, required=True, metavar="ADJUSTER [ADJUSTER]")
@_say.phase
@_say.turn
@_say.reading
@click.option(
    "--hold",
    "held",
    multiple=True,
    metavar="READING=ADJUSTER",
    help="Also with a reading at rest held as it is by re-setting a length; may be given again.",
)
@_say.setting
@click.option("--against", multiple=True, metavar="ADJUSTER=POSITION", help="A second setup, drawn over the first one.")
@_say.units
@_say.as_json
@_say.as_csv
@click.option("--plot", metavar="FILE", help="Draw it to an .svg or .png file.")
def command(
    car: str,
    adjusters: tuple[str, ...],
    phases: tuple[str, ...],
    turn: str | None,
    readings: tuple[str, ...],
    held: tuple[str, ...],
    setting: tuple[str, ...],
    against: tuple[str, ...],
    units: str | None,
    as_json: bool,
    as_csv: bool,
    plot: str | None,
) -> None:
    """Say what an adjuster does over its whole range, or two adjusters as a grid: at rest, and in held phases.

    Without --reading: what the adjuster is moved for, and the balance. Left turns unless --turn says otherwise. A
    position that can't be made, or where no state is found, stays empty and the reason stands below.

    Example: axlewright range my-car.toml drive_mount_chassis --hold pinion_angle=drive_length --plot squat.svg
    """
    with _say.progress() as say:
        say("starting the solver", 0, 1)
        from axlewright import load
        from axlewright.cli.printed import ranges as printed
        from axlewright.cli.printed.effects import echo
        from axlewright.cli.printed.travelled import named
        from axlewright.say import numbers
        from axlewright.tune.export_range import range_csv, range_data
        from axlewright.tune.whole_range import whole_range

        if against and (as_json or as_csv or len(adjusters) > 1):
            raise RequestError("--against shows two setups of one adjuster, as tables and curves; use --set otherwise")
        if plot is not None:
            from axlewright.draw.look import kind_of

            kind_of(plot)  # before the work is done
        one = load(car)
        setups = {"as set": _say.setup_of(setting)} | ({"against": _say.setup_of(against)} if against else {})
        names = named(setups) if against else {"as set": one.name}
        found = {
            names[key]: whole_range(
                one,
                adjusters,
                phases=phases,
                turns=("left", "right") if turn == "both" else (turn or "left",),
                readings=readings,
                hold=holds_of(held),
                setup=setup,
                progress=say,
            )
            for key, setup in setups.items()
        }
        shown = numbers.units_of(one, units)
        if plot is not None:
            from axlewright.cli.printed.range_plot import draw

            say("drawing", 0, 1)
            draw(found, plot, shown, bool(phases))
    first = next(iter(found.values()))
    if as_json:
        echo(range_data(first))
    elif as_csv:
        click.echo(range_csv(first), nl=False)
    else:
        printed.print_tables(found, shown, asked=bool(phases))
