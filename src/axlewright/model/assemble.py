"""Mechanism and values -> parameter arrays: component first, block copy, batch last (numpy)."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from axlewright.car.mechanism import Values
from axlewright.model.parameters import BarEnds, BlockParameters, CarParameters, Wheels
from axlewright.model.reader import Reader
from axlewright.model.topology import BlockTopology, Topology
from axlewright.parts import ELASTIC, TYRE_LAWS
from axlewright.parts.aero import AIR_DENSITY, Aero
from axlewright.parts.anti_roll_bar import twist_stiffness
from axlewright.parts.bar_arm import toggle_side
from axlewright.parts.elastic import Knots
from axlewright.parts.relay_linkage import RelayLinkage, relay_linkage


def assemble(topology: Topology, values: Values, batch: int) -> CarParameters:
    """Parameters of `batch` cars; `values` must hold drawn lengths (`with_drawn`) and the rest solve's settings."""
    read = Reader(values, batch)
    mechanism = topology.mechanism
    blocks = tuple(_block(topology, block, read) for block in topology.blocks)
    mass = np.stack([read.scalar(f"chassis.{item}.mass") for item in mechanism.mass_items])
    at = np.stack([read.vector(f"chassis.{item}.at") for item in mechanism.mass_items], axis=1)
    return CarParameters(
        blocks=blocks,
        mass=mass,
        mass_at=at,
        sprung_yaw_inertia=read.scalar("chassis.yaw_inertia", 0.0),
        centre=_centre_of_mass(blocks, mass, at),
        air_density=read.scalar("aero.air_density", AIR_DENSITY),
        aero=Aero(*(read.scalar(f"aero.{name}", 0.0) for name in Aero._fields)),
        final_drive=read.scalar("driveline.ratio", 1.0),
        shaft_sense=read.scalar("driveline.sense", 1.0),
        difference_preload=read.scalar("driveline.preload", 0.0),
        lock_drive=read.scalar("driveline.lock_drive", 0.0),
        lock_coast=read.scalar("driveline.lock_coast", 0.0),
        rack_travel=read.scalar("rack.travel", 0.0),
        rack_sense=_rack_sense(topology, read),
        bar_stiffness=_bars(topology, read),
        bar_neutral=np.zeros((len(mechanism.bars), batch)),
        twist_compliance=read.scalar("chassis.torsion_compliance", 0.0),
        twist_height=read.scalar("chassis.torsion_height", 0.0),
        twist_rear_share=read.scalar("chassis.torsion_rear_share", 0.5),
        twist_neutral=read.scalar("chassis.torsion_set", 0.0),
    )


def _stack(
    items: Sequence[str], copies: Sequence[str], get: Callable[[str], np.ndarray], lead: int, batch: int
) -> np.ndarray:
    """Array (lead..., items, copies, B) from `get(copy.item)`; `lead` 3 for points, 0 for numbers."""
    if not items:
        return np.zeros((lead, 0, len(copies), batch)) if lead else np.zeros((0, len(copies), batch))
    axis = 1 if lead else 0
    rows = [np.stack([get(f"{copy}.{item}") for copy in copies], axis=axis) for item in items]
    return np.stack(rows, axis=axis)


def _block(topology: Topology, block: BlockTopology, read: Reader) -> BlockParameters:
    copies, batch, b = block.block.copies, read.batch, block.block
    links, joints, parts, bodies = block.links, [j.name for j in b.joints], [p.name for p in b.parts], list(b.bodies)

    def points(items: Sequence[str], name: str) -> np.ndarray:
        return _stack(items, copies, lambda path: read.vector(f"{path}.{name}"), 3, batch)

    def numbers(items: Sequence[str], get: Callable[[str], np.ndarray]) -> np.ndarray:
        return _stack(items, copies, get, 0, batch)

    start, end = points(parts, "axis_a"), points(parts, "axis_b")
    span = end - start
    at = points(joints, "at")
    shifted = at + _stack(joints, copies, lambda path: read.vector(f"{path}.shift", np.zeros(3)), 3, batch)
    drops = _end_vectors(topology, block, read, "drop_point")
    return BlockParameters(
        points=np.concatenate([points(links, "a"), points(links, "b"), shifted, at, drops], axis=1),
        link_length=numbers(links, lambda path: read.scalar(f"{path}.drawn") + read.scalar(f"{path}.length", 0.0)),
        part_point=start,
        part_axis=span / np.linalg.norm(span, axis=0) if parts else span,
        body_mass=numbers(bodies, lambda path: read.scalar(f"{path}.mass")),
        body_at=points(bodies, "at"),
        body_yaw_inertia=numbers(bodies, lambda path: read.scalar(f"{path}.yaw_inertia", 0.0)),
        elastic=_elastic(block, read),
        ends=_ends(topology, block, read),
        wheels=_wheels(topology, block, read),
        relay=_relay(read) if topology.mechanism.steering == "relay" and block.rack_links else None,
    )


