"""Mechanism and values -> parameters of motion (numpy). What a car file leaves out takes the values below."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from axlewright.car.mechanism import Values
from axlewright.model.moving.parameters import Moving, MovingBlock, MovingWheels
from axlewright.model.reader import Reader
from axlewright.model.topology import BlockTopology, Topology
from axlewright.parts import LOSS
from axlewright.parts.damper import DamperTable, damper_law
from axlewright.parts.elastic import Knots

# Common practice, no source: what is taken where the car file says nothing.
BRAKE_RATE = 40e3  # N m/rad
CONTACT_LENGTH = 0.06  # m, half of the patch
HALF_SHAFT_RATE = 15e3  # N m/rad
ENGINE_INERTIA = 0.15  # kg m2 at the crank
GEAR = 1.5  # engine turns per shaft turn
CLUTCH = 600.0  # N m at the crank


def assemble_moving(topology: Topology, values: Values, batch: int) -> Moving:
    """Parameters of motion of `batch` cars."""
    read = Reader(values, batch)
    turns = read.scalar("driveline.gear", GEAR) * read.scalar("driveline.ratio", 1.0)
    axes = ("roll_inertia", "pitch_inertia", "yaw_inertia")
    return Moving(
        blocks=tuple(_block(topology, block, read) for block in topology.blocks),
        sprung_inertia=np.stack([read.scalar(f"chassis.{axis}") for axis in axes]),
        engine_inertia=read.scalar("driveline.engine_inertia", ENGINE_INERTIA) * turns**2,
        clutch=np.minimum(read.scalar("driveline.clutch_capacity", CLUTCH), 1e5) * turns,
        half_shaft_rate=read.scalar("driveline.half_shaft_rate", HALF_SHAFT_RATE),
    )


def _block(topology: Topology, block: BlockTopology, read: Reader) -> MovingBlock:
    copies, b = block.block.copies, block.block
    shape = (block.n_copies, read.batch)

    def rows(items: list[Callable[[int, str], np.ndarray]]) -> np.ndarray:
        found = [np.stack([get(i, copy) for i, copy in enumerate(copies)]) for get in items]
        return np.stack(found) if found else np.zeros((0, *shape))

    def inertia(axis: str) -> np.ndarray:
        return rows([lambda _, copy, body=body: read.scalar(f"{copy}.{body}.{axis}_inertia") for body in b.bodies])

    def wheels(name: str, default: float) -> np.ndarray:
        return rows([lambda i, _, w=w: read.scalar(f"{w.names[i]}.{name}", default) for w in b.wheels])

    loss = [
        lambda _, copy, link=link, term=term: read.scalar(f"{copy}.{link}.{term.name}.loss", LOSS[term.kind])
        for _, link, term in block.terms
    ]
    damped = [block.elastic[i] for i in block.damped]
    seal = [lambda _, copy, name=name: read.scalar(f"{copy}.{name}.damping.friction", 0.0) for name in damped]
    return MovingBlock(
        inertia=np.stack([inertia(axis) for axis in ("roll", "pitch", "yaw")]),
        loss=rows(loss),
        damping=_damping(block, damped, read),
        seal=rows(seal),
        wheels=MovingWheels(
            brake_rate=wheels("brake_rate", BRAKE_RATE),
            contact_length=wheels("tyre_contact", CONTACT_LENGTH),
            vertical_loss=wheels("tyre_loss", 0.0),
            belt_rate=wheels("belt_rate", 0.0),
            belt_damping=wheels("belt_damping", 0.0),
            belt_inertia=wheels("belt_inertia", 0.0),
        ),
    )


def _damping(block: BlockTopology, damped: list[str], read: Reader) -> Knots:
    """Laws of all dampers of a block against the rate of their length, corners padded to one number."""
    laws = [[_law(f"{copy}.{name}.damping", read) for copy in block.block.copies] for name in damped]
    shape = (block.n_copies, read.batch)
    if not laws:
        none = np.zeros((0, *shape))
        return Knots(none, none, none, none, *(np.zeros((0, 0, *shape)),) * 3)
    most = max(np.shape(law.onset)[0] for row in laws for law in row)

    def number(name: str) -> np.ndarray:
        return np.stack([np.stack([np.broadcast_to(getattr(law, name), (read.batch,)) for law in row]) for row in laws])

    def corners(name: str, fill: float) -> np.ndarray:
        def padded(law: Knots) -> np.ndarray:
            found = np.broadcast_to(getattr(law, name), (np.shape(law.onset)[0], read.batch))
            return np.concatenate([found, np.full((most - len(found), read.batch), fill)])

        return np.stack([np.stack([padded(law) for law in row], axis=1) for row in laws], axis=1)

    return Knots(
        *(number(name) for name in ("sense", "set", "offset", "stiffness")),
        onset=corners("onset", 1e3),
        step=corners("step", 0.0),
        width=np.maximum(corners("width", 1e-6), 1e-9),
    )


def _law(path: str, read: Reader) -> Knots:
    speed, clicks = (np.asarray(read.values[f"{path}.{name}"], dtype=float) for name in ("speed", "clicks"))
    shape = (len(clicks), len(speed))
    tables = (
        np.asarray(read.values[f"{path}.{name}"], dtype=float).reshape(shape) for name in ("compression", "rebound")
    )
    settings = (read.scalar(f"{path}.{name}_clicks") for name in ("compression", "rebound"))
    return damper_law(DamperTable(speed, clicks, *tables), *settings)
