"""A torque hit on one live axle, here and in other engines in the same run, each beside its error.

Times can be compared only at matched error: of each engine the coarsest setting and a finer one are shown.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from importlib.metadata import version

from benchmarks.engines.hit import hit, known
from benchmarks.timing import Measurement, times_of

ENGINES = ("own_transient", "mujoco_transient", "exudyn_transient", "scipy_transient")
REPEATS = 5


def measure() -> Iterator[Measurement]:
    """Time one second after the hit in each engine."""
    yield Measurement(name="torque hit on one axle, 1 s", times=(), found="largest difference from the reference")
    for name in ENGINES:
        try:
            engine = import_module(f"benchmarks.engines.{name}")
        except ImportError as missing:
            yield Measurement(name=f"  {name}", times=(), found=f"not installed: {missing.name}")
            continue
        for setting in engine.SETTINGS:
            solve = engine.solver(hit(), setting)
            pitch, force = solve().difference(known())
            found = f"{pitch:.0e} rad, {force:.0e} N, {engine.NEEDS} {version(engine.NEEDS)}"
            yield Measurement(name=f"  {engine.NAME}, {setting:g}", times=times_of(solve, repeats=REPEATS), found=found)
