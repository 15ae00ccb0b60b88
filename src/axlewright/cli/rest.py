"""`axlewright rest CAR`: how the car stands on its wheels, as on scales."""

from __future__ import annotations

import click

from axlewright.cli import _say


@click.command("rest")
@click.argument("car")
@_say.setting
@_say.reading
@click.option("--all", "everything", is_flag=True, help="Every reading, part forces too.")
@_say.units
@_say.as_json
@_say.as_csv
def command(
    car: str,
    setting: tuple[str, ...],
    readings: tuple[str, ...],
    everything: bool,
    units: str | None,
    as_json: bool,
    as_csv: bool,
) -> None:
    """Say how the car stands, on slip plates as on scales: corner weights, ride heights, rates, geometry.

    Example: axlewright rest my-car.toml --set perch_LF=2
    """
    with _say.progress() as say:
        say("starting the solver", 0, 1)
        from axlewright import load
        from axlewright.cli.printed import state
        from axlewright.say import numbers
        from axlewright.solve.verbs import rest
        from axlewright.tune.choose import chosen_readings
        from axlewright.tune.export import rest_data, values_of

        one = load(car)
        solved = rest(one, _say.setup_of(setting))
        shown = chosen_readings(solved.machine, readings, at_rest=True, everything=everything)
        values_of(solved, shown)
    if as_json:
        state.echo_json(rest_data(one.name, shown, solved))
    elif as_csv:
        state.print_csv(["at rest"], shown, solved)
    else:
        state.print_table(f"{one.name} at rest", ["at rest"], shown, solved, numbers.units_of(one, units))
