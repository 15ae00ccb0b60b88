"""What is fixed once the car is drawn: lengths of links, drop links and the relay link.

They become entries of the values, so that a mount that is moved later keeps the length of its link.
"""

from __future__ import annotations

import numpy as np

from axlewright.car.mechanism import Mechanism, Values
from axlewright.model.reader import Reader


def with_drawn(mechanism: Mechanism, values: Values, batch: int = 1) -> dict[str, float | np.ndarray]:
    """Values of the drawn setup with `COPY.LINK.drawn`, `BAR.SIDE.drawn` and `relay.drawn` lengths (B,), m, added."""
    read = Reader(values, batch)
    out = dict(values)
    for block in mechanism.blocks:
        for copy in block.copies:
            for link in block.links:
                path = f"{copy}.{link.name}"
                out[f"{path}.drawn"] = np.linalg.norm(read.vector(f"{path}.b") - read.vector(f"{path}.a"), axis=0)
    for bar in mechanism.bars:
        for side in ("left", "right"):
            path = f"{bar.name}.{side}"
            hole = read.vector(f"{path}.pivot") + read.vector(f"{path}.direction") * read.scalar(f"{path}.arm")
            out[f"{path}.drawn"] = np.linalg.norm(read.vector(f"{path}.drop_point") - hole, axis=0)
    if mechanism.steering == "relay":
        out["relay.drawn"] = np.linalg.norm(read.vector("relay.idler_end") - read.vector("relay.pitman_end"), axis=0)
    return out
