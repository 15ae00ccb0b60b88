"""Wheels, brakes, differential and final drive."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from axlewright.car.schema.base import Table, refuse
from axlewright.car.schema.quantity import Inertia, Positive, RotaryDrag, Share, Torque
from axlewright.car.schema.shaft import Shaft


class WheelPair(Table):
    """Two wheels of one end."""

    spin_inertia: Inertia = Field(description="one wheel with tyre, disc and half shaft about its spin axis")
    bearing_drag: RotaryDrag = Field(description="bearings and windage of one wheel, 0.02 to 0.05 N m s/rad")


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
    shaft: Shaft | None = Field(default=None, description="propeller shaft, for its joints' angles and its speed")
