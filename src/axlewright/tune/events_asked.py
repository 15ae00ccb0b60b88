"""Questions about motion as people ask them: which event, with its usual values, for cars and setups side by side.

Each of `hit`, `steer` and `road` gives the function that does it to setups of a car; `follow` does it to several cars.
All quantities are SI.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from inspect import signature
from typing import Literal

from axlewright import road as roads
from axlewright.car.adjusters.setup import Setup
from axlewright.car.schema import Car
from axlewright.errors import RequestError
from axlewright.road import Road
from axlewright.road.profile import Side
from axlewright.solve.motion import events
from axlewright.solve.motion.events import Following
from axlewright.solve.motion.run import Run, member

Do = Callable[[Car, Sequence[Setup]], Run]
Pair = tuple[float, float]
How = Literal["step", "sweep", "lift-off", "brake"]

ANSWERS = {
    "step": events.step_steer,
    "sweep": events.sine_sweep,
    "lift-off": events.lift_off,
    "brake": events.brake_in_turn,
}
ON_ROADS = Following(duration=4.0, interval=0.002)
BEYOND = 10.0  # m of road after the last moment: the car's length, and some


def hit(
    *,
    brake: bool = False,
    speed: float | None = None,
    torque: float = 1500.0,
    effort: float = 0.5,
    ramp: float | None = None,
    patch: tuple[float, float, float] | None = None,
    seconds: float = 2.0,
) -> Do:
    """The throttle opens, or the brakes come on; `patch` is where other grip begins, how long it is, and its share."""
    road = None if patch is None else roads.patch(at=patch[0], length=patch[1], grip=patch[2])
    rest = {"road": road, "how": Following(duration=seconds)} | _given(speed=speed, ramp=ramp)
    if brake:
        return partial(events.brake_hit, effort=effort, **rest)
    return partial(events.torque_hit, torque=torque, **rest)


def steer(
    *,
    how: How = "step",
    speed: float = 28.0,
    ay: float | None = None,
    ramp: float | None = None,
    effort: float = 0.2,
    seconds: float | None = None,
) -> Do:
    """A step or a sweep of steering, or lifting off or braking in a turn; a sweep has no ramp, only a brake effort."""
    event = ANSWERS[how]
    given: dict[str, object] = {"speed": speed} | _given(ay=ay, ramp=None if how == "sweep" else ramp)
    if how == "brake":
        given["effort"] = effort
    if seconds is not None:
        given["how"] = replace(signature(event).parameters["how"].default, duration=seconds)
    return partial(event, **given)


def road(
    *,
    rough: str | None = None,
    bump: Pair | None = None,
    kerb: Pair | None = None,
    ripples: Pair | None = None,
    drop: Sequence[float] | None = None,
    side: Side = "both",
    seed: int = 1,
    speed: float = 25.0,
    ax: float = 0.0,
    ay: float = 0.0,
    seconds: float | None = None,
) -> Do:
    """Over the roads that are given, added up, or off blocks: heights of `drop` at LF, RF, LR, RR.

    A pair is a height and a length, of ripples the wave.
    """
    if drop is not None:
        return partial(events.drop, heights=list(drop))
    how = ON_ROADS if seconds is None else replace(ON_ROADS, duration=seconds)
    length = speed * how.duration + BEYOND
    found: list[Road] = []
    if rough is not None:
        found.append(roads.rough(rough, length=length, seed=seed))
    if bump is not None:
        found.append(roads.bump(height=bump[0], length=bump[1], side=side))
    if kerb is not None:
        found.append(roads.kerb(height=kerb[0], length=kerb[1], side=side))
    if ripples is not None:
        found.append(roads.ripples(height=ripples[0], wave=ripples[1], length=length, side=side))
    if not found:
        raise RequestError("found no road; expected --rough, --bump, --kerb, --ripples or --drop, such as --rough B")
    whole = found[0]
    for one in found[1:]:
        whole = whole + one
    return lambda car, setups: events.over_road(car, whole, setups, speed=speed, ax=ax, ay=ay, how=how)


def follow(
    cars: Sequence[Car],
    setups: Sequence[Setup],
    do: Do,
    progress: Callable[[str, int, int], None] = lambda *_: None,
) -> list[tuple[str, Run]]:
    """(name, run of one member) for every setup of the first car, then for every other car as it is."""
    if len(cars) > 1 and setups[0]:
        raise RequestError("--set with several cars: their adjusters differ; give one car, or the cars as they are")
    found = []
    for k, car in enumerate(cars):
        progress(f"moving {car.name}", k, len(cars))
        run = do(car, setups if k == 0 else [{}])
        alone = run.batch == 1
        for i, words in enumerate(run.cars):
            found.append((car.name if alone else f"{car.name}, {words}" if len(cars) > 1 else words, member(run, i)))
    return found


def _given(**values: float | None) -> dict[str, object]:
    return {name: value for name, value in values.items() if value is not None}
