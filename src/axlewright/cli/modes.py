"""`axlewright modes CAR`: how a car swings by itself, how damped that is, and how far it is from hopping."""

from __future__ import annotations

import click

from axlewright.cli import _motion, _say


@click.command("modes")
@click.argument("car")
@_say.phase
@_say.turn
@click.option("--piston-speed", default=None, metavar="SPEED", help='Dampers as they are at this speed: "50 mm/s".')
@click.option("--adjuster", default=None, metavar="ADJUSTER", help="Frequency and damping along this adjuster.")
@click.option(
    "--hop", is_flag=True, help="Margin to hop with drive and brake effort, and what each torque link does to it."
)
@click.option("--ripples", default=None, metavar="HEIGHT,WAVE", help='Tyre loads over ripples, such as "10 mm,3.5 m".')
@click.option("--dampers", is_flag=True, help="Damping of each end, rates for even tyre loads, a curve and its clicks.")
@click.option("--body", default=0.6, show_default=True, help="With --dampers: damping ratio of the body up to 50 mm/s.")
@click.option("--wheel", default=0.3, show_default=True, help="With --dampers: slope beyond that, as a ratio.")
@click.option(
    "--rough", default="B", show_default=True, metavar="CLASS", help="With --dampers: ISO 8608 class, A to H."
)
@click.option("--speed", default="30 m/s", show_default=True, metavar="SPEED", help="For --ripples and --dampers.")
@_say.setting
@_say.as_json
@_say.as_csv
@_motion.plot
def command(
    car: str,
    phases: tuple[str, ...],
    turn: str | None,
    piston_speed: str | None,
    adjuster: str | None,
    hop: bool,
    ripples: str | None,
    dampers: bool,
    body: float,
    wheel: float,
    rough: str,
    speed: str,
    setting: tuple[str, ...],
    as_json: bool,
    as_csv: bool,
    plot: str | None,
) -> None:
    """Say how a car that stands or is held in its phases swings when it is nudged: frequency, damping ratio and what
    moves; with the tyres' slip and lag. The phase "standing" is the car at rest.

    Example: axlewright modes my-car.toml --piston-speed "50 mm/s" --adjuster damper_rear_rebound --plot rebound.svg
    """
    with _say.progress() as say:
        say("starting the solver", 0, 1)
        from axlewright import load
        from axlewright.cli.printed import swings as printed
        from axlewright.errors import RequestError

        one, setup = load(car), _say.setup_of(setting)
        piston = None if piston_speed is None else _motion.amount(piston_speed, "speed", "--piston-speed")
        v = _motion.amount(speed, "speed", "--speed")
        turns = ("left", "right") if turn == "both" else (turn or "left",)
        if plot is not None and adjuster is None:
            raise RequestError("--plot draws swings along an adjuster: add --adjuster with its id")
        if adjuster is not None:
            from axlewright.tune.swings import STANDING, along

            phase = phases[0] if phases else STANDING
            found = along(one, adjuster, phase=phase, turn=turns[0], piston_speed=piston, setup=setup)
            tell = printed.along_teller(one, phase, found, plot)
        elif hop:
            from axlewright.tune.hop_choice import hop_table

            tell = printed.hop_teller(one, hop_table(one, setup, progress=say))
        elif ripples is not None:
            from axlewright.tune.ripple_loads import ripple_loads

            height, wave = _motion.pair(ripples, "--ripples", example="10 mm,3.5 m")
            tell = printed.ripple_teller(one, height, wave, ripple_loads(one, height, wave, v, setup))
        elif dampers:
            from axlewright.tune.damper_table import damper_table

            table = damper_table(one, grade=rough, speed=v, body=body, wheel=wheel)
            tell = printed.damper_teller(one, table)
        else:
            from axlewright.tune.swings import swings

            every = swings(one, setup, phases=phases, turns=turns, piston_speed=piston, progress=say)
            tell = printed.swings_teller(one, every, piston)
    tell(as_json, as_csv)
