"""Every demo car's linkage through bump, roll and steer against MuJoCo: where bodies and parts are, camber and steer.

Cars, blocks and layouts are found from the demo cars themselves, so that a new one is compared without a word here; a
car by hand adds parts that no demo car may have.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from axlewright.car.mechanism import Block, Values
from axlewright.readings import readings_of
from axlewright.solve.poses import grid
from axlewright.solve.travel import Travelled, travel
from tests.cars import Demo
from tests.engines.mujoco_block import Engine, engine
from tests.handmade_car import HANDMADE

pytestmark = pytest.mark.slow
# m, rad: both Newtons end below 1e-12 m with a quadratic last step; the worst lever of a pose to a closure is about 30.
POSITION = 1e-10
BUMP, ROLL, STEER = (-0.035, 0.0, 0.045), np.radians([-2.0, 0.0, 2.5]), (-0.02, 0.0, 0.015)
TORQUE_LINKS = {"drive_link", "brake_link"}
DEMOS = sorted(
    file.name.removesuffix(".toml") for file in files("axlewright.car.demo").iterdir() if ".toml" in file.name
)


@cache
def demo(name: str) -> Demo:
    return HANDMADE if name == HANDMADE.name else Demo(name)


@cache
def standing_values(name: str) -> Values:
    """Values of a car as it stands, without the batch axis."""
    return {
        path: np.asarray(value)[..., 0] if np.ndim(value) and np.shape(value)[-1] == 1 else np.asarray(value)
        for path, value in demo(name).machine.values.items()
    }


@cache
def moved(name: str) -> Travelled:
    return travel(demo(name).machine, grid(bump=BUMP, roll=ROLL, steer=STEER))


def copies() -> list[tuple[str, int, int]]:
    """(demo car, block, copy) of every block copy."""
    return [
        (name, i, c)
        for name in (*DEMOS, HANDMADE.name)
        for i, block in enumerate(demo(name).mechanism.blocks)
        for c in range(len(block.copies))
    ]


def kinds(block: Block, link: str) -> set[str]:
    return {term.kind for found in block.links if found.name == link for term in found.terms}


def what_holds(block: Block, copy: str, values: Values) -> tuple[tuple[str, ...], dict[str, float]]:
    """Links that keep their lengths, and those that share a misfit with their stiffness, counted by Gruebler's rule.

    The drive-side torque link keeps its length; a compliant link too, unless they are more than the freedoms left.
    """
    names = [link.name for link in block.links]
    rigid = [name for name in names if not kinds(block, name)]
    soft = [name for name in names if "compliant" in kinds(block, name)]
    torque = [name for name in names if kinds(block, name) & TORQUE_LINKS]
    active = [name for name in torque if "drive_link" in kinds(block, name)] or torque[:1]
    freedoms = 6 * len(block.bodies) + len(block.parts) - len(block.wheels) - 3 * len(block.joints)
    if len(rigid) + len(soft) + len(active) == freedoms:
        return (*rigid, *soft, *active), {}
    stiffness = {
        name: float(np.asarray(values[f"{copy}.{name}.{term.name}.stiffness"]))
        for name in soft
        for link in block.links
        if link.name == name
        for term in link.terms
    }
    return (*rigid, *active), stiffness


def axis_of(values: Values, wheel: str) -> np.ndarray:
    """Drawn spin axis (3,), pointing left: ISO 8855 inclination about x, then steer about z, from camber and toe-in."""
    left = 1.0 if wheel.startswith("L") else -1.0
    camber, toe = (float(np.asarray(values[f"{wheel}.{name}"])) for name in ("camber", "toe"))
    return Rotation.from_euler("ZX", [-left * toe, -left * camber]).apply([0.0, 1.0, 0.0])


@cache
def engines(name: str, index: int, c: int) -> tuple[Engine, list[str]]:
    """The engine's model of a block copy with a site at each wheel's centre and one on its axis; wheels' names."""
    mechanism, values = demo(name).mechanism, standing_values(name)
    block = mechanism.blocks[index]
    wheels = [(wheel.names[c], wheel.frame) for wheel in block.wheels]
    marks = {}
    for wheel, frame in wheels:
        centre = np.asarray(values[f"{wheel}.centre"])
        marks |= {f"{wheel} centre": (frame, centre), f"{wheel} axis": (frame, centre + axis_of(values, wheel))}
    held, shared = what_holds(block, block.copies[c], values)
    relay = mechanism.steering == "relay" and any(link.on_rack for link in block.links)
    model = engine(block, block.copies[c], values, marks, held=held, shared=shared, relay=relay)
    return model, [wheel for wheel, _ in wheels]


