"""Teasel's rear axle through bump and roll: its kinematics beside those of general-purpose engines, in one run."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from importlib import import_module
from importlib.metadata import PackageNotFoundError, version

import numpy as np

from axlewright import load
from axlewright.car.describe import describe
from benchmarks.engines.axle import Axle, Poses, axle_of
from benchmarks.timing import Measurement, readable, times_of

SIDE = 21  # poses along each side of the grid
BUMP, ROLL = 0.06, np.radians(3.0)  # m, rad: reach of the grid to either side
ENGINES = ("numpy_newton", "sympy_numba", "sympy_numba_cores", "scipy_root", "mujoco_newton", "exudyn_static")
REPEATS = 7


def heights_of(axle: Axle) -> np.ndarray:
    """Heights of both wheel centres over the grid, (2, poses) m."""
    bump, roll = (x.ravel() for x in np.meshgrid(np.linspace(-BUMP, BUMP, SIDE), np.linspace(-ROLL, ROLL, SIDE)))
    return axle.wheels[:, 2, None] + bump + axle.wheels[:, 1, None] * np.sin(roll)


def measure() -> Iterator[Measurement]:
    """Time all poses of the grid in every engine, each from the drawn pose and to the same closure."""
    axle = axle_of(describe(load("teasel"))[1])
    heights = heights_of(axle)
    first = None
    for name in ENGINES:
        yield (row := _engine(name, axle, heights, first))[0]
        first = first or row[1]


def _engine(name: str, axle: Axle, heights: np.ndarray, reference: Poses | None) -> tuple[Measurement, Poses | None]:
    """One engine's line and its poses; a line that says so where it is not installed."""
    try:
        engine = import_module(f"benchmarks.engines.{name}")
    except ImportError as missing:
        return Measurement(name=f"  {name}", times=(), found=f"not installed: {missing.name}"), None
    solve = engine.solver(axle)
    poses = solve(heights)
    found = f"{engine.NEEDS} {_version(engine.NEEDS)}"
    if reference is not None:
        found += f", differs by {poses.difference(reference):.0e}"
    times = times_of(partial(solve, heights), repeats=REPEATS)
    found = f"{readable(min(times) / heights.shape[1])} a pose, {found}"
    return Measurement(name=f"  {engine.NAME}", times=times, members=heights.shape[1], found=found), poses


def _version(distribution: str) -> str:
    try:
        return version(distribution)
    except PackageNotFoundError:
        return ""
