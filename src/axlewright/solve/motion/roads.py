"""A road as the moving model reads it."""

from __future__ import annotations

import numpy as np

from axlewright.model.moving.script import Surface


def flat() -> Surface:
    """Level and dry."""
    return Surface(np.zeros(1), np.ones(1), np.zeros((8, 2)), np.ones((8, 2)))
