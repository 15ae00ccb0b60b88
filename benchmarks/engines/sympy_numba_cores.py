"""SymPy to numba with the poses shared between all cores."""

from __future__ import annotations

from functools import partial

from benchmarks.engines import sympy_numba

NAME = "SymPy to numba, all cores"
NEEDS = sympy_numba.NEEDS
solver = partial(sympy_numba.solver, parallel=True)
