"""`axlewright limits CAR`: what binds, bottoms, comes loose or touches first, through travel and in every phase."""

from __future__ import annotations

import click

from axlewright.cli import _say


@click.command("limits")
@click.argument("car")
@_say.phase
@_say.turn
@_say.setting
@_say.adjuster
@click.option("--all", "everything", is_flag=True, help="Every margin, not only the first to run out.")
@click.option("--quick", is_flag=True, help="Without what adjusters do to it, which takes most of the time.")
@_say.units
@_say.as_json
@_say.as_csv
def command(
    car: str,
    phases: tuple[str, ...],
    turn: str | None,
    setting: tuple[str, ...],
    adjusters: tuple[str, ...],
    everything: bool,
    quick: bool,
    units: str | None,
    as_json: bool,
    as_csv: bool,
) -> None:
    """Say what runs out first and where, least first: coil bind, loose springs, solid dampers, joints at their angle,
    toggles, over-centre bar arms, the ground, tubes that touch.

    The linkage is cycled from stop to stop, rolled, steered lock to lock and wound up; then every phase is held, in
    both turn directions unless --turn says otherwise. Angles of joints, tubes and low points are looked at where the
    car file gives them, in [joints] and [clearance].

    Example: axlewright limits my-car.toml --set watt_pivot=4
    """
    with _say.progress() as say:
        say("starting the solver", 0, 1)
        from axlewright import load
        from axlewright.cli.printed import runs_out as printed
        from axlewright.cli.printed.state import echo_json
        from axlewright.say import numbers
        from axlewright.tune.export_limits import runs_out_data
        from axlewright.tune.runs_out import runs_out

        one = load(car)
        found = runs_out(
            one,
            phases=phases,
            turns=("left", "right") if turn in (None, "both") else (turn,),
            setup=_say.setup_of(setting),
            adjusters=adjusters,
            steps=not quick,
            progress=say,
        )
    if as_json:
        echo_json(runs_out_data(found))
    elif as_csv:
        printed.print_csv(found)
    else:
        printed.print_table(found, numbers.units_of(one, units), everything)
