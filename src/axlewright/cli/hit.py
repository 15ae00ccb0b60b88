"""`axlewright hit CAR [CAR...]`: the throttle opens or the brakes come on, and what the car does then."""

from __future__ import annotations

import click

from axlewright.cli import _motion, _say
from axlewright.errors import RequestError
from axlewright.say.events import EVENTS

DRIVE, BRAKE = EVENTS["drive"].default, EVENTS["brake"].default


@click.command("hit")
@_motion.cars
@click.option("--brake", is_flag=True, help="Brake instead of opening the throttle.")
@click.option("--speed", default=None, metavar="SPEED", help='At this speed; "0 m/s" starts from standing.')
@click.option("--torque", default=DRIVE("torque"), metavar="TORQUE", show_default=True, help="Of the driven axle.")
@click.option(
    "--effort", default=BRAKE("effort"), metavar="SHARE", show_default=True, help="Of full pedal, with --brake."
)
@click.option("--ramp", default=None, metavar="TIME", help='How long it takes to come on, such as "20 ms".')
@click.option("--patch", default=None, metavar="AT,LENGTH,GRIP", help='Other grip on the way, such as "10 m,5 m,60 %".')
@click.option("--choose", is_flag=True, help="Which torque-link setting loses least thrust: combinations, best first.")
@_motion.seconds
@_say.setting
@_motion.also
@_motion.everything
@_say.units
@_say.as_json
@_say.as_csv
@_motion.plot
@click.option("--animate", metavar="FILE", help="Draw the axle winding up to a .gif file.")
def command(
    cars: tuple[str, ...],
    brake: bool,
    speed: str | None,
    torque: str,
    effort: str,
    ramp: str | None,
    patch: str | None,
    choose: bool,
    seconds: str,
    setting: tuple[str, ...],
    also: tuple[str, ...],
    everything: bool,
    units: str | None,
    as_json: bool,
    as_csv: bool,
    plot: str | None,
    animate: str | None,
) -> None:
    """Say what a car, or several cars or setups side by side, does when the throttle opens (or, with --brake, when the
    brakes come on): tyre demand, time to full grip, thrust lost, wind-up, link forces, hop.

    Example: axlewright hit my-car.toml --torque "1800 N m" --also drive_preload=2000 --plot hit.svg --animate hit.gif
    """
    with _say.progress() as say:
        say("starting the solver", 0, 1)
        from axlewright import load
        from axlewright.draw.look import kind_of
        from axlewright.tune.events_asked import follow, hit

        if plot is not None:
            kind_of(plot)
        if animate is not None and not animate.endswith(".gif"):
            raise RequestError(f'an animation can\'t be written to "{animate}": its name must end in .gif')
        usual = BRAKE if brake else DRIVE
        duration = _motion.amount(seconds or usual("seconds"), "time", "--seconds")
        rise = _motion.amount(ramp or usual("ramp"), "time", "--ramp")
        at = _motion.amount(speed or usual("speed"), "speed", "--speed")
        share, force = _motion.amount(effort, "share", "--effort"), _motion.amount(torque, "torque", "--torque")
        if choose:
            from axlewright.cli.printed.swings import choice_teller
            from axlewright.tune.torque_link_choice import choose as best

            say("trying torque-link settings", 0, 1)
            found = best(load(cars[0]), brake=brake, torque=force, effort=share, speed=at)
            choice_teller(load(cars[0]), found)(as_json, as_csv)
            return
        other = None if patch is None else patch_of(patch)
        do = hit(brake=brake, speed=at, torque=force, effort=share, ramp=rise, patch=other, seconds=duration)
        found = follow([load(name) for name in cars], _motion.setups_of(setting, also), do, say)
        if plot is not None:
            from axlewright.draw.motion import motion_plot

            say("drawing", 0, 1)
            motion_plot(found, plot)
        if animate is not None:
            from axlewright.draw.winding import winding

            say("animating", 0, 1)
            winding(found, animate)
    _motion.answer(found, units=units, first=load(cars[0]), as_json=as_json, as_csv=as_csv, everything=everything)


def patch_of(text: str) -> tuple[float, float, float]:
    """`"10 m,5 m,60 %"`: where other grip begins, how long it is, and its share."""
    parts = [part.strip() for part in text.split(",")]
    if len(parts) != 3:
        raise RequestError(f'found --patch "{text}"; expected where, how long and the grip, such as "10 m,5 m,60 %"')
    at, length = (_motion.amount(part, "length", "--patch") for part in parts[:2])
    return at, length, _motion.amount(parts[2], "share", "--patch")