def _relay(read: Reader) -> RelayLinkage:
    """The relay linkage, its relay link as long as drawn."""
    axes = [(read.vector(f"relay.{arm}_axis_a"), read.vector(f"relay.{arm}_axis_b")) for arm in ("pitman", "idler")]
    ends = [read.vector(f"relay.{arm}_end") for arm in ("pitman", "idler")]
    return relay_linkage(axes[0], ends[0], axes[1], ends[1], read.scalar("relay.drawn"))


def term_knots(kind: str, path: str, read: Reader) -> Knots:
    """Law of one elastic term; every entry (B,), corners (J, B)."""
    return ELASTIC[kind](read.properties(path))


def _elastic(block: BlockTopology, read: Reader) -> Knots:
    """All elastic terms of a block, corners padded to one length: (J, terms, copies, B)."""
    copies, batch = block.block.copies, read.batch
    laws = [
        [term_knots(term.kind, f"{copy}.{link}.{term.name}", read) for copy in copies] for _, link, term in block.terms
    ]
    corners = max((np.shape(law.onset)[0] for row in laws for law in row), default=0)

    def number(name: str) -> np.ndarray:
        if not laws:
            return np.zeros((0, len(copies), batch))
        return np.stack([np.stack([np.broadcast_to(getattr(law, name), (batch,)) for law in row]) for row in laws])

    def list_of(name: str, fill: float) -> np.ndarray:
        if not laws:
            return np.zeros((0, 0, len(copies), batch))
        return np.stack(
            [np.stack([_padded(getattr(law, name), corners, batch, fill) for law in row], axis=1) for row in laws],
            axis=1,
        )

    return Knots(
        sense=number("sense"),
        set=number("set"),
        offset=number("offset"),
        stiffness=number("stiffness"),
        # a corner that is never reached: a kilometre away, so that 0 x inf can't arise
        onset=np.minimum(list_of("onset", 1e3), 1e3),
        step=list_of("step", 0.0),
        width=np.maximum(list_of("width", 1e-6), 1e-9),  # a sharp corner has no derivative to its width
    )


def _padded(corner: np.ndarray, corners: int, batch: int, fill: float) -> np.ndarray:
    corner = np.asarray(corner, dtype=float)
    corner = np.broadcast_to(corner[:, None] if corner.ndim == 1 else corner, (corner.shape[0], batch))
    return np.concatenate([corner, np.full((corners - corner.shape[0], batch), fill)])


def _end_paths(topology: Topology, block: BlockTopology) -> list[list[str]]:
    """Value path of each bar end: one list an end, one entry a copy."""
    return [
        [f"{topology.mechanism.bars[i].name}.{side}" for (i, _), side in zip(ends, sides, strict=True)]
        for ends, sides in zip(block.bar_ends, block.bar_sides, strict=True)
    ]


def _end_vectors(topology: Topology, block: BlockTopology, read: Reader, name: str) -> np.ndarray:
    """A point or direction of each bar end, (3, ends, copies, B)."""
    paths = _end_paths(topology, block)
    if not paths:
        return np.zeros((3, 0, block.n_copies, read.batch))
    return np.stack([np.stack([read.vector(f"{path}.{name}") for path in row], axis=1) for row in paths], axis=1)


