"""The few compiled functions of the solver, each kept between runs.

Tracing the model in Python takes longer than the solve that it is for, so what tracing produced (StableHLO, an open
format) is kept beside the machine code in the cache folder (`_runtime`), under a key made of everything that it depends
on: our sources, JAX, and the car's form. A file that can't be read is made again; one that can't be written costs only
time.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import jax
import jax.numpy as jnp
from jax import export

from axlewright import model, parts, solve
from axlewright._runtime import cache_folder
from axlewright.model import travel
from axlewright.model.elimination import Pivots
from axlewright.model.packing import Packing
from axlewright.model.system import dense, evaluate, flatten, linearise, residual
from axlewright.model.topology import Topology
from axlewright.model.vectors import Array
from axlewright.solve import newton

Program = Callable[..., tuple[Array, ...]]


@dataclass(frozen=True)
class Form:
    """Everything about a car that a compiled function depends on besides numbers."""

    topology: Topology
    car: Packing
    demand: Packing
    state: Packing


def _solve(form: Form, pivots: tuple[Pivots, ...]) -> Program:
    def run(car: Array, demand: Array, start: Array, most: Array) -> tuple[Array, ...]:
        parameters, asked, state = form.car.unpack(car), form.demand.unpack(demand), form.state.unpack(start)
        outcome = newton.solve(form.topology, pivots, parameters, asked, state, most[0].max())
        iterations = jnp.broadcast_to(outcome.iterations, outcome.error.shape)
        return form.state.pack_traced(outcome.state), outcome.error, iterations

    return run


def _linearise(form: Form, pivots: tuple[Pivots, ...]) -> Program:
    del pivots

    def run(car: Array, demand: Array, state: Array) -> tuple[Array, ...]:
        at = linearise(form.topology, form.car.unpack(car), form.demand.unpack(demand), form.state.unpack(state))
        return dense(form.topology, at)

    return run


def _push(form: Form, pivots: tuple[Pivots, ...]) -> Program:
    del pivots

    def run(car: Array, demand: Array, state: Array, car_change: Array, demand_change: Array) -> tuple[Array, ...]:
        at = form.state.unpack(state)

        def f(c: Array, d: Array) -> Array:
            return flatten(form.topology, residual(form.topology, form.car.unpack(c), form.demand.unpack(d), at))

        return jax.jvp(f, (car, demand), (car_change, demand_change))

    return run


def _evaluate(form: Form, pivots: tuple[Pivots, ...]) -> Program:
    del pivots

    def run(car: Array, demand: Array, state: Array) -> tuple[Array, ...]:
        at = evaluate(form.topology, form.car.unpack(car), form.demand.unpack(demand), form.state.unpack(state))
        return tuple(jax.tree.leaves(at))

    return run


@dataclass(frozen=True)
class _Source:
    """How a program is made, and which packings its arguments have."""

    make: Callable[[Form, tuple[Pivots, ...]], Program]
    arguments: tuple[str, ...]  # fields of Form, or "count"


_SOURCES = {
    "solve": _Source(_solve, ("car", "demand", "state", "count")),
    "linearise": _Source(_linearise, ("car", "demand", "state")),
    "push": _Source(_push, ("car", "demand", "state", "car", "demand")),
    "evaluate": _Source(_evaluate, ("car", "demand", "state")),
}


def program(name: str, form: Form, pivots: tuple[Pivots, ...], batch: int) -> Program:
    """A compiled function over packed arrays (n, batch)."""
    return _program(name, form, pivots if name == "solve" else (), batch)


@cache
def _program(name: str, form: Form, pivots: tuple[Pivots, ...], batch: int) -> Program:
    source = _SOURCES[name]
    sizes = [1 if field == "count" else getattr(form, field).size for field in source.arguments]
    shapes = [jax.ShapeDtypeStruct((size, batch), float) for size in sizes]
    return kept(name, source.make(form, pivots), shapes, (form, pivots, batch))


@cache
def travel_program(form: Form, index: int, pivots: Pivots, moves: Packing, batch: int) -> Program:
    """The compiled travel of one block: car (n, 1), moves (n, batch), start (motions, c, batch) to its `Travelled`."""
    linkage = travel.Linkage(form.topology.blocks[index])
    start = (linkage.whole.n_motion, linkage.whole.n_copies, batch)

    def run(car: Array, moved: Array, begin: Array) -> tuple[Array, ...]:
        parameters = form.car.unpack(car)
        return tuple(
            travel.travel(linkage, pivots, parameters.blocks[index], parameters.rack_sense, moves.unpack(moved), begin)
        )

    shapes = [jax.ShapeDtypeStruct(shape, float) for shape in ((form.car.size, 1), (moves.size, batch), start)]
    return kept("travel", run, shapes, (form, index, pivots, moves, batch))


def kept(name: str, run: Program, shapes: list[jax.ShapeDtypeStruct], what: tuple[object, ...]) -> Program:
    """`run` compiled for `shapes`, from the file that an earlier run has left, if there is one."""
    file = cache_folder() / f"{name}-{_key(name, what)}.stablehlo"
    exported = _read(file)
    if exported is None:
        exported = export.export(jax.jit(run))(*shapes)
        _write(file, exported.serialize())
    return jax.jit(exported.call).lower(*shapes).compile()


def load(sizes: Mapping[str, int], form: Form, pivots: tuple[Pivots, ...]) -> None:
    """Have several programs ready, made side by side: compiling leaves the interpreter free."""
    with ThreadPoolExecutor(max_workers=len(sizes)) as pool:
        list(pool.map(lambda name: program(name, form, pivots, sizes[name]), sizes))


def _key(name: str, what: tuple[object, ...]) -> str:
    """Digest of everything that a program depends on."""
    return hashlib.sha256(repr((name, what, jax.__version__, _sources())).encode()).hexdigest()[:32]


@cache
def _sources() -> str:
    """Digest of every file whose text ends up in a program."""
    digest = hashlib.sha256()
    for package in (parts, model, solve):
        for file in sorted(Path(package.__path__[0]).rglob("*.py")):
            digest.update(file.read_bytes())
    return digest.hexdigest()


def _read(kept: Path) -> export.Exported | None:
    try:
        return export.deserialize(bytearray(kept.read_bytes()))
    except FileNotFoundError:
        return None
    except Exception:  # noqa: BLE001 - a damaged file raises whatever its bytes lead to; it is made again
        return None


def _write(kept: Path, content: bytes | bytearray) -> None:
    """All or nothing, since another process may be reading."""
    part = kept.with_suffix(f".{os.getpid()}.part")
    try:
        kept.parent.mkdir(parents=True, exist_ok=True)
        part.write_bytes(content)
        part.replace(kept)
    except OSError:  # `_runtime` has already warned that nothing can be kept
        return
