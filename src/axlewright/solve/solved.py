"""Solved states, as readings and faces see them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from axlewright.model.blocks import Evaluated
from axlewright.model.parameters import CarParameters, Demand, State
from axlewright.parts.relay_linkage import relay_pose
from axlewright.solve.machine import Machine


@dataclass(frozen=True)
class Solved:
    """A batch of states of one mechanism: setups by phases in any mixture, batch last in every array.

    `rest` holds the same setups at rest (same batch, or one for all), for readings that are changes from rest; a rest
    batch has None.
    """

    machine: Machine
    car: np.ndarray  # (parameters, B) packed
    demand: np.ndarray  # (demands, B) packed
    state: np.ndarray  # (unknowns, B) packed
    error: np.ndarray  # (B,) scaled residual
    result: np.ndarray  # (B,) int codes of solve.results
    rest: Solved | None = None
    active: str = ""  # torque link that was rigid while only the linkage moved, the other one absent: "drive", "brake"

    @property
    def batch(self) -> int:
        return self.state.shape[-1]

    @cached_property
    def parameters(self) -> CarParameters:
        """Parameter arrays, batch last."""
        return self.machine.form.car.unpack(np.broadcast_to(self.car, (self.car.shape[0], self.batch)))

    @cached_property
    def asked(self) -> Demand:
        """Demand arrays, batch last."""
        return self.machine.form.demand.unpack(np.broadcast_to(self.demand, (self.demand.shape[0], self.batch)))

    @cached_property
    def unknowns(self) -> State:
        """Unknowns by block and border, batch last."""
        return self.machine.form.state.unpack(self.state)

    @cached_property
    def blocks(self) -> tuple[Evaluated, ...]:
        """Tensions, tyre forces and positions of each block."""
        return self.machine.evaluate(self.car, self.demand, self.state)

    @cached_property
    def linear(self) -> tuple[np.ndarray, np.ndarray]:
        """Residual (N, B) and derivative (N, N, B), block copies first and the border last, scaled."""
        residual, slope = self.machine.linearise(self.car, self.demand, self.state)
        return residual, slope

    def response(self, change: Demand) -> np.ndarray:
        """Change of the flat unknowns (N, B) per unit of a change of the demand, to first order: -J^-1 F_demand."""
        direction = self.machine.form.demand.pack(change)
        pull = self.machine.push(self.car, self.demand, self.state, demand_change=direction)[1]
        return -np.linalg.solve(np.moveaxis(self.linear[1], -1, 0), pull.T[..., None])[..., 0].T

    def border(self, name: str) -> np.ndarray:
        """One border unknown by its name in `Topology.border`, (B,)."""
        return np.asarray(self.unknowns.border[self.machine.topology.border.index(name)])

    @cached_property
    def relay_reach(self) -> np.ndarray | None:
        """Reach of the steering's relay link, (B,): magnitude 1 = idler arm at toggle, beyond = past it; None on a
        rack.
        """
        if self.machine.topology.mechanism.steering == "rack":
            return None
        linkage = next(p.relay for p in self.parameters.blocks if p.relay is not None)
        return relay_pose(linkage, self.border("rack") * np.asarray(self.parameters.rack_sense)).reach

    def wheel(self, name: str) -> np.ndarray:
        """A `ground.Contact` or `ground.Ground` field of every wheel in model order: (wheels, B) or (3, wheels, B)."""
        found = []
        for block, at in zip(self.machine.topology.blocks, self.blocks, strict=True):
            value = np.asarray(getattr(at.contact if hasattr(at.contact, name) else at.ground, name))
            axis = value.ndim - 3  # wheels, copies, B
            for copy in range(block.n_copies):
                found += [np.take(np.take(value, w, axis=axis), copy, axis=axis) for w in range(block.n_wheels)]
        return np.stack(found, axis=-2)

    def wheel_parameter(self, name: str) -> np.ndarray:
        """A `parameters.Wheels` field of every wheel in model order."""
        found = []
        for block, p in zip(self.machine.topology.blocks, self.parameters.blocks, strict=True):
            value = np.asarray(getattr(p.wheels, name))
            axis = value.ndim - 3
            for copy in range(block.n_copies):
                found += [np.take(np.take(value, w, axis=axis), copy, axis=axis) for w in range(block.n_wheels)]
        return np.stack(found, axis=-2)

    def tyre(self, wheel: int) -> object:
        """Tyre parameters of one wheel in model order, every entry (B,)."""
        i = 0
        for block, p in zip(self.machine.topology.blocks, self.parameters.blocks, strict=True):
            for copy in range(block.n_copies):
                for w in range(block.n_wheels):
                    if i == wheel:
                        return type(p.wheels.tyre)(*(field[w, copy] for field in p.wheels.tyre))
                    i += 1
        raise IndexError(wheel)

    def link(self, block: int, name: str, what: str) -> np.ndarray:
        """`suspension.Details` field of a link (tension, length) on every copy, (copies, B)."""
        return np.asarray(getattr(self.blocks[block].details, what))[
            self.machine.topology.blocks[block].links.index(name)
        ]

    def take(self, members: np.ndarray | slice) -> Solved:
        """Some members of the batch."""
        full = lambda a: np.broadcast_to(a, (a.shape[0], self.batch))[:, members]  # noqa: E731 - three uses below
        rest = self.rest.take(members) if self.rest is not None and self.rest.batch > 1 else self.rest
        return Solved(
            self.machine,
            full(self.car),
            full(self.demand),
            self.state[:, members],
            self.error[members],
            self.result[members],
            rest,
            self.active,
        )
