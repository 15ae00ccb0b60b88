"""`axlewright road CAR [CAR...]`: over a bump, a kerb, ripples or a rough road, or off blocks."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from axlewright.cli import _motion, _say
from axlewright.errors import RequestError
from axlewright.say.events import EVENTS

USUAL = EVENTS["road"].default

if TYPE_CHECKING:
    from axlewright.road.profile import Side


@click.command("road")
@_motion.cars
@click.option("--rough", default=None, metavar="CLASS", help="A random road of an ISO 8608 class, A to H.")
@click.option("--bump", default=None, metavar="HEIGHT,LENGTH", help='One bump, such as "20 mm,0.6 m".')
@click.option("--kerb", default=None, metavar="HEIGHT,LENGTH", help='A kerb with ramps, such as "40 mm,5 m".')
@click.option("--ripples", default=None, metavar="HEIGHT,WAVE", help='Ripples, such as "10 mm,3.5 m".')
@click.option("--drop", default=None, metavar="LF,RF,LR,RR", help='Off blocks, such as "30 mm,0 mm,0 mm,0 mm".')
@click.option(
    "--side",
    type=click.Choice(["left", "right", "both", "opposed"]),
    default="both",
    help="Of bump, kerb or ripples; opposed: down on the right where it is up on the left.",
)
@click.option(
    "--seed",
    type=int,
    default=int(USUAL("seed")),
    show_default=True,
    help="Of a random road: another number, another road.",
)
@click.option("--speed", default=USUAL("speed"), metavar="SPEED", show_default=True, help="At this speed.")
@click.option("--ax", default="0 g", metavar="ACCELERATION", help="Driving (positive) or braking as in a held phase.")
@click.option("--ay", default="0 g", metavar="ACCELERATION", help="In a turn, left positive.")
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
    rough: str | None,
    bump: str | None,
    kerb: str | None,
    ripples: str | None,
    drop: str | None,
    side: Side,
    seed: int,
    speed: str,
    ax: str,
    ay: str,
    seconds: str,
    setting: tuple[str, ...],
    also: tuple[str, ...],
    everything: bool,
    units: str | None,
    as_json: bool,
    as_csv: bool,
    plot: str | None,
) -> None:
    """Say what a car, or several cars or setups side by side, does over a road: tyre loads, body acceleration, hop,
    damper speeds.

    Example: axlewright road my-car.toml --rough B --speed "140 km/h" --also damper_rear_rebound=4 --plot road.svg
    """
    with _say.progress() as say:
        say("starting the solver", 0, 1)
        from axlewright import load
        from axlewright.draw.look import kind_of
        from axlewright.tune.events_asked import follow
        from axlewright.tune.events_asked import road as over

        if plot is not None:
            kind_of(plot)
        v = _motion.amount(speed, "speed", "--speed")
        blocks = None
        if drop is not None:
            blocks = [_motion.amount(part, "length", "--drop") for part in drop.split(",")]
            if len(blocks) != 4:
                raise RequestError(f'found --drop "{drop}"; expected four heights: LF,RF,LR,RR')
        do = over(
            rough=rough,
            bump=None if bump is None else _motion.pair(bump, "--bump"),
            kerb=None if kerb is None else _motion.pair(kerb, "--kerb"),
            ripples=None if ripples is None else _motion.pair(ripples, "--ripples"),
            drop=blocks,
            side=side,
            seed=seed,
            speed=v,
            ax=_motion.amount(ax, "acceleration", "--ax"),
            ay=_motion.amount(ay, "acceleration", "--ay"),
            seconds=_motion.amount(seconds, "time", "--seconds") if seconds else None,
        )
        found = follow([load(name) for name in cars], _motion.setups_of(setting, also), do, say)
        if plot is not None:
            from axlewright.draw.motion import motion_plot

            say("drawing", 0, 1)
            motion_plot(found, plot)
    _motion.answer(found, units=units, first=load(cars[0]), as_json=as_json, as_csv=as_csv, everything=everything)
