"""Bump stop or droop stop: nothing until its gap is used, then a rate that may rise once.

A packer (a spacer on the damper rod) takes up part of the gap. Law: common practice for rubber and foam stops, no
source; the two rates come from the owner's own press test.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule, rows
from axlewright.parts.elastic import Knots

CONTACT_WIDTH = 5e-5  # m; at 400 N/mm it is 5 N too high at first touch
SECOND_WIDTH = 1e-3  # m; foam stiffens over millimetres, so the exact shape of this corner is not known better


def stop(properties: Mapping[str, Array], xp: ArrayModule = np) -> Knots:
    """Law of a stop.

    Properties (SI): `sense` -1 bump (acts when the link shortens), +1 droop (when it lengthens); `gap` movement from
    the drawn pose to contact, m, positive = clear; `rate` N/m; `packer` m, taken off the gap (0); `second_onset`
    movement after contact, m, at which the rate rises by `second_step` N/m (0 = linear).
    """
    contact = properties["gap"] - properties.get("packer", 0.0)
    return Knots(
        sense=properties.get("sense", -1.0),
        set=properties.get("set", 0.0),
        offset=0.0,
        stiffness=0.0,
        onset=rows(contact, contact + properties.get("second_onset", 0.0), xp=xp),
        step=rows(properties["rate"], properties.get("second_step", 0.0), xp=xp),
        width=rows(CONTACT_WIDTH, SECOND_WIDTH, xp=xp),
    )
