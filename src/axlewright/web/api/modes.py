"""How the car swings by itself, how damped, and how far from hopping."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from axlewright.car.schema import Car
from axlewright.tune import export_swings as export
from axlewright.tune.damper_table import damper_table
from axlewright.tune.hop_choice import hop_table
from axlewright.tune.ripple_loads import ripple_loads
from axlewright.tune.swings import STANDING, along, swings
from axlewright.units import Quantity
from axlewright.web.api import bounds
from axlewright.web.api.question import (
    Closed,
    Data,
    Name,
    OfCar,
    Phases,
    Question,
    Setting,
    ToldOfCar,
    Turn,
    Within,
    default,
    turns_of,
)
from axlewright.web.api.road import Ripples
from axlewright.web.api.side_by_side import Speed, si

Ratio = Annotated[float, Field(ge=0.01, le=3.0, allow_inf_nan=False)]


class ModesAsked(OfCar):
    """How a car swings. The first of adjuster, hop, ripples and dampers that is given is what is asked."""

    phases: Phases
    turn: Turn
    setup: Setting
    piston_speed: Annotated[Quantity, Within("speed", "0.1 mm/s", "5 m/s")] | None = Field(
        default=None, description="dampers as they are at this speed", examples=["50 mm/s"]
    )
    adjuster: Name | None = Field(default=None, description="frequency and damping along this adjuster, by id")
    hop: bool = Field(default=False, description="margin to hop, and what each torque link does to it")
    ripples: Ripples | None = Field(default=None, description="tyre loads over ripples, about `speed`")
    dampers: bool = Field(default=False, description="damping of each end, rates for even loads, a curve, its clicks")
    body: Ratio = Field(default=0.6, description="with dampers: damping ratio of the body up to 50 mm/s")
    wheel: Ratio = Field(default=0.3, description="with dampers: slope beyond that, as a ratio")
    rough: Literal["A", "B", "C", "D", "E", "F", "G", "H"] = Field(default="B", description="with dampers: the road")
    speed: Speed = Field(default=default("speed", "30 m/s"), description="for ripples and dampers", examples=["30 m/s"])


class Swing(Closed):
    """A swing by itself."""

    frequency: float = Field(description="Hz")
    damping: float = Field(description="ratio; grows by itself below 0, creeps back at 1 and more")
    shares: dict[str, float] = Field(description="what moves, of the kinetic energy")


class Ride(Closed):
    """Ride on wheel rate."""

    front: float = Field(description="Hz")
    rear: float = Field(description="Hz")
    ratio: float = Field(description="rear over front")
    deflection_front: float = Field(description="m, static")
    deflection_rear: float = Field(description="m, static")


class SwingsTold(ToldOfCar):
    """Swings of each state."""

    piston_speed: float | None = Field(description="m/s")
    states: dict[str, dict[str, Swing]] = Field(description="state -> swing")
    ride: Ride


class SwingAlong(Closed):
    """One swing along an adjuster."""

    frequency: list[float | None] = Field(description="Hz")
    damping: list[float | None]


class AlongTold(ToldOfCar):
    """Swings along an adjuster."""

    state: str
    adjuster: str
    positions: list[float]
    swings: dict[str, SwingAlong]


class Hop(Closed):
    """How far one way is from hopping."""

    margin: float | None = Field(description="m/s2 from which it hops; null where none is found")
    hop: float | None = Field(description="least damping ratio on the way")
    tramp: float | None = Field(description="the same of tramp")
    to: float = Field(description="m/s2 up to which it was looked for")


class HopWays(Closed):
    """Both ways."""

    drive: Hop
    brake: Hop


class HopTold(ToldOfCar):
    """Margins to hop."""

    hop: dict[str, HopWays] = Field(description="what was moved -> margins")


class RipplesTold(ToldOfCar):
    """Tyre loads over ripples."""

    speeds: list[float] = Field(description="m/s")
    load_swing: dict[str, list[float | None]] = Field(description="wheel -> swing over its held load, at each speed")


class End(Closed):
    """Dampers of one end; rates N s/m."""

    motion_ratio: float | None
    critical: float | None
    rate_now: float | None
    ratio_now: float | None
    rate_even: float | None
    ratio_even: float | None
    variation_now: float | None
    variation_even: float | None


class Curve(Closed):
    """A proposed curve."""

    speed: list[float] = Field(description="m/s")
    compression: list[float] = Field(description="N")
    rebound: list[float] = Field(description="N")


class Click(Closed):
    """A setting."""

    clicks: float
    off: float = Field(description="N from the curve")


class DampersTold(ToldOfCar):
    """Dampers."""

    ends: dict[str, End]
    curves: dict[str, Curve]
    clicks: dict[str, dict[str, Click]]


def _modes(car: Car, asked: ModesAsked) -> Data:
    turns, piston, speed = turns_of(asked.turn, ("left",)), si(asked.piston_speed), asked.speed.value
    if asked.adjuster is not None:
        phase = asked.phases[0] if asked.phases else STANDING
        found = along(car, asked.adjuster, phase=phase, turn=turns[0], piston_speed=piston, setup=asked.setup)
        return export.along_data(car, phase, found)
    if asked.hop:
        return export.hop_data(car, hop_table(car, asked.setup))
    if asked.ripples is not None:
        height, wave = asked.ripples.height.value, asked.ripples.wave.value
        return export.ripples_data(car, ripple_loads(car, height, wave, speed, asked.setup))
    if asked.dampers:
        table = damper_table(car, grade=asked.rough, speed=speed, body=asked.body, wheel=asked.wheel)
        return export.dampers_data(car, table)
    bounds.states(car, [p for p in asked.phases if p != STANDING], turns)
    every = swings(car, asked.setup, phases=asked.phases, turns=turns, piston_speed=piston)
    return export.swings_data(car, every, piston)


QUESTION = Question(
    name="modes",
    summary="How it swings by itself, how damped, and how far from hopping",
    about='Standing ("standing" in `phases`) and held in its phases, with the tyres\' slip and lag; left turns unless '
    "`turn` says otherwise.",
    asked=ModesAsked,
    told=SwingsTold | AlongTold | HopTold | RipplesTold | DampersTold,
    example={"car": "teasel", "phases": ["standing"], "piston_speed": "50 mm/s"},
    work=_modes,
)
