"""Where things are in a batch of states: chassis halves on the road, wheels and bodies on the chassis."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.readings._kept import kept
from axlewright.readings._vectors import cross, rotate, rotate_back, turn_x, turn_y
from axlewright.solve.solved import Solved
from axlewright.units import GRAVITY

STRAIGHT = 0.01 * GRAVITY  # m/s2; with less sideways acceleration it is a straight line: a driver can't feel it
ENDS = ("front", "rear")
WHEELS = ("LF", "RF", "LR", "RR")
WHEEL_NAMES = {"LF": "left front", "RF": "right front", "LR": "left rear", "RR": "right rear"}


class Half(NamedTuple):
    """Road placement of a chassis half: road = origin + rotation . chassis."""

    rotation: np.ndarray  # (3, 3, B)
    origin: np.ndarray  # (3, B)

    def on_road(self, point: np.ndarray) -> np.ndarray:
        """Road axes of a chassis point (3, ..., B)."""
        turned = rotate(self.rotation, point)
        return turned + self.origin.reshape((3,) + (1,) * (turned.ndim - 2) + self.origin.shape[1:])

    def on_chassis(self, point: np.ndarray) -> np.ndarray:
        """Chassis axes of a road point (3, ..., B)."""
        origin = self.origin.reshape((3,) + (1,) * (point.ndim - 2) + self.origin.shape[1:])
        return rotate_back(self.rotation, point - origin)


@kept
def halves(solved: Solved) -> tuple[Half, Half]:
    """Front and rear chassis half; the same unless the chassis twists."""
    heave, pitch, roll = (solved.border(name) for name in ("heave", "pitch", "roll"))
    rotation = np.einsum("ijb,jkb->ikb", turn_y(pitch), turn_x(roll))
    zero = np.zeros_like(heave)
    front = Half(rotation, np.stack([zero, zero, heave]))
    if solved.machine.topology.twist is None:
        return front, front
    turned = np.einsum("ijb,jkb->ikb", rotation, turn_x(solved.border("twist")))
    axis = np.stack([zero, zero, np.asarray(solved.parameters.twist_height) + zero])
    return front, Half(turned, front.on_road(axis) - rotate(turned, axis))


def half_of(solved: Solved, block: int) -> Half:
    """The chassis half that carries a block."""
    return halves(solved)[int(solved.machine.topology.blocks[block].block.rear)]


def axle_blocks(solved: Solved) -> dict[str, int]:
    """Block of the front and of the rear wheels."""
    return {ENDS[int(b.block.rear)]: i for i, b in enumerate(solved.machine.topology.blocks)}


def by_end(wheels: np.ndarray) -> dict[str, tuple[np.ndarray, np.ndarray]]:
    """(left, right) of the front and of the rear from an array (..., 4, B) in model order."""
    return {"front": (wheels[..., 0, :], wheels[..., 1, :]), "rear": (wheels[..., 2, :], wheels[..., 3, :])}


def in_model_order(value: np.ndarray) -> np.ndarray:
    """(..., wheels, copies, B) of one block as (..., wheels of the block, B), left before right."""
    moved = np.moveaxis(value, -2, -3)
    return moved.reshape((*moved.shape[:-3], -1, moved.shape[-1]))


def body_motion(solved: Solved, block: int) -> np.ndarray:
    """Pose unknowns of the bodies of a block, (6, bodies, copies, B): translation, Cayley vector."""
    topology = solved.machine.topology.blocks[block]
    local = np.asarray(solved.unknowns.local[block])[: 6 * topology.n_bodies]
    return np.swapaxes(local.reshape((topology.n_bodies, 6, *local.shape[1:])), 0, 1)


@kept
def wheel_places(solved: Solved) -> np.ndarray:
    """Wheel centres in axes of the chassis half that carries them, (3, wheels, B) in model order."""
    found = []
    for i, at in enumerate(solved.blocks):
        found.append(half_of(solved, i).on_chassis(in_model_order(np.asarray(at.contact.centre))))
    return np.concatenate(found, axis=1)


@kept
def wheel_axes(solved: Solved) -> np.ndarray:
    """Spin axes (unit, to the left) in axes of the chassis half, (3, wheels, B)."""
    return np.concatenate([in_model_order(np.asarray(at.ground.axis)) for at in solved.blocks], axis=1)


def heading_rate(axis: np.ndarray, turn: np.ndarray) -> np.ndarray:
    """Rate of steer, left positive, of a spin axis (3, ...) to the left on a body that turns (3, ...), same axes."""
    change = cross(turn, axis)
    return (axis[0] * change[1] - axis[1] * change[0]) / (axis[0] ** 2 + axis[1] ** 2)


def standing(solved: Solved) -> Solved:
    """The same setups at rest; a batch at rest is its own."""
    return solved if solved.rest is None else solved.rest


@kept
def sense(solved: Solved) -> np.ndarray:
    """+1 in a left turn, -1 in a right turn, 0 where nothing sideways is asked to speak of, (B,)."""
    ay = np.broadcast_to(np.asarray(solved.asked.ay), (solved.batch,))
    return np.where(np.abs(ay) < STRAIGHT, 0.0, np.sign(ay))
