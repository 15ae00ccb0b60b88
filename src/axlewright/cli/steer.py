"""`axlewright steer CAR [CAR...]`: how a car answers the steering wheel, and the driver's foot in a turn."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from axlewright.cli import _motion, _say
from axlewright.say.events import EVENTS

if TYPE_CHECKING:
    from axlewright.tune.events_asked import How


@click.command("steer")
@_motion.cars
@click.option(
    "--how",
    type=click.Choice(["step", "sweep", "lift-off", "brake"]),
    default="step",
    show_default=True,
    help="A step of steering, a sine of rising frequency, lifting off in a turn, braking in a turn.",
)
@click.option(
    "--speed", default=EVENTS["steer"].default("speed"), metavar="SPEED", show_default=True, help="At this speed."
)
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
    how: How,
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
        from axlewright.tune.events_asked import follow, steer

        if plot is not None:
            kind_of(plot)
        do = steer(
            how=how,
            speed=_motion.amount(speed, "speed", "--speed"),
            ay=None if ay is None else _motion.amount(ay, "acceleration", "--ay"),
            ramp=None if ramp is None else _motion.amount(ramp, "time", "--ramp"),
            effort=_motion.amount(effort, "share", "--effort"),
            seconds=_motion.amount(seconds, "time", "--seconds") if seconds else None,
        )
        found = follow([load(name) for name in cars], _motion.setups_of(setting, also), do, say)
        if plot is not None:
            from axlewright.draw.motion import motion_plot

            say("drawing", 0, 1)
            motion_plot(found, plot)
    _motion.answer(found, units=units, first=load(cars[0]), as_json=as_json, as_csv=as_csv, everything=everything)
