"""Cars that are two masses at each corner and nothing else: what vibration textbooks calculate.

Each wheel slides straight up and down in the chassis, between a linear spring with a linear damper and a linear tyre.
The road is ice, so that nothing pushes along or across, and the centre of mass is as high as the wheel centres, so that
pitching moves no weight. Heave of an even car is the quarter car; on hard tyres, heave and pitch are the beam on two
springs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from axlewright.car.describe import describe
from axlewright.car.mechanism import CHASSIS, Block, Joint, Link, Mechanism, Part, Term, Values, Wheel
from axlewright.solve.machine import Machine, build
from axlewright.solve.motion.events import Ready
from axlewright.solve.motion.mover import mover_of
from axlewright.solve.verbs import rest_batch
from tests.cars import TEASEL

HARD = 1e10  # N/m: a tyre that gives less than 1e-4 of what any spring here does
LIGHT = 1e-3  # kg
ICE = 1e-9  # grip
RADIUS = 0.3  # m
HALF_TRACK = 0.75  # m
SMALL = 1e-6  # kg m2 of an upright, which turns with the chassis only
CORNERS = ("front.left", "front.right", "rear.left", "rear.right")
WHEELS = ("LF", "RF", "LR", "RR")


def both(value: float) -> tuple[float, float]:
    """The same in front and at the rear."""
    return value, value


@dataclass(frozen=True, kw_only=True)
class Vibrating:
    """SI; pairs are (front, rear), each a wheel."""

    sprung: float  # the whole car's
    spring: tuple[float, float]
    damper: tuple[float, float] = both(0.0)
    unsprung: float = LIGHT  # each wheel's
    tyre: float = HARD
    ahead: float = 1.25  # m from the centre of mass to the front axle
    behind: float = 1.25
    gyration: float = 1.25  # m, radius about the centre of mass, in pitch

    @cached_property
    def machine(self) -> Machine:
        return build(MECHANISM, self._values())

    def _values(self) -> Values:
        values: dict[str, float | np.ndarray] = dict(describe(TEASEL.car)[1])
        values |= {
            "chassis.sprung.mass": self.sprung,
            "chassis.sprung.at": np.array([-self.ahead, 0.0, RADIUS]),
            "chassis.roll_inertia": 0.3 * self.sprung,
            "chassis.pitch_inertia": self.sprung * self.gyration**2,
            "chassis.yaw_inertia": self.sprung * self.gyration**2,
            "aero.drag_area": 0.0,
            "aero.lift_area_front": 0.0,
            "aero.lift_area_rear": 0.0,
            "scales.cross_weight": 0.5,
            "driveline.clutch_capacity": 0.0,
            "driveline.preload": 0.0,
            "driveline.lock_drive": 0.0,
            "driveline.lock_coast": 0.0,
        }
        for i, (corner, wheel) in enumerate(zip(CORNERS, WHEELS, strict=True)):
            values |= self._corner(corner, wheel, end=i // 2, side=1.0 - 2.0 * (i % 2))
        return values

    def _corner(self, corner: str, wheel: str, end: int, side: float) -> dict[str, float | np.ndarray]:
        x, y, z = np.eye(3)
        at = np.array([-(self.ahead + self.behind) * end, side * HALF_TRACK, RADIUS])
        found: dict[str, float | np.ndarray] = {
            f"{corner}.slider.axis_a": at,
            f"{corner}.slider.axis_b": at + z,
            f"{corner}.hub.at": at,
            f"{corner}.spring.a": at + z,
            f"{corner}.spring.b": at,
            f"{corner}.spring.coil.stiffness": self.spring[end],
            f"{corner}.spring.coil.loss": 0.0,
            f"{corner}.spring.damping.speed": np.array([0.0, 1.0]),
            f"{corner}.spring.damping.clicks": np.array([0.0]),
            f"{corner}.upright.at": at,
            f"{corner}.upright.mass": self.unsprung,
            f"{wheel}.centre": at,
            f"{wheel}.camber": 0.0,
            f"{wheel}.toe": 0.0,
            f"{wheel}.tyre.grip": ICE,
            f"{wheel}.tyre.grip_drop": 0.0,
            f"{wheel}.tyre.vertical_rate": self.tyre,
            f"{wheel}.tyre.vertical_rate_per_pressure": 0.0,
            f"{wheel}.tyre_loss": 0.0,
        }
        found |= {f"{corner}.upright.{axis}_inertia": SMALL for axis in ("roll", "pitch", "yaw")}
        for way in ("compression", "rebound"):
            found |= {
                f"{corner}.spring.damping.{way}": np.array([0.0, self.damper[end]]),
                f"{corner}.spring.damping.{way}_clicks": 0.0,
            }
        for name, arm, along in STEADY:
            foot = at + {"x": x, "y": y, "z": z}[arm]
            found |= {f"{corner}.{name}.a": foot, f"{corner}.{name}.b": foot + {"x": x, "y": y, "z": z}[along]}
        return found


# Three links from the slider, each beside the hub and square to the arm there, keep an upright from turning on it.
STEADY = (("steady_yaw", "x", "y"), ("steady_pitch", "z", "x"), ("steady_roll", "y", "z"))


def _block(end: str, wheels: tuple[str, str], *, rear: bool) -> Block:
    spring = Link(name="spring", a=CHASSIS, b="upright", terms=(Term(name="coil", kind="compliant"),), damped=True)
    return Block(
        name=end,
        copies=(f"{end}.left", f"{end}.right"),
        bodies=("upright",),
        parts=(Part(name="slider", slides=True),),
        links=(*(Link(name=name, a="slider", b="upright") for name, _, _ in STEADY), spring),
        joints=(Joint(name="hub", a="slider", b="upright"),),
        wheels=(Wheel(names=wheels, frame="upright", driven=rear, drive_on_body=False),),
        rear=rear,
    )


MECHANISM = Mechanism(blocks=(_block("front", ("LF", "RF"), rear=False), _block("rear", ("LR", "RR"), rear=True)))


def ready_of(cars: Sequence[Vibrating]) -> Ready:
    """Standing at rest and ready to move, as members of one batch: compiled once for all."""
    machine = cars[0].machine
    packed = np.concatenate([car.machine.drawn for car in cars], axis=1)
    mover = mover_of(machine)
    moving = np.concatenate([mover.parameters(car.machine.values) for car in cars], axis=1)
    names = tuple(str(i) for i in range(len(cars)))
    return Ready(mover, rest_batch(machine, packed), moving, np.zeros(len(cars)), names)


def alone(at: Ready, member: int) -> Ready:
    """One of them."""
    i = slice(member, member + 1)
    return Ready(at.mover, at.held.take(np.array([member])), at.moving[:, i], at.engine[i], at.cars[i])
