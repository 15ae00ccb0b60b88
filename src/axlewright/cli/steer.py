"""`axlewright steer CAR [CAR...]`: how a car answers the steering wheel, and the driver's foot in a turn."""

from __future__ import annotations

from dataclasses import replace

import click

from axlewright.cli import _motion, _say


@click.command("steer")
@_motion.cars
@click.option(
    "--how",
    type=click.Choice(["step", "sweep", "lift-off", "brake"]),
    default="step",
    show_default=True,
    help="A step of steering, a sine of rising frequency, lifting off in a turn, braking in a turn.",
)
@click.option("--speed", default="28 m/s", metavar="SPEED", show_default=True, help="At this speed.")
@click.option("--ay", default=None, metavar="ACCELERATION", help='Of the turn, such as "0.4 g", left positive.')
@click.option("--ramp", default=None, metavar="TIME", help='How long the step or the foot takes, such as "150 ms".')
@click.option("--effort", default="20 %", metavar="SHARE", show_default=True, help="Of full pedal, for --how brake.")
@_motion.seconds
@_say.setting
@_motion.also
@_motion.everything
@_say.units
@_say.as_json
@_say.as_csv
@_motion.plot
def command(
    cars: tuple[str, ...],
    how: str,
    speed: str,
    ay: str | None,
    ramp: str | None,
    effort: str,
    seconds: str,
    setting: tuple[str, ...],
    also: tuple[str, ...],
    everything: bool,
    units: str | None,
    as_json: bool,
    as_csv: bool,
    plot: str | None,
) -> None:
    """Say how a car, or several cars or setups side by side, answers: response times, overshoot, gain and phase (ISO
    7401), or what it does when the driver lifts or brakes in a turn (ISO 9816, ISO 7975).

    Example: axlewright steer my-car.toml --how sweep --also front_bar_hole=5 --plot sweep.svg
    """
    with _say.progress() as say:
        say("starting the solver", 0, 1)
        from axlewright import load
        from axlewright.draw.look import kind_of
        from axlewright.solve.motion import events

        if plot is not None:
            kind_of(plot)
        event = {
            "step": events.step_steer,
            "sweep": events.sine_sweep,
            "lift-off": events.lift_off,
            "brake": events.brake_in_turn,
        }[how]
        given: dict[str, object] = {"speed": _motion.amount(speed, "speed", "--speed")}
        if ay is not None:
            given["ay"] = _motion.amount(ay, "acceleration", "--ay")
        if ramp is not None and how != "sweep":
            given["ramp"] = _motion.amount(ramp, "time", "--ramp")
        if how == "brake":
            given["effort"] = _motion.amount(effort, "share", "--effort")
        if seconds:
            following = event.__kwdefaults__["how"]
            given["how"] = replace(following, duration=_motion.amount(seconds, "time", "--seconds"))
        found = _motion.follow(cars, setting, also, lambda car, setups: event(car, setups, **given), say)
        if plot is not None:
            from axlewright.draw.motion import steer_plot

            say("drawing", 0, 1)
            steer_plot(found, plot)
    _motion.answer(found, units=units, first=load(cars[0]), as_json=as_json, as_csv=as_csv, everything=everything)