def _ends(topology: Topology, block: BlockTopology, read: Reader) -> BarEnds:
    paths = _end_paths(topology, block)
    signs = [[sign for _, sign in ends] for ends in block.bar_ends]
    shape = (len(paths), block.n_copies, read.batch)

    def scalar(get: Callable[[str], np.ndarray]) -> np.ndarray:
        return np.stack([np.stack([get(path) for path in row]) for row in paths]) if paths else np.zeros(shape)

    names = ("pivot", "axis", "direction", "drop_point")
    pivot, axis, direction, lower = (_end_vectors(topology, block, read, name) for name in names)
    return BarEnds(
        pivot=pivot,
        axis=axis,
        direction=direction,
        arm=scalar(lambda path: read.scalar(f"{path}.arm")),
        drop_length=scalar(lambda path: read.scalar(f"{path}.drawn") + read.scalar(f"{path}.drop_link", 0.0)),
        side=toggle_side(pivot, axis, direction, lower),
        sign=np.broadcast_to(np.array(signs, dtype=float).reshape(shape[:2])[:, :, None], shape),
    )


def _wheels(topology: Topology, block: BlockTopology, read: Reader) -> Wheels:
    wheels, batch = block.block.wheels, read.batch

    def scalar(name: str, default: float | None = None) -> np.ndarray:
        return np.stack([np.stack([read.scalar(f"{w}.{name}", default) for w in wheel.names]) for wheel in wheels])

    def flag(values: Sequence[bool]) -> np.ndarray:
        return np.broadcast_to(np.array(values, dtype=float)[:, None, None], (len(wheels), block.n_copies, batch))

    centre = np.stack([np.stack([read.vector(f"{w}.centre") for w in wheel.names], axis=1) for wheel in wheels], axis=1)
    side = np.sign(centre[1])
    inclination, steer = -side * scalar("camber"), -side * scalar("toe")
    c = np.cos(inclination)
    tyre = TYRE_LAWS[topology.mechanism.tyre_law].parameters
    return Wheels(
        centre=centre,
        axis=np.stack([-np.sin(steer) * c, np.cos(steer) * c, np.sin(inclination)]),
        free_radius=scalar("free_radius", 0.0),
        pressure=scalar("pressure"),
        spin_inertia=scalar("spin_inertia"),
        brake_gain=scalar("brake_gain"),
        bearing_drag=scalar("bearing_drag", 0.0),
        driven=flag([w.driven for w in wheels]) * side,
        drive_on_body=flag([w.drive_on_body for w in wheels]),
        brake_on_body=flag([w.brake_on_body for w in wheels]),
        tyre=tyre(*(scalar(f"tyre.{name}") for name in tyre._fields)),
    )


def _bars(topology: Topology, read: Reader) -> np.ndarray:
    """Twist stiffness of each bar with its arms' bending, N m/rad, (bars, B)."""
    found = [
        twist_stiffness(
            read.scalar(f"{bar.name}.torsion"),
            read.scalar(f"{bar.name}.arm_bending", np.inf),
            read.scalar(f"{bar.name}.left.arm"),
            read.scalar(f"{bar.name}.right.arm"),
        )
        for bar in topology.mechanism.bars
    ]
    return np.stack(found) if found else np.zeros((0, read.batch))


def _rack_sense(topology: Topology, read: Reader) -> np.ndarray:
    """+1 where the steering arms are ahead of the wheel centre, so that the rack moves left to steer left."""
    for block in topology.blocks:
        for i in block.rack_links:
            arm = read.vector(f"{block.block.copies[0]}.{block.links[i]}.b")
            wheel = read.vector(f"{block.block.wheels[0].names[0]}.centre")
            return np.where(arm[0] >= wheel[0], 1.0, -1.0)
    return np.ones(read.batch)


def _centre_of_mass(blocks: Sequence[BlockParameters], mass: np.ndarray, at: np.ndarray) -> np.ndarray:
    """Of the whole car at the drawn pose, (3, B)."""
    total = mass.sum(axis=0) + sum(np.asarray(p.body_mass).sum(axis=(0, 1)) for p in blocks)
    moment = (at * mass).sum(axis=1) + sum(np.asarray(p.body_at * p.body_mass).sum(axis=(1, 2)) for p in blocks)
    return moment / total
