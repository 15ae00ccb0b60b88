"""`axlewright road CAR [CAR...]`: over a bump, a kerb, ripples or a rough road, or off blocks."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import click

from axlewright.cli import _motion, _say
from axlewright.errors import RequestError

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
@click.option("--seed", type=int, default=1, show_default=True, help="Of a random road: another number, another road.")
@click.option("--speed", default="25 m/s", metavar="SPEED", show_default=True, help="At this speed.")
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
        from axlewright.solve.motion import events

        if plot is not None:
            kind_of(plot)
        v = _motion.amount(speed, "speed", "--speed")
        if drop is not None:
            blocks = [_motion.amount(part, "length", "--drop") for part in drop.split(",")]
            if len(blocks) != 4:
                raise RequestError(f'found --drop "{drop}"; expected four heights: LF,RF,LR,RR')
            do = lambda car, setups: events.drop(car, setups, heights=blocks)  # noqa: E731
        else:
            how = events.Following(duration=4.0, interval=0.002)
            if seconds:
                how = replace(how, duration=_motion.amount(seconds, "time", "--seconds"))
            built = road_of(rough, bump, kerb, ripples, side, seed, v * how.duration + 10.0)
            along, across = _motion.amount(ax, "acceleration", "--ax"), _motion.amount(ay, "acceleration", "--ay")
            do = lambda car, setups: events.over_road(car, built, setups, speed=v, ax=along, ay=across, how=how)  # noqa: E731
        found = _motion.follow(cars, setting, also, do, say)
        if plot is not None:
            from axlewright.draw.motion import road_plot

            say("drawing", 0, 1)
            road_plot(found, plot)
    _motion.answer(found, units=units, first=load(cars[0]), as_json=as_json, as_csv=as_csv, everything=everything)


def road_of(  # noqa: ANN201 - a Road, imported when it is used
    rough: str | None,
    bump: str | None,
    kerb: str | None,
    ripples: str | None,
    side: Side,
    seed: int,
    length: float,
):
    """The road that the options describe; several together add up."""
    from axlewright import road

    found = []

    def pair(text: str, option: str) -> tuple[float, float]:
        parts = [part.strip() for part in text.split(",")]
        if len(parts) != 2:
            raise RequestError(f'found {option} "{text}"; expected a height and a length, such as "20 mm,0.6 m"')
        return _motion.amount(parts[0], "length", option), _motion.amount(parts[1], "length", option)

    if rough is not None:
        found.append(road.rough(rough, length=length, seed=seed))
    if bump is not None:
        height, long = pair(bump, "--bump")
        found.append(road.bump(height=height, length=long, side=side))
    if kerb is not None:
        height, long = pair(kerb, "--kerb")
        found.append(road.kerb(height=height, length=long, side=side))
    if ripples is not None:
        height, wave = pair(ripples, "--ripples")
        found.append(road.ripples(height=height, wave=wave, length=length, side=side))
    if not found:
        raise RequestError("found no road; expected --rough, --bump, --kerb, --ripples or --drop, such as --rough B")
    whole = found[0]
    for one in found[1:]:
        whole = whole + one
    return whole
