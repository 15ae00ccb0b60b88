"""Events: what can be done to a car in motion, each a function with parameters, for one setup or many.

Every event begins at a held state of each setup (cruising, cornering, braking or standing), so that nothing moves until
something is done. Torques are at the driven axle.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from axlewright.car.adjusters import adjusters_of
from axlewright.car.adjusters.setup import Setup, apply
from axlewright.car.schema import Car
from axlewright.errors import RequestError
from axlewright.model.moving.assemble import GEAR
from axlewright.model.moving.script import Control, Script, Swing
from axlewright.model.parameters import Demand
from axlewright.road import Road, level
from axlewright.solve.demand import held_demand, rest_demand
from axlewright.solve.hold import solve
from axlewright.solve.motion.going import TOLERANCE, Event, go, times
from axlewright.solve.motion.integrate import Method
from axlewright.solve.motion.mover import MOMENTS, Mover, mover_of
from axlewright.solve.motion.roads import surface_of
from axlewright.solve.motion.run import Run
from axlewright.solve.results import SENTENCES, Result
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import machine_of, rest_batch
from axlewright.units import GRAVITY

Setups = Sequence[Setup] | None
DECLUTCHED, ENGAGED = 0.0, 1.0
BEFORE = 0.1  # s of steady going before anything is done
ENGINE_BRAKING = 25.0  # N m at the crank with a closed throttle, where none is stated: common practice, no source
SPEED_GAIN = 3000.0  # N m at the axle per m/s that is missing: holds a car within 0.1 m/s


@dataclass(frozen=True)
class Ready:
    """Setups of a car at the held states where an event begins."""

    mover: Mover
    held: Solved
    moving: np.ndarray  # (n, B) packed
    engine: np.ndarray  # (B,) torque before the engine's inertia that keeps the held state, N m
    cars: tuple[str, ...]

    @property
    def batch(self) -> int:
        return self.held.batch


def ready(car: Car, setups: Setups, demand: Demand | None = None, names: Sequence[str] | None = None) -> Ready:
    """Each setup (id -> position; the car as it is when none is given) at one demand, or standing on its wheels.

    The chassis is taken as stiff: a chassis that twists has no mass of its own to twist with.
    """
    machine, chosen = machine_of(car), list(setups or [{}])
    values, batch = apply(machine.values, adjusters_of(car), chosen)
    values = dict(values) | {"chassis.torsion_compliance": 0.0}
    packed, mover = machine.parameters(values, batch), mover_of(machine)
    standing = rest_batch(machine, packed)
    if demand is None:
        held = standing
    else:
        asked = machine.form.demand.pack(_wide(demand, batch))
        held = solve(machine, packed, asked, standing.state, standing)
    for i in np.flatnonzero(held.result != Result.SOLVED):
        name = _names(chosen, names)[i]
        why = SENTENCES[Result(held.result[i])].partition(":")[0]
        raise RequestError(f"the setup {name} can't be held where this begins: {why}; ask for a gentler beginning")
    moving = mover.parameters(values, batch)
    return Ready(mover, held, moving, mover.start(held, moving)[1], _names(chosen, names))


def _names(setups: Sequence[Setup], names: Sequence[str] | None) -> tuple[str, ...]:
    if names is not None:
        return tuple(names)
    return tuple(", ".join(f"{key} {value:g}" for key, value in s.items()) or "as it is" for s in setups)


def _wide(demand: Demand, batch: int) -> Demand:
    return Demand(*(np.broadcast_to(f, (*np.shape(f)[:-1], batch)) for f in demand))


def cruising(speed: float, *, ax: float = 0.0, ay: float = 0.0, effort: str = "engine", grip: float = 1.0) -> Demand:
    """A held demand: speed m/s; ax, ay m/s2 along and across."""
    one = np.ones(1)
    if speed <= 0.0:
        raise RequestError(f"a speed of {speed:g} m/s: give one above 0, or begin from standing")
    return held_demand(
        ax=ax * one, ay=ay * one, speed=speed * one, effort=np.array([effort]), grip=grip * one,
        road_height=np.zeros((4, 1)),
    )  # fmt: skip


def standing() -> Demand:
    """At rest."""
    return rest_demand(4)


def control(batch: int, *moments: tuple[float, float | np.ndarray]) -> Control:
    """A control from (time s, value) moments; values (B,) or one for all. Two moments at one time are a step."""
    if len(moments) > MOMENTS:
        raise RequestError(f"{len(moments)} moments of one control; at most {MOMENTS} can be given")
    full = [*moments, *[moments[-1]] * (MOMENTS - len(moments))]
    at = np.array([[t] * batch for t, _ in full], dtype=float)
    return Control(at, np.stack([np.broadcast_to(np.asarray(v, dtype=float), (batch,)) for _, v in full]))


def script(
    at: Ready,
    *,
    engine: Control | None = None,
    clutch: Control | None = None,
    brake: Control | None = None,
    rack: Control | None = None,
    swing: Swing | None = None,
    keep_speed: float = 0.0,
    grip: float = 1.0,
) -> Script:
    """What is done from a held beginning; controls that are not given stay as they are there."""
    b, zero = at.batch, np.zeros(at.batch)
    braking = np.asarray(at.held.asked.braking) > 0
    effort = np.where(braking, at.held.border("effort"), 0.0)
    none = Swing(zero, zero, zero, zero, zero)
    return Script(
        engine=engine or control(b, (0.0, at.engine)),
        clutch=clutch or control(b, (0.0, np.where(braking, DECLUTCHED, ENGAGED))),
        brake=brake or control(b, (0.0, effort)),
        rack=rack or control(b, (0.0, at.held.border("rack"))),
        swing=swing or none,
        keep_speed=zero + keep_speed,
        speed=np.asarray(at.held.asked.speed) + zero,
        grip=np.asarray(at.held.asked.grip) * grip + zero,
        gravity=np.stack([zero, zero, zero - GRAVITY]),
    )


@dataclass(frozen=True)
class Following:
    """How an event is followed."""

    duration: float = 2.0  # s
    interval: float = 0.005  # s between saved moments
    method: Method = "explicit"
    tolerance: float = TOLERANCE


def follow(
    at: Ready, done: Script, event: Event, how: Following, road: Road | None = None, start: np.ndarray | None = None
) -> Run:
    """A script from a held beginning."""
    interval = float(how.duration / (len(times(how.duration, how.interval)) - 1))
    if road is not None:
        road.checked(float(np.max(at.held.asked.speed)), interval)
    return go(
        at.held, at.moving, done, surface_of(level() if road is None else road), times(how.duration, how.interval),
        cars=at.cars, event=event, start=start, method=how.method, tolerance=how.tolerance,
    )  # fmt: skip


def torque_hit(
    car: Car,
    setups: Setups = None,
    *,
    speed: float = 15.0,
    torque: float = 1500.0,
    ramp: float = 0.02,
    road: Road | None = None,
    names: Sequence[str] | None = None,
    how: Following = Following(),
) -> Run:
    """The throttle opens: the axle's torque goes from cruising to `torque` N m within `ramp` s. Speed 0: from standing,
    the engine turning no faster than the wheels and the clutch engaged.
    """
    _positive(torque=torque)
    at = ready(car, setups, None if speed == 0 else cruising(speed), names)
    b, then = at.batch, BEFORE + max(ramp, 0.0)
    engine = control(b, (0.0, at.engine), (BEFORE, at.engine), (then, torque), (then + 60.0, torque))
    clutch = control(b, (0.0, ENGAGED))
    event = Event(
        f"torque hit: {torque:.0f} N m at the axle within {ramp * 1e3:.0f} ms at {speed:.1f} m/s", "drive", BEFORE
    )
    return follow(at, script(at, engine=engine, clutch=clutch), event, how, road)


def brake_hit(
    car: Car,
    setups: Setups = None,
    *,
    speed: float = 30.0,
    effort: float = 0.5,
    ramp: float = 0.1,
    road: Road | None = None,
    names: Sequence[str] | None = None,
    how: Following = Following(),
) -> Run:
    """The brakes come on: from cruising with the clutch out to `effort` (share of full pedal) within `ramp` s."""
    _positive(effort=effort)
    at = ready(car, setups, cruising(speed), names)
    b, then = at.batch, BEFORE + max(ramp, 0.0)
    done = script(
        at,
        brake=control(b, (0.0, 0.0), (BEFORE, 0.0), (then, effort), (then + 60.0, effort)),
        engine=control(b, (0.0, at.engine), (BEFORE, at.engine), (BEFORE, 0.0)),
        clutch=control(b, (0.0, ENGAGED), (BEFORE, ENGAGED), (BEFORE, DECLUTCHED)),
    )
    event = Event(
        f"brake hit: {100 * effort:.0f} % of full pedal within {ramp * 1e3:.0f} ms at {speed:.1f} m/s", "brake", BEFORE
    )
    return follow(at, done, event, how, road)


def step_steer(
    car: Car,
    setups: Setups = None,
    *,
    speed: float = 28.0,
    ay: float = 4.0,
    ramp: float = 0.15,
    names: Sequence[str] | None = None,
    how: Following = Following(duration=4.0, interval=0.01),
) -> Run:
    """The steering wheel turns within `ramp` s to what holds `ay` m/s2 (left positive) at this speed, and stays (ISO
    7401 step input; a longer ramp is its ramp input). The speed is kept.
    """
    at = ready(car, setups, cruising(speed), names)
    rack = ready(car, setups, cruising(speed, ay=ay), names).held.border("rack")
    before = at.held.border("rack")
    moments = ((0.0, before), (BEFORE, before), (BEFORE + max(ramp, 1e-3), rack))
    event = Event(f"step steer to {ay / GRAVITY:.2f} g within {ramp * 1e3:.0f} ms at {speed:.1f} m/s", "steer", BEFORE)
    return follow(at, script(at, rack=control(at.batch, *moments), keep_speed=SPEED_GAIN), event, how)


def sine_sweep(
    car: Car,
    setups: Setups = None,
    *,
    speed: float = 28.0,
    ay: float = 2.0,
    slow: float = 0.2,
    fast: float = 4.0,
    names: Sequence[str] | None = None,
    how: Following = Following(duration=20.0, interval=0.01),
) -> Run:
    """A steering sine whose frequency rises from `slow` to `fast` Hz, as wide as what holds `ay` when steady (ISO 7401
    continuous sinusoidal input). The speed is kept.
    """
    if not 0.0 < slow < fast:
        raise RequestError(f"a sweep from {slow:g} to {fast:g} Hz: give a low frequency above 0, then a higher one")
    at = ready(car, setups, cruising(speed), names)
    wide = ready(car, setups, cruising(speed, ay=ay), names).held.border("rack") - at.held.border("rack")
    one = np.ones(at.batch)
    swing = Swing(wide, one * BEFORE, one * (how.duration - BEFORE), one * slow, one * fast)
    event = Event(
        f"sine sweep {slow:g} to {fast:g} Hz, as wide as {ay / GRAVITY:.2f} g, at {speed:.1f} m/s",
        "sweep",
        BEFORE,
        (slow, fast),
    )
    return follow(at, script(at, swing=swing, keep_speed=SPEED_GAIN), event, how)


def lift_off(
    car: Car,
    setups: Setups = None,
    *,
    speed: float = 30.0,
    ay: float = 7.0,
    engine_braking: float | None = None,
    ramp: float = 0.1,
    names: Sequence[str] | None = None,
    how: Following = Following(duration=3.0, interval=0.01),
) -> Run:
    """The throttle closes in a steady turn, steering held still: engine braking of so many N m at the axle, or what the
    car file states (ISO 9816).
    """
    at = ready(car, setups, cruising(speed, ay=ay), names)
    b, then = at.batch, BEFORE + max(ramp, 0.0)
    if engine_braking is None:
        stated = at.mover.machine.values
        turns = float(np.squeeze(stated.get("driveline.gear", GEAR))) * float(np.squeeze(stated["driveline.ratio"]))
        engine_braking = turns * float(np.squeeze(stated.get("driveline.engine_braking", ENGINE_BRAKING)))
    engine = control(b, (0.0, at.engine), (BEFORE, at.engine), (then, -engine_braking), (then + 60.0, -engine_braking))
    event = Event(f"lift-off at {ay / GRAVITY:.2f} g and {speed:.1f} m/s", "turn", BEFORE)
    return follow(at, script(at, engine=engine), event, how)


def brake_in_turn(
    car: Car,
    setups: Setups = None,
    *,
    speed: float = 30.0,
    ay: float = 5.0,
    effort: float = 0.2,
    ramp: float = 0.2,
    names: Sequence[str] | None = None,
    how: Following = Following(duration=2.0, interval=0.005),
) -> Run:
    """The brakes come on in a steady turn, steering held still, clutch out (ISO 7975)."""
    _positive(effort=effort)
    at = ready(car, setups, cruising(speed, ay=ay), names)
    b, then = at.batch, BEFORE + max(ramp, 0.0)
    done = script(
        at,
        brake=control(b, (0.0, 0.0), (BEFORE, 0.0), (then, effort), (then + 60.0, effort)),
        engine=control(b, (0.0, at.engine), (BEFORE, at.engine), (BEFORE, 0.0)),
        clutch=control(b, (0.0, ENGAGED), (BEFORE, ENGAGED), (BEFORE, DECLUTCHED)),
    )
    event = Event(
        f"braking in a turn: {100 * effort:.0f} % of full pedal at {ay / GRAVITY:.2f} g and {speed:.1f} m/s",
        "turn",
        BEFORE,
    )
    return follow(at, done, event, how)


def over_road(
    car: Car,
    road: Road,
    setups: Setups = None,
    *,
    speed: float = 25.0,
    ax: float = 0.0,
    ay: float = 0.0,
    names: Sequence[str] | None = None,
    how: Following = Following(duration=4.0, interval=0.002),
) -> Run:
    """Over a road that begins level, from a held state: kerb, bump, ripples, rough road. The speed is kept when
    cruising.
    """
    effort = "engine" if ax >= 0.0 else "brakes"
    at = ready(car, setups, cruising(speed, ax=ax, ay=ay, effort=effort), names)
    keep = SPEED_GAIN if ax == 0.0 else 0.0
    return follow(at, script(at, keep_speed=keep), Event(f"{road.name} at {speed:.1f} m/s", "road"), how, road)


def drop(
    car: Car,
    setups: Setups = None,
    *,
    heights: Sequence[float] = (0.03, 0.0, 0.0, 0.0),
    names: Sequence[str] | None = None,
    how: Following = Following(),
) -> Run:
    """The car, standing with some wheels on blocks (LF, RF, LR, RR, m), drops off them when they are pulled away, and
    rings down.
    """
    asked = rest_demand(4)
    raised = asked._replace(road_height=np.asarray(heights, dtype=float)[:, None])
    at = ready(car, setups, raised, names)
    event = Event("drop from blocks of " + ", ".join(f"{h * 1e3:g}" for h in heights) + " mm", "drop")
    return follow(at, script(at, clutch=control(at.batch, (0.0, DECLUTCHED))), event, how)


def _positive(**given: float) -> None:
    for name, value in given.items():
        if not value > 0.0:
            raise RequestError(f"{name.replace('_', ' ')} of {value:g}: give a number above 0")
