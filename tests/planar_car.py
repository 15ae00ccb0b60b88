"""Planar linkages of textbooks put where a car has its wheels, so that the package's own travel moves them.

One mechanism of four linkages, chassis fixed, all in the plane across the car (y to the left, z up; turning about x is
anticlockwise with y to the right). Front left and right: Watt's linkage, two arms hinged to the chassis and a coupler,
with the wheel centre at the coupler's middle. Rear left and right: a four-bar, a crank CB with the wheel centre at B, a
link BA and a rocker AO. A body is free in space, so the crank's axis is a ball joint and two links at a second point of
it, and the coupler is kept from spinning about its own line by a long link.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from axlewright.car.describe import describe
from axlewright.car.mechanism import Block, Joint, Link, Mechanism, Part, Wheel
from axlewright.model.assemble import assemble
from axlewright.model.drawn import with_drawn
from axlewright.model.packing import Packing
from axlewright.model.system import zero_state
from axlewright.model.topology import Topology
from axlewright.solve.demand import rest_demand
from axlewright.solve.machine import Machine
from axlewright.solve.perch import Standing
from axlewright.solve.programs import Form
from tests.cars import TEASEL

ALONG = np.array([1.0, 0.0, 0.0])
STEADY = 0.3  # m: length of the links that hold an axis, and lever of the one that keeps a coupler from spinning
WATT, FOUR_BAR = ("front.left", "front.right"), ("rear.left", "rear.right")
WHEEL = dict(zip((*WATT, *FOUR_BAR), ("LF", "RF", "LR", "RR"), strict=True))
_MASS = {"mass": 1.0, "roll_inertia": 1.0, "pitch_inertia": 1.0, "yaw_inertia": 1.0}


@dataclass(frozen=True)
class Watt:
    """Pivots 2a apart, arms b, coupler 2c (m), drawn with the coupler's middle halfway between the pivots."""

    a: float
    b: float
    c: float

    def points(self, middle: np.ndarray) -> dict[str, np.ndarray]:
        """Drawn points by path, with the coupler's middle at `middle` (3,)."""
        level = (self.b**2 - self.a**2 - self.c**2) / (2.0 * self.a * self.c)
        half = self.c * np.array([0.0, level, np.sqrt(1.0 - level**2)])
        side = np.array([0.0, self.a, 0.0])
        return {
            "upright.at": middle,
            "near_arm.axis_a": middle - side,
            "near_arm.axis_b": middle - side + ALONG,
            "far_arm.axis_a": middle + side,
            "far_arm.axis_b": middle + side + ALONG,
            "near.at": middle + half,
            "far.at": middle - half,
            "steady.a": middle + STEADY * ALONG + np.array([0.0, 100.0, 0.0]),
            "steady.b": middle + STEADY * ALONG,
        }


@dataclass(frozen=True)
class FourBar:
    """Pivots O and C, joints A and B, m as (y, z) from C."""

    o: tuple[float, float]
    a: tuple[float, float]
    b: tuple[float, float]

    def points(self, wheel: np.ndarray) -> dict[str, np.ndarray]:
        """Drawn points by path, with B at `wheel` (3,)."""
        o, a, b = (np.array([0.0, *point]) for point in (self.o, self.a, self.b))
        c = wheel - b
        second = c + STEADY * ALONG
        return {
            "upright.at": wheel,
            "crank.at": c,
            "axis_across.a": second + np.array([0.0, STEADY, 0.0]),
            "axis_across.b": second,
            "axis_up.a": second + np.array([0.0, 0.0, STEADY]),
            "axis_up.b": second,
            "rocker.axis_a": c + o,
            "rocker.axis_b": c + o + ALONG,
            "coupler.a": c + a,
            "coupler.b": wheel,
        }


_FRONT = Block(
    name="front",
    copies=WATT,
    bodies=("upright",),
    parts=(Part(name="near_arm"), Part(name="far_arm")),
    links=(Link(name="steady", a="chassis", b="upright"),),
    joints=(Joint(name="near", a="near_arm", b="upright"), Joint(name="far", a="far_arm", b="upright")),
    wheels=(Wheel(names=("LF", "RF"), frame="upright", steered=True),),
)
_REAR = Block(
    name="rear",
    copies=FOUR_BAR,
    bodies=("upright",),
    parts=(Part(name="rocker"),),
    links=(
        Link(name="axis_across", a="chassis", b="upright"),
        Link(name="axis_up", a="chassis", b="upright"),
        Link(name="coupler", a="rocker", b="upright"),
    ),
    joints=(Joint(name="crank", a="chassis", b="upright"),),
    wheels=(Wheel(names=("LR", "RR"), frame="upright", driven=True, drive_on_body=False),),
    rear=True,
)


def planar_machine(linkages: Mapping[str, Watt | FourBar]) -> Machine:
    """A machine of four linkages, by block copy. It can travel and not stand: it has no springs."""
    mechanism = Mechanism(blocks=(_FRONT, _REAR))
    values: dict[str, float | np.ndarray] = dict(describe(TEASEL.car)[1])
    for copy, linkage in linkages.items():
        wheel = np.asarray(values[f"{WHEEL[copy]}.centre"])
        values |= {f"{copy}.{path}": point for path, point in linkage.points(wheel).items()}
        values |= {f"{copy}.upright.{name}": value for name, value in _MASS.items()}
    return _machine(mechanism, with_drawn(mechanism, values))


def _machine(mechanism: Mechanism, values: dict[str, float | np.ndarray]) -> Machine:
    topology = Topology(mechanism)
    state, demand = zero_state(topology, 1), rest_demand(len(mechanism.wheels))
    packings = [Packing.of(x) for x in (assemble(topology, values, 1), demand, state)]
    forces = tuple(np.zeros((block.n_forces, block.n_copies, 1)) for block in topology.blocks)
    standing = Standing(values, forces, np.zeros((4, 1)))
    return Machine(Form(topology, *packings), (), values, standing)
