"""Small dense linear algebra on component-first arrays, and the bordered solve built from it.

A matrix is `[rows, columns, ..., B]`. The local blocks are regular wherever the suspension is, so their pivot order is
found once on the host (complete pivoting at the drawn pose) and no search happens inside. The border becomes singular
at the grip limit, so it is pivoted.
"""

from __future__ import annotations

import jax.numpy as jnp
import numpy as np

from axlewright.model.vectors import Array

Pivots = tuple[tuple[int, int], ...]


def pivot_order(matrix: np.ndarray, last: tuple[int, ...] = ()) -> Pivots:
    """Complete-pivoting order (row, column) of a square matrix `(n, n)`; raises LinAlgError when it is singular.

    Rows in `last` wait for all others: rows whose numbers change so much that an early pivot of theirs may vanish.
    """
    work = np.array(matrix, dtype=float)
    work /= np.maximum(np.abs(work).max(axis=1, keepdims=True), 1e-300)
    work /= np.maximum(np.abs(work).max(axis=0, keepdims=True), 1e-300)
    free_rows, free_columns, order = list(range(len(work))), list(range(len(work))), []
    while free_rows:
        open_rows = [row for row in free_rows if row not in last] or free_rows
        sub = np.abs(work[np.ix_(open_rows, free_columns)])
        i, j = np.unravel_index(int(sub.argmax()), sub.shape)
        row, column = open_rows[int(i)], free_columns.pop(int(j))
        free_rows.remove(row)
        if not sub.max() > 1e-10:
            raise np.linalg.LinAlgError("a local block is singular at the drawn pose")
        order.append((row, column))
        work[free_rows] -= np.outer(work[free_rows, column] / work[row, column], work[row])
    return tuple(order)


def eliminate(matrix: Array, right: Array, pivots: Pivots) -> Array:
    """Solve matrix x = right by Gauss-Jordan in a fixed pivot order: `(n, n, ...)`, `(n, k, ...)` and `(n, k, ...)`."""
    return reduce(matrix, right, pivots)[0]


def reduce(matrix: Array, right: Array, pivots: Pivots) -> tuple[Array, list[Array]]:
    """`eliminate`, and the pivots on the way: their product is the determinant but for a fixed sign."""
    work = jnp.concatenate([matrix, right], axis=1)
    n = len(pivots)
    values: list[Array] = []
    left = list(range(n))  # columns still to be eliminated; the others are unit columns and are not carried
    for row, column in pivots:
        at = left.index(column)
        values.append(work[row, at])
        pivot_row = work[row] / work[row, at][None]
        factor = work[:, at]
        pivot_row = jnp.delete(pivot_row, at, axis=0)
        work = jnp.delete(work, at, axis=1) - factor[:, None] * pivot_row[None]
        work = work.at[row].set(pivot_row)
        left.remove(column)
    row_of = {column: row for row, column in pivots}
    return jnp.stack([work[row_of[column]] for column in range(n)]), values


def solve_pivoted(matrix: Array, right: Array) -> Array:
    """Solve matrix x = right, `(n, n, B)` and `(n, k, B)`, with partial pivoting; rows are exchanged by selection."""
    n = matrix.shape[0]
    work = jnp.concatenate([matrix, right], axis=1)
    solved: list[Array] = []
    for _ in range(n):
        lead = jnp.abs(work[:, 0])
        best = lead == lead.max(axis=0, keepdims=True)
        first = best & (jnp.cumsum(best, axis=0) == 1)
        chosen = jnp.where(first[:, None], work, 0.0).sum(axis=0)
        # the chosen row's place is taken by the top row, which then is dropped
        work = jnp.where(first[:, None], work[:1], work)[1:]
        row = chosen[1:] / chosen[0][None]
        work = work[:, 1:] - work[:, :1] * row[None]
        solved.append(row)
    # back substitution on the unit upper triangle: row i holds the entries right of its diagonal, then the right side
    x: list[Array] = [jnp.zeros(())] * n
    for i in reversed(range(n)):
        row = solved[i]
        above = n - 1 - i
        value = row[above:]
        for j in range(above):
            value = value - row[j][None] * x[i + 1 + j]
        x[i] = value
    return jnp.stack(x)
