"""Wheels, brakes, differential and final drive."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from axlewright.car.schema.base import Table, refuse
from axlewright.car.schema.quantity import Inertia, Positive, RotaryDrag, ShaftRate, Share, Torque
from axlewright.car.schema.shaft import Shaft


class WheelPair(Table):
    """Two wheels of one end."""

    spin_inertia: Inertia = Field(description="one wheel with tyre, disc and half shaft about its spin axis")
    bearing_drag: RotaryDrag = Field(description="bearings and windage of one wheel, 0.02 to 0.05 N m s/rad")
    brake_rate: ShaftRate | None = Field(
        default=None, description="disc, caliper and mounting, twisted by brake torque; 40 kN m/rad when left out"
    )


class Wheels(Table):
    """Wheels."""

    front: WheelPair = Field(description="front wheels")
    rear: WheelPair = Field(description="rear wheels")


class Brakes(Table):
    """Outboard brakes as capacities: a wheel can be braked with at most this torque."""

    front_share: Share = Field(description="front share of the brake torque at equal pedal")
    total_torque: Torque = Field(description="torque of all four brakes at full pedal")


class Differential(Table):
    """Differential."""

    kind: Literal["open", "spool", "limited-slip"] = Field(description="open, spool (locked) or limited-slip")
    preload: Torque | None = Field(default=None, description="breakaway torque between the wheels with no drive")
    lock_drive: Share | None = Field(default=None, description="locking torque as a share of axle torque, on drive")
    lock_coast: Share | None = Field(default=None, description="the same on coast")

    @model_validator(mode="after")
    def _locks(self) -> Differential:
        stated = [key for key in ("preload", "lock_drive", "lock_coast") if getattr(self, key) is not None]
        if self.kind == "limited-slip" and len(stated) < 3:
            raise refuse(
                "a limited-slip differential without all its numbers",
                "`preload`, `lock_drive` and `lock_coast`",
                "add them, 0 where there is none",
            )
        if self.kind != "limited-slip" and stated:
            raise refuse(
                f"`{stated[0]}` on a differential of kind {self.kind}",
                "no locking numbers",
                'remove it, or write kind = "limited-slip"',
            )
        return self


class Driveline(Table):
    """From the propeller shaft to the wheels."""

    final_drive: Positive = Field(description="shaft turns for one turn of the wheels")
    shaft_turns: Literal["usual", "reverse"] = Field(
        default="usual", description="usual: the shaft's torque on the axle loads the left rear tyre under drive"
    )
    differential: Differential = Field(description="differential")
    gear: Positive | None = Field(
        default=None, description="engine turns for one turn of the shaft, in the gear in use; 1.5 when left out"
    )
    engine_inertia: Inertia | None = Field(
        default=None, description="engine with flywheel and clutch, at the crank; 0.15 kg m^2 when left out"
    )
    clutch_capacity: Torque | None = Field(
        default=None, description="most torque that the clutch passes on; 600 N m when left out"
    )
    half_shaft_rate: ShaftRate | None = Field(
        default=None, description="one half shaft, twisted by drive torque; 15 kN m/rad when left out"
    )
    engine_braking: Torque | None = Field(
        default=None, description="drag of the engine at the crank with the throttle closed"
    )
    shaft: Shaft | None = Field(default=None, description="propeller shaft, for its joints' angles and its speed")