def rack(block: Block, copy: str, values: Values, steer: float) -> float:
    """Movement of the rack to the left for a steer to the left: against it where the steering arms point rearward."""
    for link in block.links:
        if link.on_rack:
            wheel = block.wheels[0].names[block.copies.index(copy)]
            ahead = np.asarray(values[f"{copy}.{link.name}.b"])[0] > np.asarray(values[f"{wheel}.centre"])[0]
            return steer if ahead else -steer
    return 0.0


@pytest.mark.parametrize(("name", "index", "c"), copies(), ids=str)
def test_every_body_is_where_mujoco_puts_it(name, index, c):
    found, (model, wheels) = moved(name), engines(name, index, c)
    assert found.reached.all(), [reason for reason in found.reasons if reason]
    block, values, read = model.block, standing_values(name), readings_of(demo(name).machine)
    local = np.asarray(found.solved.unknowns.local[index])[:, c]
    centres, order = found.solved.wheel("centre"), demo(name).mechanism.wheels
    angles = {(what, w): read[f"{what}_{w}"].read(found.solved) for what in ("camber", "steer") for w in wheels}
    drawn = model.data.qpos.copy()
    for pose in range(found.poses.batch):
        bump, roll = found.poses.bump[pose], found.poses.roll[pose]
        model.data.qpos[:] = drawn
        move = rack(block, block.copies[c], values, found.poses.steer[pose])
        model.steer(move)
        rise = [bump - np.asarray(values[f"{wheel}.centre"])[1] * np.tan(roll) for wheel in wheels]
        height = [np.asarray(values[f"{w}.centre"])[2] + up for w, up in zip(wheels, rise, strict=True)]
        model.reach([f"{wheel} centre" for wheel in wheels], np.array(height))
        if model.pitman is None:
            model.steer(-move)  # a rack's sites are moved, not a joint: back to the drawn place for the next pose
        wrong = {}
        for i, body in enumerate(block.bodies):
            at, turn = model.place(body)
            ours = local[6 * i : 6 * i + 6, pose]
            wrong[body] = at - np.asarray(values[f"{block.copies[c]}.{body}.at"]) - ours[:3]
            wrong[f"{body} turn"] = turn - from_cayley(ours[3:])
        for k, part in enumerate(block.parts):
            wrong[part.name] = np.array(model.part(part.name) - local[6 * len(block.bodies) + k, pose])
        for wheel in wheels:
            centre = model.site(f"{wheel} centre")
            axis = model.site(f"{wheel} axis") - centre
            left = 1.0 if wheel.startswith("L") else -1.0
            wrong[f"{wheel} centre"] = centre - centres[:, order.index(wheel), pose]
            wrong[f"{wheel} steer"] = np.arctan2(-axis[0], axis[1]) - angles["steer", wheel][pose]
            wrong[f"{wheel} camber"] = -left * np.arcsin(axis[2]) - angles["camber", wheel][pose]
        worst = max(wrong, key=lambda key: np.abs(wrong[key]).max())
        assert np.abs(wrong[worst]).max() < POSITION, (worst, wrong[worst], found.poses.say(pose))


def from_cayley(vector: np.ndarray) -> np.ndarray:
    """Rotation matrix (3, 3) of a pose's rotation unknowns, by another library: angle 2 atan(r / 2) about r."""
    size = float(np.linalg.norm(vector))
    return Rotation.from_rotvec(vector * (2.0 * np.arctan(size / 2.0) / size if size else 1.0)).as_matrix()
