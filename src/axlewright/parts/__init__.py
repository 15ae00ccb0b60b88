"""The car's parts, one file each: its properties and its law. Arrays in, arrays out; numpy or jax.numpy."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from axlewright.parts import magic_formula as _magic
from axlewright.parts import tyre as _similarity
from axlewright.parts._arrays import Array
from axlewright.parts.brake_link import brake_link
from axlewright.parts.coil_spring import coil_spring
from axlewright.parts.compliant import compliant
from axlewright.parts.drive_link import drive_link
from axlewright.parts.elastic import Knots as Knots
from axlewright.parts.gas import gas
from axlewright.parts.stop import stop

ELASTIC: dict[str, Callable[..., Knots]] = {
    "coil_spring": coil_spring,
    "stop": stop,
    "gas": gas,
    "compliant": compliant,
    "drive_link": drive_link,
    "brake_link": brake_link,
}
"""Elastic terms of a link by kind: properties -> law."""


# Loss factors by frequency of what works them: rubber 0.1 to 0.15 near 10 Hz, steel seats and rod ends 0.15 near 90 Hz.
# Common practice, no source.
LOSS: dict[str, float] = {
    "coil_spring": 0.0,
    "stop": 2e-3,
    "gas": 0.0,
    "compliant": 0.3e-3,
    "drive_link": 0.3e-3,
    "brake_link": 2e-3,
}
"""Loss time of each kind of elastic term, s: in motion its tension is that of the extension + loss x rate."""


class TyreLaw(NamedTuple):
    """A tyre law: its parameter class and two functions; `axlewright.parts.tyre` says what their arguments are."""

    parameters: type
    """NamedTuple of SI values; also carries the vertical rate and the carcass stiffnesses."""
    forces: Callable[..., tuple]
    """(tyre, load, slip_angle, slip_ratio, inclination, grip_level, xp) -> (Fx, Fy)."""
    peak_slip_angle: Callable[..., Array]
    """(tyre, load, xp) -> slip angle at peak lateral force, rad."""
    slip_stiffness: Callable[..., tuple]
    """(tyre, load, xp) -> slopes at no slip, upright and dry: dFx/d(slip ratio), -dFy/d(tan slip angle), N."""


TYRE_LAWS: dict[str, TyreLaw] = {
    "similarity": TyreLaw(
        _similarity.Tyre, _similarity.forces, _similarity.peak_slip_angle, _similarity.slip_stiffness
    ),
    "magic-1987": TyreLaw(_magic.MagicTyre, _magic.forces, _magic.peak_slip_angle, _magic.slip_stiffness),
}
"""Tyre laws by the name that a car file uses."""
