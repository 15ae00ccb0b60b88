"""`axlewright hold CAR`: the state that the car settles into in each held manoeuvre."""

from __future__ import annotations

import click

from axlewright.cli import _say


@click.command("hold")
@click.argument("car")
@_say.phase
@_say.turn
@_say.setting
@_say.reading
@click.option("--all", "everything", is_flag=True, help="Every reading, part forces too.")
@_say.units
@_say.as_json
@_say.as_csv
def command(
    car: str,
    phases: tuple[str, ...],
    turn: str | None,
    setting: tuple[str, ...],
    readings: tuple[str, ...],
    everything: bool,
    units: str | None,
    as_json: bool,
    as_csv: bool,
) -> None:
    """Say what state the car settles into in each phase: balance, tyre loads, roll, travel, part loads.

    Left turns are printed unless --turn says otherwise.

    Example: axlewright hold my-car.toml --phase mid-corner --turn both
    """
    with _say.progress() as say:
        say("starting the solver", 0, 1)
        from axlewright import load
        from axlewright.cli.printed import state
        from axlewright.say import numbers
        from axlewright.solve.verbs import hold
        from axlewright.tune.choose import chosen_phases, chosen_readings
        from axlewright.tune.export import held_data, values_of

        one = load(car)
        held = chosen_phases(one, phases, ("left", "right") if turn == "both" else (turn or "left",))
        solved = hold(one, held, _say.setup_of(setting))
        shown = chosen_readings(solved.machine, readings, at_rest=False, everything=everything)
        values_of(solved, shown)
    if as_json:
        state.echo_json(held_data(one.name, held, shown, solved))
    elif as_csv:
        state.print_csv([h.name for h in held], shown, solved)
    else:
        state.print_table(
            f"{one.name}, held", [h.name for h in held], shown, solved, numbers.units_of(one, units),
        )  # fmt: skip
