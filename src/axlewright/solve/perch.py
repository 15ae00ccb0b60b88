"""The car as drawn, standing on its scales: which forces hold it there, and how its springs must be set for them.

All poses are zero, so statics is linear in the forces: rigid tensions, joint forces, one tension for each link whose
setting is free (perch, drive-side neutral, compliant links as assembled) and the four wheel loads. Equations: balance
of every unsprung body and part, Fz, Mx, My of the chassis, and the stated cross weight. Bars carry nothing. Where
compliant links are more than statics can tell, the smallest self-stress is taken: assembled without preload.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.car.mechanism import CHASSIS, Values
from axlewright.errors import RestError
from axlewright.model.assemble import term_knots
from axlewright.model.reader import Reader, is_list
from axlewright.model.topology import BlockTopology, Topology
from axlewright.parts import TYRE_LAWS
from axlewright.parts.elastic import set_for, tension
from axlewright.parts.tyre import deflection_for
from axlewright.units import GRAVITY

SETTABLE = ("coil_spring", "drive_link", "compliant")
BALANCE_TOLERANCE = 1e-6  # N; statics is linear, so what is left is rounding


class Standing(NamedTuple):
    """The drawn car at rest."""

    values: dict[str, float | np.ndarray]  # with `set` of every settable term and `free_radius` of every wheel
    forces: tuple[np.ndarray, ...]  # one a block: (rigid + 3 joints, copies, B) N, the rest state's force unknowns
    loads: np.ndarray  # (wheels, B) N


class _Columns:
    """Collects the wrench of each unknown on each balance row; one car."""

    def __init__(self, topology: Topology) -> None:
        self.topology = topology
        self.names: list[tuple[str, ...]] = []
        self.columns: list[np.ndarray] = []
        self.rows: dict[tuple[str, str], int] = {}
        n = 0
        for block in topology.blocks:
            for copy in block.block.copies:
                for name, size in [*((b, 6) for b in block.block.bodies), *((p.name, 1) for p in block.block.parts)]:
                    self.rows[copy, name] = n
                    n += size
        self.chassis = n
        self.size = n + 4  # chassis Fz, Mx, My and cross weight

    def column(self) -> np.ndarray:
        return np.zeros(self.size)

    def add(
        self,
        column: np.ndarray,
        block: BlockTopology,
        copy: str,
        frame: str,
        at: np.ndarray,
        force: np.ndarray,
        read: Reader,
    ) -> None:
        """Add a force at a drawn point of a frame to a column."""
        parts = {part.name: part for part in block.block.parts}
        if frame in parts:
            a, b = read.vector(f"{copy}.{frame}.axis_a")[:, 0], read.vector(f"{copy}.{frame}.axis_b")[:, 0]
            axis = (b - a) / np.linalg.norm(b - a)
            column[self.rows[copy, frame]] += axis @ (force if parts[frame].slides else np.cross(at - a, force))
            frame = parts[frame].parent
        if frame == CHASSIS:
            moment = np.cross(at, force)
            column[self.chassis : self.chassis + 3] += (force[2], moment[0], moment[1])
        else:
            row = self.rows[copy, frame]
            column[row : row + 3] += force
            column[row + 3 : row + 6] += np.cross(at - read.vector(f"{copy}.{frame}.at")[:, 0], force)


def stand(topology: Topology, values: Values, batch: int = 1) -> Standing:
    """Solve the drawn car at rest. `values` must hold the drawn lengths; entries may carry the batch.

    Raises RestError when no set of forces holds the car as drawn.
    """
    members = [_stand_one(topology, _member(values, i)) for i in range(batch)]
    out: dict[str, float | np.ndarray] = dict(values)
    for path in members[0].values:
        out[path] = np.array([member.values[path] for member in members])
    forces = tuple(np.stack([m.forces[i] for m in members], axis=-1) for i in range(len(topology.blocks)))
    return Standing(out, forces, np.stack([m.loads for m in members], axis=-1))


def _member(values: Values, i: int) -> dict[str, float | np.ndarray]:
    """One car out of a batch."""

    return {path: (np.asarray(v)[..., i] if np.ndim(v) > int(is_list(path)) else v) for path, v in values.items()}


def _stand_one(topology: Topology, values: Values) -> Standing:
    read = Reader(values, 1)
    columns = _Columns(topology)
    known = columns.column()
    for block in topology.blocks:
        for copy in block.block.copies:
            _add_block(columns, known, block, copy, read)
    _add_chassis(columns, known, topology, read)
    matrix = np.stack(columns.columns, axis=1)
    cross = read.scalar("scales.cross_weight")[0]
    for j, name in enumerate(columns.names):
        if name[0] == "load":  # cross weight (RF + LR) / total, linear once multiplied out
            matrix[-1, j] = (1.0 if name[2] in _DIAGONAL(topology) else 0.0) - cross
    solved = np.linalg.lstsq(matrix, -known, rcond=1e-12)[0]
    misfit = np.abs(matrix @ solved + known).max()
    if not misfit < BALANCE_TOLERANCE * max(1.0, np.abs(known).max()):
        raise RestError(
            f"the car can't stand as drawn: {misfit:.3g} N or N m stay unbalanced; a body is not held by its links"
        )
    return _read_off(topology, columns.names, solved, read)


def _DIAGONAL(topology: Topology) -> tuple[str, str]:
    names = topology.mechanism.wheels
    return names[1], names[2]


def _add_block(columns: _Columns, known: np.ndarray, block: BlockTopology, copy: str, read: Reader) -> None:
    for link in block.block.links:
        a, b = read.vector(f"{copy}.{link.name}.a")[:, 0], read.vector(f"{copy}.{link.name}.b")[:, 0]
        n = (b - a) / np.linalg.norm(b - a)
        unit = columns.column()
        columns.add(unit, block, copy, link.a, a, n, read)
        columns.add(unit, block, copy, link.b, b, -n, read)
        settable = [t for t in link.terms if t.kind in SETTABLE]
        if not link.terms or settable:
            columns.names.append(("link", copy, link.name))
            columns.columns.append(unit)
        for term in link.terms:
            if term.kind not in SETTABLE:
                known += unit * float(tension(term_knots(term.kind, f"{copy}.{link.name}.{term.name}", read), 0.0)[0])
    for joint in block.block.joints:
        at = read.vector(f"{copy}.{joint.name}.at")[:, 0]
        for axis in range(3):
            unit, force = columns.column(), np.eye(3)[axis]
            columns.add(unit, block, copy, joint.a, at, force, read)
            columns.add(unit, block, copy, joint.b, at, -force, read)
            columns.names.append(("joint", copy, joint.name, str(axis)))
            columns.columns.append(unit)
    index = block.block.copies.index(copy)
    for wheel in block.block.wheels:
        unit = columns.column()
        columns.add(
            unit, block, copy, wheel.frame, _contact(wheel.names[index], read)[0], np.array([0.0, 0.0, 1.0]), read
        )
        columns.names.append(("load", copy, wheel.names[index]))
        columns.columns.append(unit)
    for body in block.block.bodies:
        weight = np.array([0.0, 0.0, -GRAVITY * read.scalar(f"{copy}.{body}.mass")[0]])
        columns.add(known, block, copy, body, read.vector(f"{copy}.{body}.at")[:, 0], weight, read)


def _add_chassis(columns: _Columns, known: np.ndarray, topology: Topology, read: Reader) -> None:
    for item in topology.mechanism.mass_items:
        weight = -GRAVITY * read.scalar(f"chassis.{item}.mass")[0]
        at = read.vector(f"chassis.{item}.at")[:, 0]
        known[columns.chassis : columns.chassis + 3] += (weight, at[1] * weight, -at[0] * weight)


def _contact(wheel: str, read: Reader) -> tuple[np.ndarray, float]:
    """Contact centre on the road at the drawn pose, and the distance to it from the wheel centre in the wheel plane."""
    centre = read.vector(f"{wheel}.centre")[:, 0]
    side = np.sign(centre[1])
    lean, steer = -side * read.scalar(f"{wheel}.camber")[0], -side * read.scalar(f"{wheel}.toe")[0]
    n = np.array([-np.sin(steer) * np.cos(lean), np.cos(steer) * np.cos(lean), np.sin(lean)])
    radius = centre[2] / np.cos(lean)
    down = np.array([n[0] * n[2], n[1] * n[2], n[2] ** 2 - 1.0]) / np.cos(lean)
    return centre + radius * down, radius


def _read_off(topology: Topology, names: list[tuple[str, ...]], solved: np.ndarray, read: Reader) -> Standing:
    found = dict(zip(names, solved, strict=True))
    settings: dict[str, float | np.ndarray] = {}
    forces = []
    for block in topology.blocks:
        per_copy = []
        for copy in block.block.copies:
            column = [found["link", copy, name] for name in block.rigid]
            column += [found["joint", copy, joint.name, str(i)] for joint in block.block.joints for i in range(3)]
            per_copy.append(column)
            for link in block.block.links:
                for term in link.terms:
                    if term.kind in SETTABLE:
                        path = f"{copy}.{link.name}.{term.name}"
                        asked = found["link", copy, link.name]
                        settings[f"{path}.set"] = _setting(path, term.kind, float(asked), read)
        forces.append(np.array(per_copy).T)
    loads = []
    tyre = TYRE_LAWS[topology.mechanism.tyre_law].parameters
    for wheel in topology.mechanism.wheels:
        load = next(value for name, value in found.items() if name[0] == "load" and name[2] == wheel)
        law = tyre(*(read.scalar(f"{wheel}.tyre.{name}")[0] for name in tyre._fields))
        deflection = deflection_for(law, load, read.scalar(f"{wheel}.pressure")[0])
        settings[f"{wheel}.free_radius"] = _contact(wheel, read)[1] + float(deflection)
        loads.append(load)
    if topology.mechanism.twisting_chassis:
        settings["chassis.torsion_set"] = _rear_moment(topology, np.array(loads), read)
    return Standing(settings, tuple(forces), np.array(loads))


def _rear_moment(topology: Topology, loads: np.ndarray, read: Reader) -> float:
    """Moment about the twist axis that the rear half passes on as drawn, N m: its tyres' loads less its weights."""

    def weight(path: str) -> float:
        return GRAVITY * read.scalar(f"{path}.mass")[0] * read.vector(f"{path}.at")[1, 0]

    load = dict(zip(topology.mechanism.wheels, loads, strict=True))
    rear = [block for block in topology.mechanism.blocks if block.rear]
    tyres = [_contact(name, read)[0][1] * load[name] for block in rear for w in block.wheels for name in w.names]
    unsprung = [weight(f"{copy}.{body}") for block in rear for copy in block.copies for body in block.bodies]
    sprung = [weight(f"chassis.{item}") for item in topology.mechanism.mass_items]
    share = read.scalar("chassis.torsion_rear_share", 0.5)[0]
    return float(sum(tyres) - sum(unsprung) - share * sum(sprung))


def _setting(path: str, kind: str, asked: float, read: Reader) -> float:
    values = {**read.values, f"{path}.set": 0.0}
    found, reachable = set_for(term_knots(kind, path, Reader(values, 1)), asked)
    if not bool(np.all(reachable)):
        raise RestError(f"{path} would have to carry {asked:.0f} N of tension to hold the car as drawn, which it can't")
    return float(np.ravel(found)[0])
