"""`axlewright travel CAR`: what the geometry does as the wheels move and the chassis stands still."""

from __future__ import annotations

import click

from axlewright.cli import _say

MOVEMENTS = ("bump", "roll", "steer", "wind_up")


@click.command("travel")
@click.argument("car")
@click.option("--bump", metavar="FROM..TO", help="Both wheels of each end up. Default: -60..60 mm.")
@click.option("--roll", metavar="FROM..TO", help="Chassis roll, right side down, in degrees.")
@click.option("--steer", metavar="FROM..TO", help="Rack travel, left steer positive, in mm.")
@click.option("--wind-up", "wind_up", metavar="FROM..TO", help="Of the axle housing, nose up, in degrees.")
@click.option("--wheel", "wheels", multiple=True, metavar="WHEEL=FROM..TO", help="One wheel up: LF, RF, LR or RR.")
@click.option("--points", type=click.IntRange(2, 201), default=None, help="Positions of each movement. Default: 7.")
@click.option("--active", type=click.Choice(["drive", "brake"]), default="drive", help="Torque link that holds.")
@click.option(
    "--assembly",
    "assemblies",
    multiple=True,
    metavar="PART=DEGREES",
    help="Put together another way than drawn: bellcrank=-161.",
)
@_say.setting
@click.option("--against", multiple=True, metavar="ADJUSTER=POSITION", help="A second setup, shown over the first one.")
@_say.reading
@click.option("--all", "everything", is_flag=True, help="Every geometry reading.")
@click.option("--plot", "plots", metavar="FILE", help="Draw the curves to an .svg or .png file.")
@_say.units
@_say.as_json
@_say.as_csv
def command(
    car: str,
    bump: str | None,
    roll: str | None,
    steer: str | None,
    wind_up: str | None,
    wheels: tuple[str, ...],
    points: int | None,
    active: str,
    assemblies: tuple[str, ...],
    setting: tuple[str, ...],
    against: tuple[str, ...],
    readings: tuple[str, ...],
    everything: bool,
    plots: str | None,
    units: str | None,
    as_json: bool,
    as_csv: bool,
) -> None:
    """Say what the geometry does as the wheels move and the chassis stands still, springs out.

    Movements combine as a grid. A curve stops, with the reason, where the links can go no further.

    Example: axlewright travel my-car.toml --roll -3..3 --reading roll_centre_height_rear --plot curves.svg
    """
    with _say.progress() as say:
        say("starting the solver", 0, 1)
        from axlewright import load
        from axlewright.cli.printed import travelled
        from axlewright.cli.printed.state import echo_json
        from axlewright.say import numbers
        from axlewright.say.spans import poses_of
        from axlewright.solve.travel import travel
        from axlewright.tune.choose import chosen_geometry
        from axlewright.tune.travelled import travel_data

        one = load(car)
        shown_in = numbers.units_of(one, units)
        asked = {"bump": bump, "roll": roll, "steer": steer, "wind_up": wind_up}
        given = {name: text for name, text in asked.items() if text is not None} | travelled.wheels_of(wheels)
        poses = poses_of(given, points, shown_in)
        setups = {"as set": _say.setup_of(setting)} | ({"against": _say.setup_of(against)} if against else {})
        way = travelled.assembly_of(assemblies)
        found = {name: travel(one, poses, setup, active=active, assembly=way) for name, setup in setups.items()}
        shown = chosen_geometry(next(iter(found.values())).solved.machine, readings, everything=everything)
        named = travelled.named(setups) if against else {"as set": one.name}
        if plots:
            travelled.draw(one.name, found, named, shown, plots, shown_in)
    if as_json:
        echo_json(travel_data(one.name, found, setups, shown))
    elif as_csv:
        travelled.print_csv(found, shown)
    else:
        travelled.print_tables(one.name, found, named, shown, shown_in)
        if plots:
            click.echo(f"drawn: {plots}")
