"""Wheels, tyres and brakes: the numbers of one wheel."""

from __future__ import annotations

from typing import Literal

import numpy as np

from axlewright.car.describe.entries import Entries, put_stated
from axlewright.car.schema import Car
from axlewright.car.schema.corner import Corner
from axlewright.car.schema.tyres import Casing, MagicTyre, SimilarityTyre
from axlewright.parts.brake import gains
from axlewright.parts.tyre import peaked_shape

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


def put_wheel(entries: Entries, car: Car, name: str, side: Corner, end: Literal["front", "rear"]) -> None:
    """Values of the wheel called `name` (LF, RF, LR, RR)."""
    tyre, pair = getattr(car.tyres, end), getattr(car.wheels, end)
    other = tyre.right if name.startswith("R") else None
    front, rear = gains(car.brakes.total_torque.value, car.brakes.front_share.value)
    entries |= {
        f"{name}.centre": side.wheel_centre,
        f"{name}.camber": side.camber,
        f"{name}.toe": side.toe,
        f"{name}.pressure": tyre.pressure if other is None else other.pressure,
        f"{name}.spin_inertia": pair.spin_inertia,
        f"{name}.bearing_drag": pair.bearing_drag,
        f"{name}.brake_gain": front if end == "front" else rear,
    }
    put_tyre(entries, f"{name}.tyre", tyre)
    belt = tyre.belt
    put_stated(
        entries,
        {
            f"{name}.brake_rate": pair.brake_rate,
            f"{name}.tyre_contact": tyre.contact_half_length,
            f"{name}.tyre_loss": tyre.vertical_loss,
        }
        | (
            {} if belt is None else {f"{name}.belt_{key}": getattr(belt, key) for key in ("rate", "damping", "inertia")}
        ),
    )


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
    """(C, B, E) of the tyre's curve, as given or from its fall-off."""
    if tyre.shape_c is not None and tyre.shape_b is not None and tyre.shape_e is not None:
        return tyre.shape_c.value, tyre.shape_b.value, tyre.shape_e.value
    if tyre.fall_off is None:
        raise ValueError("a tyre needs a fall-off or its three shape numbers")
    return peaked_shape(tyre.fall_off.value)
