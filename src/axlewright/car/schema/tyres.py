"""Tyres: a law with its parameters at each end, and the pressure of each.

Without tyre test data the direction of an effect is fairly sure and its size is not: peak grip, its fall with load and
the slip at the peak are a guess until something on the car has been compared with them.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from axlewright.car.schema.base import Table, refuse
from axlewright.car.schema.quantity import (
    Force,
    Inertia,
    LossTime,
    Number,
    PerForce,
    Positive,
    Pressure,
    RatePerPressure,
    RotaryDamping,
    ShaftRate,
    Share,
    Size,
    SlipAngle,
    SlipAnglePerForce,
    SpringRate,
)


class OtherPressure(Table):
    """What differs on the right tyre."""

    pressure: Pressure = Field(description="hot pressure of the right tyre")


class Belt(Table):
    """A belt that turns against the rim, for tall, soft sidewalls. In motion only.

    The fore-and-aft carcass stiffness then no longer delays the slip, for its twist is the belt's own.
    """

    rate: ShaftRate = Field(description="rim to belt: 40 to 70 kN m/rad, 5 to 15 with a tall, soft sidewall")
    damping: RotaryDamping = Field(description="rim to belt")
    inertia: Inertia = Field(description="belt and tread about the spin axis, part of the wheel's spin inertia")


class Casing(Table):
    """What any tyre has, whatever its law."""

    name: str = Field(default="", description="which tyre this is, in words")
    pressure: Pressure = Field(description="hot pressure")
    right: OtherPressure | None = Field(default=None, description="what differs on the right")
    vertical_rate: SpringRate = Field(description="vertical rate at the reference pressure")
    reference_pressure: Pressure = Field(description="pressure at which the vertical rate holds")
    vertical_rate_per_pressure: RatePerPressure = Field(description="gain of vertical rate with pressure")
    longitudinal_stiffness: SpringRate = Field(description="carcass, fore and aft")
    lateral_stiffness: SpringRate = Field(description="carcass, sideways")
    contact_half_length: Size | None = Field(
        default=None, description="half of the contact patch's length: the least relaxation length; 60 mm when left out"
    )
    vertical_loss: LossTime | None = Field(
        default=None,
        description="in motion it pushes as if squeezed further by this times its speed; none when left out",
    )
    belt: Belt | None = Field(default=None, description="belt on the rim, at both ends or at neither")


class SimilarityTyre(Casing):
    """One curve with a peak and a fall-off, scaled by load, camber and grip; for people without tyre data."""

    grip: Positive = Field(description="peak sideways force over load, at the reference load, upright")
    reference_load: Force = Field(description="load at which `grip` and `slip_angle_peak` hold")
    grip_drop: PerForce = Field(description="fall of grip with load, such as 0.045 1/kN")
    grip_camber: Number = Field(description="grip is multiplied by 1 - this * inclination^2 (rad)")
    grip_ratio: Positive = Field(description="fore-and-aft grip over sideways grip")
    slip_angle_peak: SlipAngle = Field(description="slip angle at the peak")
    slip_angle_peak_per_load: SlipAnglePerForce = Field(description="its growth with load")
    slip_ratio_peak: Share = Field(description="slip ratio at the peak")
    fall_off: Share | None = Field(
        default=None, description="share of the peak left when sliding far past it, instead of the shape"
    )
    shape_c: Positive | None = Field(default=None, description="C of y = sin(C atan(B s - E (B s - atan B s)))")
    shape_b: Positive | None = Field(default=None, description="B of it")
    shape_e: Number | None = Field(default=None, description="E of it")
    camber_slip: Number = Field(description="slip angle that a radian of inclination is worth")

    @model_validator(mode="after")
    def _one_shape(self) -> SimilarityTyre:
        shape = (self.shape_c, self.shape_b, self.shape_e)
        complete = None not in shape
        if (self.fall_off is None) != complete or (self.fall_off is not None and any(shape)):
            raise refuse(
                "an unclear fall-off",
                "`fall_off`, or all of `shape_c`, `shape_b`, `shape_e`",
                'write fall_off = "85 %"',
            )
        if self.fall_off is not None and not 0.3 <= self.fall_off.value < 1.0:
            raise refuse(
                f'"{self.fall_off}"',
                "a fall-off from 30 % to below 100 %: a curve without a peak has no limit",
                "try 85 %",
            )
        return self


class MagicTyre(Casing):
    """The 1987 Magic Formula coefficients (Bakker, Nyborg, Pacejka, SAE 870421): load in kN, slip in deg and %."""

    lateral: tuple[float, ...] = Field(min_length=8, max_length=8, description="a1 to a8")
    lateral_shape: Positive = Field(description="C of the side force, 1.30 in the paper")
    longitudinal: tuple[float, ...] = Field(min_length=8, max_length=8, description="b1 to b8")
    longitudinal_shape: Positive = Field(description="C of the drive and brake force, 1.65 in the paper")
    camber: tuple[float, float, float, float] = Field(default=(0.0, 0.0, 0.0, 0.0), description="a9 to a12")


class SimilarityTyres(Table):
    """Tyres without test data."""

    law: Literal["similarity"] = Field(description="tyre law")
    front: SimilarityTyre = Field(description="front tyres")
    rear: SimilarityTyre = Field(description="rear tyres")


class MagicTyres(Table):
    """Tyres with 1987 coefficients."""

    law: Literal["magic-1987"] = Field(description="tyre law")
    front: MagicTyre = Field(description="front tyres")
    rear: MagicTyre = Field(description="rear tyres")
