"""Coil spring between two perches, with an optional tender spring, progressive table and coil bind.

Law: load = rate x compression from free length, never less than zero: a spring longer than its room is loose in its
perch and does not pull (common practice, no source). The compression u is counted from the free length of the whole
stack. A tender in series gives 1/k = 1/k_tender + 1/k_main until it closes, then the main spring alone (series rule of
elementary statics). At coil bind the coils touch and the rate rises to that of solid steel.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule, rows
from axlewright.parts.elastic import Knots

LOOSE_WIDTH = 1e-4  # m; corner where the spring leaves its perch: at 100 N/mm it is 2.5 N too high at the corner
TENDER_WIDTH = 1e-4  # m; coils of a tender close one after another, so a real corner is wider than this
BIND_WIDTH = 2e-6  # m; at 50 kN/mm it is 25 N too high at the corner
BIND_RATE = 50e6  # N/m; steel on steel, common practice, no source: far above any suspension rate


def coil_spring(properties: Mapping[str, Array], xp: ArrayModule = np) -> Knots:
    """Law of a coil spring in compression.

    Properties (SI): `rate` N/m; `set` compression from free at the drawn pose, m; `seat` perch movement, m, positive
    compresses the spring more (0); `tender_rate` N/m (0 = no tender); `tender_travel` until it closes, m;
    `extra_onset` (3,) compressions from free, m, at which a progressive spring stiffens by `extra_step` (3,) N/m
    (zeros = linear); `bind` compression from free at coil bind, m (inf = never); `bind_rate` N/m.
    """
    main, tender = properties["rate"], properties.get("tender_rate", 0.0)
    travel = properties.get("tender_travel", 0.0)
    extra_onset, extra_step = (properties.get(name, (0.0, 0.0, 0.0)) for name in ("extra_onset", "extra_step"))
    fitted = xp.asarray(tender) > 0.0
    safe = xp.where(fitted, tender, 1.0)  # keeps the unused branch, and its derivative, finite
    first = xp.where(fitted, main * safe / (main + safe), main)
    closes = xp.where(fitted, travel * (main + safe) / main, 0.0)
    return Knots(
        sense=-1.0,
        set=properties.get("set", 0.0) + properties.get("seat", 0.0),
        offset=0.0,
        stiffness=0.0,
        onset=rows(0.0, closes, *extra_onset, properties.get("bind", np.inf), xp=xp),
        step=rows(first, main - first, *extra_step, properties.get("bind_rate", BIND_RATE), xp=xp),
        width=rows(LOOSE_WIDTH, TENDER_WIDTH, *(TENDER_WIDTH,) * 3, BIND_WIDTH, xp=xp),
    )
