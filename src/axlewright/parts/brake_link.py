"""Brake-side torque link: a gas damper with a bumper on its rod; it only pushes.

With x the shortening of the link from the drawn pose (plus `set`), held or at rest:

    T = -(gas + bumper(x - gap))     bumper: nothing before contact, then its rate, which may rise once

Its damper acts only in motion: a damper holds nothing, so the gap and the bumper decide the held wind-up under
braking. The gas pushes the housing's top rearward all the time and is carried by the drive-side link.
Law: the design's statement of the split torque link; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule, rows
from axlewright.parts.elastic import Knots
from axlewright.parts.stop import CONTACT_WIDTH, SECOND_WIDTH


def brake_link(properties: Mapping[str, Array], xp: ArrayModule = np) -> Knots:
    """Law of the brake-side link.

    Properties (SI): `gas` N; `gap` shortening to bumper contact, m, set by spacers; `bumper_rate` N/m; `second_onset`
    bumper compression, m, at which its rate rises by `second_step` N/m (0 = linear); `set` m (0).
    """
    contact = properties["gap"]
    return Knots(
        sense=-1.0,
        set=properties.get("set", 0.0),
        offset=properties["gas"],
        stiffness=0.0,
        onset=rows(contact, contact + properties.get("second_onset", 0.0), xp=xp),
        step=rows(properties["bumper_rate"], properties.get("second_step", 0.0), xp=xp),
        width=rows(CONTACT_WIDTH, SECOND_WIDTH, xp=xp),
    )
