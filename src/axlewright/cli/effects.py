"""`axlewright effects CAR`: what one usable step of each adjuster changes, phase by phase."""

from __future__ import annotations

import click

from axlewright.cli import _say


@click.command("effects")
@click.argument("car")
@_say.phase
@_say.turn
@_say.adjuster
@_say.reading
@click.option("--place", type=click.Choice(["grid", "pits", "scales", "workshop"]), help="Only what can be done there.")
@click.option("--minutes", type=float, help="Only what one person can do in this time.")
@click.option("--as-turned", "as_turned", is_flag=True, help="The move alone, without the restoring moves.")
@click.option("--quick", is_flag=True, help="Without how sure each direction is, which takes most of the time.")
@_say.units
@_say.as_json
@_say.as_csv
def command(
    car: str,
    phases: tuple[str, ...],
    turn: str | None,
    adjusters: tuple[str, ...],
    readings: tuple[str, ...],
    place: str | None,
    minutes: float | None,
    as_turned: bool,
    quick: bool,
    units: str | None,
    as_json: bool,
    as_csv: bool,
) -> None:
    """Say what one usable step of each adjuster changes: the balance first, then what else moves.

    Both turn directions are solved unless --turn says otherwise. What can be done at one place can be done at a better
    equipped one too: grid, pits, scales, workshop.

    Example: axlewright effects my-car.toml --phase mid-corner --minutes 5
    """
    with _say.progress() as say:
        say("starting the solver", 0, 1)
        from axlewright import load
        from axlewright.cli.printed import effects as printed
        from axlewright.say import numbers
        from axlewright.tune.choose import within
        from axlewright.tune.effects import effects
        from axlewright.tune.export import effects_csv, effects_data

        one = load(car)
        table = effects(
            one,
            phases=phases,
            adjusters=within(one, adjusters, place, minutes),
            readings=readings,
            turns=("left", "right") if turn in (None, "both") else (turn,),
            restored=not as_turned,
            confidence=not quick,
            progress=say,
        )
    if as_json:
        printed.echo(effects_data(table))
    elif as_csv:
        click.echo(effects_csv(table), nl=False)
    else:
        printed.print_table(table, numbers.units_of(one, units))
