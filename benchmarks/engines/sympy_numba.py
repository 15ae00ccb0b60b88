"""SymPy to numba: residual and slopes derived symbolically, shared terms taken out, Newton compiled to machine code."""

from __future__ import annotations

from collections.abc import Callable

import numba
import numpy as np
import sympy

from benchmarks.engines.axle import CLOSED, STEPS, Axle, Poses, rotation_of

NAME = "SymPy to numba, compiled Newton"
NEEDS = "numba"
SIZE = 7


@numba.njit(error_model="numpy")
def _eliminate(j: np.ndarray, r: np.ndarray) -> None:
    """Solve j (7, 7) x = r (7,) in place: Gauss, with the largest pivot of each column."""
    for k in range(SIZE):
        pivot = k
        for i in range(k + 1, SIZE):
            if abs(j[i, k]) > abs(j[pivot, k]):
                pivot = i
        if pivot != k:
            for c in range(k, SIZE):
                j[k, c], j[pivot, c] = j[pivot, c], j[k, c]
            r[k], r[pivot] = r[pivot], r[k]
        for i in range(k + 1, SIZE):
            factor = j[i, k] / j[k, k]
            for c in range(k + 1, SIZE):
                j[i, c] -= factor * j[k, c]
            r[i] -= factor * r[k]
    for k in range(SIZE - 1, -1, -1):
        for c in range(k + 1, SIZE):
            r[k] -= j[k, c] * r[c]
        r[k] /= j[k, k]


def solver(axle: Axle, *, parallel: bool = False) -> Callable[[np.ndarray], Poses]:
    """Poses of wheel centres at heights (2, B), m; on one core, or with poses shared between all."""
    system = numba.njit(_system(axle), error_model="numpy")

    @numba.njit(error_model="numpy")
    def pose(left, right, q, r, j):  # noqa: ANN001, ANN202 - numba infers the types
        for _ in range(STEPS):
            found = system(q[0], q[1], q[2], q[3], q[4], q[5], q[6], left, right)
            error = 0.0
            for i in range(SIZE):
                r[i] = found[i]
                error = max(error, abs(r[i]))
            if error < CLOSED:
                return error
            for i in range(SIZE):
                for c in range(SIZE):
                    j[i, c] = found[SIZE * (i + 1) + c]
            _eliminate(j, r)
            for i in range(SIZE):
                q[i] -= r[i]
        return error

    @numba.njit(parallel=parallel, error_model="numpy")
    def every(heights, out, worst):  # noqa: ANN001
        for part in numba.prange(worst.size):
            r, j = np.empty(SIZE), np.empty((SIZE, SIZE))
            for i in range(part, heights.shape[1], worst.size):
                out[i] = 0.0
                worst[part] = max(worst[part], pose(heights[0, i], heights[1, i], out[i], r, j))

    def solve(heights: np.ndarray) -> Poses:
        out, worst = np.empty((heights.shape[1], SIZE)), np.zeros(numba.get_num_threads() if parallel else 1)
        every(heights, out, worst)
        assert worst.max() < CLOSED
        return Poses(axle.middle + out[:, :3], rotation_of(out[:, 3:6]), out[:, 6])

    return solve


def _system(axle: Axle) -> Callable:
    """Function of (*q, left, right): residual (7,) and slope (7, 7) in one tuple, the axle's numbers put in.

    A link's equation is (length^2 - drawn^2) / (2 drawn), which needs no square root.
    """
    q = sympy.symbols("q0:7", real=True)
    left, right = sympy.symbols("left right", real=True)
    move, half, angle = sympy.Matrix(q[:3]), sympy.Matrix(q[3:6]), q[6]
    square = half.dot(half)
    turn = ((1 - square) * sympy.eye(3) + 2 * half * half.T + 2 * half.hat()) / (1 + square)
    crank = sympy.rot_axis1(-angle)

    def on_axle(point: np.ndarray) -> sympy.Matrix:
        return _exact(axle.middle) + move + turn * _exact(point - axle.middle)

    rows = []
    for i, drawn in enumerate(axle.lengths):
        inner = _exact(axle.inner[i])
        if i > 2:
            inner = _exact(axle.pivot) + crank * _exact(axle.inner[i] - axle.pivot)
        span = on_axle(axle.outer[i]) - inner
        rows.append((span.dot(span) - sympy.Float(drawn**2)) / (2 * sympy.Float(drawn)))
    rows += [on_axle(wheel)[2] - height for wheel, height in zip(axle.wheels, (left, right), strict=True)]
    slope = sympy.Matrix(rows).jacobian(q)
    every = [term if term.free_symbols else sympy.Float(term) for term in (*rows, *slope)]  # numba: all of one type
    return sympy.lambdify((*q, left, right), tuple(every), modules="math", cse=True)


def _exact(point: np.ndarray) -> sympy.Matrix:
    return sympy.Matrix([sympy.Float(float(x)) if x else sympy.Integer(0) for x in point])
