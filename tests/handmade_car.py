"""A car put together by hand from a demo car: struts and a third spring in front, steered by a relay linkage, and
floating brake brackets on the rear axle and on the front uprights. Invented points of ordinary size.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from axlewright.car.describe import describe
from axlewright.car.mechanism import CHASSIS, Bar, BarEnd, Block, Joint, Link, Mechanism, Part, Values
from axlewright.solve.machine import Machine, build
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import rest
from tests.cars import TEASEL, Demo

MIRROR = np.array([1.0, -1.0, 1.0])
LEFT_FRONT = {  # the right side is its mirror image
    "lower_arm.axis_a": (0.14, 0.29, 0.185),
    "rod.axis_a": (0.0, 0.645, 0.36),
    "rod.axis_b": (-0.02, 0.58, 0.66),
    "strut_top.at": (-0.02, 0.58, 0.66),
    "spring.a": (-0.02, 0.58, 0.66),
    "spring.b": (0.0, 0.645, 0.36),
    "bracket.axis_a": (0.0, 0.70, 0.33),
    "bracket.axis_b": (0.002, 0.80, 0.332),
    "bracket_rod.a": (-0.35, 0.55, 0.46),
    "bracket_rod.b": (-0.03, 0.69, 0.49),
    "bracket_rod.length": 0.0,
}
REAR = {
    "bracket_left.axis_a": (-2.75, 0.60, 0.33),
    "bracket_left.axis_b": (-2.75, 0.70, 0.33),
    "bracket_rod_left.a": (-2.15, 0.60, 0.47),
    "bracket_rod_left.b": (-2.74, 0.62, 0.52),
    "bracket_rod_left.length": 0.0,
    "bracket_right.axis_a": (-2.75, -0.70, 0.33),
    "bracket_right.axis_b": (-2.75, -0.60, 0.33),  # to the left too: an axis may point either way along the wheel's
    "bracket_rod_right.a": (-2.15, -0.60, 0.47),
    "bracket_rod_right.b": (-2.74, -0.62, 0.52),
    "bracket_rod_right.length": 0.0,
}
RELAY = {
    "pitman_axis_a": (0.25, 0.30, 0.30),
    "pitman_axis_b": (0.27, 0.30, 0.50),
    "pitman_end": (0.12, 0.28, 0.235),
    "idler_axis_a": (0.27, -0.30, 0.50),
    "idler_axis_b": (0.25, -0.30, 0.30),
    "idler_end": (0.13, -0.27, 0.235),
}
THIRD = {"pivot": (-0.23, 0.50, 0.36), "axis": (0.0, 1.0, 0.0), "direction": (1.0, 0.0, 0.0)}


def _front(block: Block) -> Block:
    spring = next(link for link in block.links if link.name == "spring")
    tie_rod = next(link for link in block.links if link.name == "tie_rod")
    return replace(
        block,
        parts=(*block.parts, Part(name="rod", parent="upright", slides=True), Part(name="bracket", parent="upright")),
        links=(tie_rod, replace(spring, b="upright"), Link(name="bracket_rod", a=CHASSIS, b="bracket")),
        joints=(*block.joints, Joint(name="strut_top", a="rod", b=CHASSIS)),
        wheels=(replace(block.wheels[0], brake_frame="bracket"),),
    )


def _rear(block: Block) -> Block:
    sides = ("left", "right")
    return replace(
        block,
        parts=(*block.parts, *(Part(name=f"bracket_{side}", parent="axle") for side in sides)),
        links=(*block.links, *(Link(name=f"bracket_rod_{side}", a=CHASSIS, b=f"bracket_{side}") for side in sides)),
        wheels=tuple(replace(w, brake_frame=f"bracket_{side}") for w, side in zip(block.wheels, sides, strict=True)),
    )


def described() -> tuple[Mechanism, Values]:
    """Mechanism and values."""
    mechanism, values = describe(TEASEL.car)[:2]
    front, rear = mechanism.blocks
    ends = {side: BarEnd(copy=f"front.{side}", frame="lower_arm") for side in ("left", "right")}
    third = Bar(name="third_spring", **ends, heave=True)
    mechanism = replace(mechanism, blocks=(_front(front), _rear(rear)), bars=(*mechanism.bars, third), steering="relay")
    out = dict(values) | {f"rear.{path}": value for path, value in REAR.items()}
    out |= {f"relay.{path}": point for path, point in RELAY.items()}
    out |= {"third_spring.torsion": 2500.0, "third_spring.arm_bending": 40e3}
    for side, mirror in (("left", np.ones(3)), ("right", MIRROR)):
        out |= {f"front.{side}.{path}": np.asarray(p) * (mirror if np.ndim(p) else 1) for path, p in LEFT_FRONT.items()}
        out |= {f"third_spring.{side}.{name}": np.asarray(p) for name, p in THIRD.items()}
        out[f"third_spring.{side}.pivot"] = np.asarray(THIRD["pivot"]) * mirror
        out[f"third_spring.{side}.drop_point"] = np.array([0.02, 0.50, 0.195]) * mirror
        out |= {f"third_spring.{side}.arm": 0.25, f"third_spring.{side}.drop_link": 0.0}
    return mechanism, {path: np.asarray(v, dtype=float) if np.ndim(v) else v for path, v in out.items()}


class _Handmade(Demo):
    def __init__(self) -> None:
        self.name = "handmade"

    @property
    def mechanism(self) -> Mechanism:
        return self.machine.topology.mechanism

    @property
    def machine(self) -> Machine:
        return _machine()

    @property
    def rest(self) -> Solved:
        return _rest()


HANDMADE = _Handmade()


@cache
def _machine() -> Machine:
    return build(*described())


@cache
def _rest() -> Solved:
    return rest(_machine())
