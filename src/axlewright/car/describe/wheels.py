"""Wheels, tyres and brakes: the numbers of one wheel."""

from __future__ import annotations

from typing import Literal

import numpy as np

from axlewright.car.describe.entries import Entries
from axlewright.car.schema import Car
from axlewright.car.schema.front import FrontSide
from axlewright.car.schema.rear import RearSide
from axlewright.car.schema.tyres import Casing, MagicTyre, SimilarityTyre

CASING = (
    "vertical_rate",
    "reference_pressure",
    "vertical_rate_per_pressure",
    "longitudinal_stiffness",
    "lateral_stiffness",
)
SIMILARITY = (
    "grip",
    "reference_load",
    "grip_drop",
    "grip_camber",
    "grip_ratio",
    "slip_angle_peak",
    "slip_angle_peak_per_load",
    "slip_ratio_peak",
    "camber_slip",
)
INITIAL_SLOPE = (
    2.3625  # B C of the demo tyre: how steeply force starts, per peak slip; used when only a fall-off is known
)


def put_wheel(entries: Entries, car: Car, name: str, side: FrontSide | RearSide, end: Literal["front", "rear"]) -> None:
    """Values of the wheel called `name` (LF, RF, LR, RR)."""
    tyre, pair = getattr(car.tyres, end), getattr(car.wheels, end)
    other = tyre.right if name.startswith("R") else None
    front = car.brakes.front_share.value
    share = front if end == "front" else 1.0 - front
    entries |= {
        f"{name}.centre": side.wheel_centre,
        f"{name}.camber": side.camber,
        f"{name}.toe": side.toe,
        f"{name}.pressure": tyre.pressure if other is None else other.pressure,
        f"{name}.spin_inertia": pair.spin_inertia,
        f"{name}.bearing_drag": pair.bearing_drag,
        f"{name}.brake_gain": share * car.brakes.total_torque.value / 2,
    }
    put_tyre(entries, f"{name}.tyre", tyre)


def put_tyre(entries: Entries, path: str, tyre: Casing) -> None:
    """Parameters of one tyre, by the names of its law's part."""
    entries |= {f"{path}.{key}": getattr(tyre, key) for key in CASING}
    if isinstance(tyre, SimilarityTyre):
        entries |= {f"{path}.{key}": getattr(tyre, key) for key in SIMILARITY}
        entries |= dict(zip((f"{path}.shape_c", f"{path}.shape_b", f"{path}.shape_e"), shape_of(tyre), strict=True))
    if isinstance(tyre, MagicTyre):
        entries |= {f"{path}.{key}": np.array(getattr(tyre, key)) for key in ("lateral", "longitudinal", "camber")}
        entries |= {f"{path}.{key}": getattr(tyre, key) for key in ("lateral_shape", "longitudinal_shape")}


def shape_of(tyre: SimilarityTyre) -> tuple[float, float, float]:
    """(C, B, E) of y = sin(C atan(B s - E (B s - atan B s))), as given or from the fall-off.

    From sin(C pi/2) = fall-off beyond the peak, B C = `INITIAL_SLOPE`, and the peak at s = 1.
    """
    if tyre.shape_c is not None and tyre.shape_b is not None and tyre.shape_e is not None:
        return tyre.shape_c.value, tyre.shape_b.value, tyre.shape_e.value
    if tyre.fall_off is None:
        raise ValueError("a tyre needs a fall-off or its three shape numbers")
    c = 2.0 - 2.0 / np.pi * np.arcsin(tyre.fall_off.value)
    b = INITIAL_SLOPE / c
    e = (b - np.tan(np.pi / (2.0 * c))) / (b - np.arctan(b))
    return float(c), float(b), float(e)
