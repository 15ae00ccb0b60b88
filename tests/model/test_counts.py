"""How many unknowns the problem has, and that they survive packing."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.solve.demand import rest_demand
from tests.cars import BRAMBLE, TEASEL

CARS = pytest.mark.parametrize("demo", [TEASEL, BRAMBLE], ids=lambda demo: demo.name)


def test_unknowns_of_teasel_as_the_design_counts_them():
    """13 + 13 + 11 + chassis 3 + controls 3 + slips 4 + differential 1 = 48 held; 8 of them drop out at rest."""
    topology = TEASEL.machine.topology
    assert [(block.n_copies, block.size) for block in topology.blocks] == [(2, 13), (1, 11)]
    assert topology.count() == 48
    assert topology.count(rest=True) == 40


def test_unknowns_of_bramble():
    """By the design's rules for options: spring on the upright -1 -3 +2 a side; axle 6 + Panhard rod 1; twist 1."""
    topology = BRAMBLE.machine.topology
    assert [(block.n_copies, block.size) for block in topology.blocks] == [(2, 13 - 1 - 3 + 2), (1, 6 + 1)]
    assert topology.count() == 2 * 11 + 7 + 3 + 3 + 4 + 1 + 1
    assert topology.count(rest=True) == topology.count() - 8


@CARS
def test_equations_as_many_as_unknowns(demo):
    """The matrix is square, and regular where the car stands still and where it is driven."""
    for solved in (demo.rest, demo.held):
        residual, derivative = solved.linear
        n = demo.machine.flat_size
        assert n == demo.machine.topology.count() + len(demo.machine.topology.mechanism.bars)
        assert residual.shape[0] == n
        assert derivative.shape[:2] == (n, n)
        assert (np.linalg.matrix_rank(derivative[:, :, 0]) == n).all()


@CARS
def test_unknowns_without_meaning_at_rest_are_zero(demo):
    dropped = ("rack", "sideslip", "effort", "difference", *(f"slip {w}" for w in ("LF", "RF", "LR", "RR")))
    assert [float(demo.rest.border(name)[0]) for name in dropped] == [0.0] * 8


@CARS
def test_the_drawn_pose_is_the_rest_pose(demo):
    """Points are measured at rest: every pose unknown is zero there, as solved and not only as assumed."""
    machine = demo.machine
    shaken = machine.flat(machine.start) + 1e-3 * np.sin(np.arange(machine.flat_size))[:, None]
    demand = machine.form.demand.pack(rest_demand(4))
    state, _, _ = machine.solve(machine.parameters(machine.values), demand, machine.packed(shaken))
    unknowns = machine.form.state.unpack(state)
    for block, local in zip(machine.topology.blocks, unknowns.local, strict=True):
        assert np.abs(local[: block.n_motion]).max() < 1e-9  # m, rad; the solver's tolerance over the softest spring
    assert np.abs(unknowns.border[:3]).max() < 1e-9


@CARS
@pytest.mark.parametrize("batch", [1, 3])
def test_packing_there_and_back(demo, batch):
    """Every array keeps every number, and no number is kept twice."""
    machine = demo.machine
    for packing in (machine.form.car, machine.form.demand, machine.form.state):
        numbers = np.arange(packing.size * batch, dtype=float).reshape(packing.size, batch)
        assert np.array_equal(packing.pack(packing.unpack(numbers)), numbers)
    state = np.arange(machine.flat_size * batch, dtype=float).reshape(machine.flat_size, batch)
    flat = machine.flat(state)
    assert sorted(flat.ravel()) == sorted(state.ravel())
    assert np.array_equal(machine.packed(flat), state)


def test_packing_spreads_what_does_not_vary_over_the_batch():
    machine = TEASEL.machine
    one, two = rest_demand(4), rest_demand(4, batch=2)
    packed = machine.form.demand.pack(one._replace(ax=np.array([1.0, 2.0])))
    assert packed.shape[1] == 2
    assert np.array_equal(packed, machine.form.demand.pack(two._replace(ax=np.array([1.0, 2.0]))))
