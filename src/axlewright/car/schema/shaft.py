"""Propeller shaft from the gearbox to the final drive, with a universal joint at each end."""

from __future__ import annotations

import numpy as np
from pydantic import Field, model_validator

from axlewright.car.schema.base import Table, refuse
from axlewright.car.schema.point import At
from axlewright.car.schema.quantity import JointAngle, Modulus, Size, SolidDensity, Travel

SHORTEST = 0.05  # m; joints nearer than this are one point given twice
STEEPEST = 45.0  # deg of a joint; beyond it no universal joint turns, so a point must be wrong


class Shaft(Table):
    """Propeller shaft: where its joints are, which way gearbox and pinion point, and its tube."""

    gearbox_joint: At = Field(description="centre of the joint at the gearbox")
    gearbox_line: At | None = Field(
        default=None, description="another point on the gearbox output's line; along the car when left out"
    )
    pinion_joint: At = Field(description="centre of the joint at the final drive")
    pinion_line: At | None = Field(
        default=None, description="another point on the pinion's line; along the car when left out"
    )
    diameter: Size = Field(description="outside diameter of the tube")
    wall: Size = Field(description="wall of the tube; half the diameter for a solid shaft")
    modulus: Modulus | None = Field(default=None, description="Young's modulus; 207 GPa (steel) when left out")
    density: SolidDensity | None = Field(default=None, description="density; 7850 kg/m^3 (steel) when left out")
    largest_angle: JointAngle | None = Field(default=None, description="largest working angle that its joints allow")
    slip_in: Travel | None = Field(default=None, description="how far the slip joint can go in from rest")
    slip_out: Travel | None = Field(default=None, description="how far the slip joint can come out from rest")

    @model_validator(mode="after")
    def _workable(self) -> Shaft:
        if 2.0 * self.wall.value > self.diameter.value:
            raise refuse(
                f"a wall of {self.wall.value * 1e3:g} mm in a tube of {self.diameter.value * 1e3:g} mm",
                "a wall of half the diameter at most",
                "check both; a solid shaft has half the diameter for its wall",
            )
        if np.linalg.norm(self.pinion_joint.xyz - self.gearbox_joint.xyz) < SHORTEST:
            raise refuse(
                "both joints of the shaft at one place", f"joints {SHORTEST * 1e3:.0f} mm apart or more", "check both"
            )
        along = rearward(self.pinion_joint, self.gearbox_joint)
        for name, line, joint in (
            ("gearbox", self.gearbox_line, self.gearbox_joint),
            ("pinion", self.pinion_line, self.pinion_joint),
        ):
            if line is not None and np.linalg.norm(line.xyz - joint.xyz) == 0.0:
                raise refuse(
                    f"`{name}_line` at the joint itself", "another point on its line", "move it along the line"
                )
            angle = np.degrees(np.arccos(np.clip(along @ rearward(joint, line), -1.0, 1.0)))
            if angle > STEEPEST:
                raise refuse(
                    f"a joint angle of {angle:.0f} deg at the {name}",
                    f"{STEEPEST:.0f} deg at most",
                    f"check `{name}_joint` and `{name}_line`",
                )
        return self


def rearward(joint: At, other: At | None) -> np.ndarray:
    """Unit vector along the line through a joint and another point, towards the rear; along the car without one."""
    span = np.array([-1.0, 0.0, 0.0]) if other is None else other.xyz - joint.xyz
    return span / np.copysign(np.linalg.norm(span), -span[0])
