"""Drive-side torque link: solid up to its preload, then a spring, then a travel stop; it only pulls.

With u the extension from first touch of its seat (tension T, m, N):

    T = k_r u                        u < 0, slack           k_r = k_s / 1000, residual rate
    T = k_s u                        up to the preload P    k_s: rod ends, brackets, seat
    T = P + k (u - P/k_s)            while the spring moves
    T = P + k travel + k_s (...)     on the travel stop

`rate` k is the measured rate of the whole link while its spring moves, so no seat stiffness is added in series.
The residual rate keeps the housing's wind-up defined while both torque links are slack. It pushes, with at most
k_r x gap: 10 N for a 2 mm gap at 5 kN/mm. So a slack drive link shows a tension slightly below zero.
Law: the design's statement of the split torque link; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule, rows
from axlewright.parts.elastic import Knots

RESIDUAL = 1e-3  # share of the seat rate left while slack
# One half width for all three corners: with equal widths the law can't fall, even when the preload is close to zero.
WIDTH = 1e-5  # m; at 6 kN/mm it is 15 N too high at the seat, and a rest tension above 60 N is not touched by it


def drive_link(properties: Mapping[str, Array], xp: ArrayModule = np) -> Knots:
    """Law of the drive-side link.

    Properties (SI): `seat_rate` k_s N/m; `preload` P N, >= 0; `rate` k N/m; `travel` of the spring to its stop, m
    (inf = none); `set` extension from first touch of the seat at the drawn pose, m.
    """
    seat, spring = properties["seat_rate"], properties["rate"]
    breaks = properties["preload"] / seat
    return Knots(
        sense=1.0,
        set=properties.get("set", 0.0),
        offset=0.0,
        stiffness=RESIDUAL * seat,
        onset=rows(0.0, breaks, breaks + properties["travel"], xp=xp),
        step=rows((1.0 - RESIDUAL) * seat, spring - seat, seat - spring, xp=xp),
        width=rows(WIDTH, WIDTH, WIDTH, xp=xp),
    )
