"""Teasel through bump and roll: all readings of a travel, and the axle's kinematics beside other engines in one run."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from importlib import import_module
from importlib.metadata import PackageNotFoundError, version

import numpy as np

from axlewright import load
from axlewright.readings import readings_of
from axlewright.readings._vectors import cayley
from axlewright.solve.machine import Machine
from axlewright.solve.moved_block import MovedBlock
from axlewright.solve.poses import grid
from axlewright.solve.travel import sideways_of, travel
from axlewright.solve.verbs import packed_now
from benchmarks.engines.axle import Axle, Poses, axle_of
from benchmarks.timing import Measurement, readable, times_of

SIDE = 21  # poses along each side of the grid
BUMP, ROLL = 0.06, np.radians(3.0)  # m, rad: reach of the grid to either side
ENGINES = ("numpy_newton", "sympy_numba", "sympy_numba_cores", "scipy_root", "mujoco_newton", "exudyn_static")
LIMIT = 0.05  # s: all readings of the grid, everything compiled, on two cores
REPEATS = 7
POSES = grid(bump=np.linspace(-BUMP, BUMP, SIDE), roll=np.linspace(-ROLL, ROLL, SIDE))


def measure() -> Iterator[Measurement]:
    """Time the grid with all readings; then where the axle goes, here and in every engine.

    Each pose from the drawn one and to the same closure.
    """
    car = load("teasel")
    machine, packed = packed_now(car)
    readings = [reading for reading in readings_of(machine).values() if reading.travel]

    def read() -> int:
        travelled = travel(car, POSES)
        return len([travelled.read(reading.read) for reading in readings])

    name, found = f"{SIDE} x {SIDE} bump by roll, all readings", f"{read()} readings, front and rear"
    yield Measurement(name=name, times=times_of(read, repeats=REPEATS), found=found, limit=LIMIT)
    whole = partial(travel, car, POSES)
    yield Measurement(name="  of which the travel, front and rear", times=times_of(whole, repeats=REPEATS))
    axle, rises = axle_of(machine.values), POSES.rises(sideways_of(machine))[2:]
    heights = rises + axle.wheels[:, 2, None]
    solve = partial(own_poses, machine, packed, rises, axle)
    first, times = solve(), times_of(solve, repeats=REPEATS)
    yield _line("the rear axle alone, axlewright", times, "")
    for name in ENGINES:
        yield _engine(name, axle, heights, first, min(times))


def own_poses(machine: Machine, packed: np.ndarray, rises: np.ndarray, axle: Axle) -> Poses:
    """Where the package puts the axle for `rises` (2, B) of its wheel centres, m, with the drive link at its length."""
    still = np.zeros(rises.shape[1])
    motion, _ = MovedBlock(machine, packed, 1, "drive").go(rises[:, None], still, still)
    motion = motion[:, 0]
    turn = cayley(motion[3:6])
    reference = np.asarray(machine.values["rear.axle.at"]).ravel()
    middle = reference[:, None] + motion[:3] + np.einsum("ijb,j->ib", turn, axle.middle - reference)
    return Poses(middle.T, np.moveaxis(turn, -1, 0), motion[6])


def _line(name: str, times: tuple[float, ...], found: str) -> Measurement:
    said = f"{readable(min(times) / POSES.batch)} a pose{found}"
    return Measurement(name=f"  {name}", times=times, members=POSES.batch, found=said)


def _engine(name: str, axle: Axle, heights: np.ndarray, own: Poses, own_time: float) -> Measurement:
    """One engine's line; one that says so where it is not installed."""
    try:
        engine = import_module(f"benchmarks.engines.{name}")
    except ImportError as missing:
        return Measurement(name=f"  {name}", times=(), found=f"not installed: {missing.name}")
    solve = engine.solver(axle)
    differs = solve(heights).difference(own)
    times = times_of(partial(solve, heights), repeats=REPEATS)
    ratio = f"{min(times) / own_time:.3g} times ours"
    return _line(engine.NAME, times, f", {ratio}, differs by {differs:.0e}, {engine.NEEDS} {_version(engine.NEEDS)}")


def _version(distribution: str) -> str:
    try:
        return version(distribution)
    except PackageNotFoundError:
        return "of unknown version"
