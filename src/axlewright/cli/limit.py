"""`axlewright limit CAR`: how far each phase can be pushed, what runs out, and which adjusters move that most."""

from __future__ import annotations

import click

from axlewright.cli import _say

MOST = 12  # adjusters listed unless all are asked for


@click.command("limit")
@click.argument("car")
@_say.phase
@_say.turn
@_say.setting
@_say.adjuster
@click.option("--all", "everything", is_flag=True, help="Every adjuster, not only the strongest.")
@_say.as_json
@_say.as_csv
def command(
    car: str,
    phases: tuple[str, ...],
    turn: str | None,
    setting: tuple[str, ...],
    adjusters: tuple[str, ...],
    everything: bool,
    as_json: bool,
    as_csv: bool,
) -> None:
    """Say how far each phase can be pushed along its own direction, what runs out there, and which adjusters move it.

    What one usable step of an adjuster does to the margin is first order, exact for small steps.

    Example: axlewright limit my-car.toml --phase mid-corner
    """
    with _say.progress() as say:
        say("starting the solver", 0, 1)
        from axlewright import load
        from axlewright.cli.printed import limits as printed
        from axlewright.cli.printed.state import echo_json
        from axlewright.tune.export_limits import limits_data
        from axlewright.tune.limits import limits

        turns = ("left", "right") if turn == "both" else (turn or "left",)
        found = limits(load(car), phases=phases, turns=turns, setup=_say.setup_of(setting), adjusters=adjusters)
    if as_json:
        echo_json(limits_data(found))
    elif as_csv:
        printed.print_csv(found)
    else:
        printed.print_table(found, len(found.adjusters) if everything or adjusters else MOST)
