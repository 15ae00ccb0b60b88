"""De Dion tube: a beam axle whose final drive is on the chassis."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from axlewright.car.schema.base import refuse
from axlewright.car.schema.rear import BeamAxle


class DeDion(BeamAxle):
    """De Dion tube: half shafts drive its wheels from the chassis, so that the tube takes no drive torque."""

    layout: Literal["de-dion"] = Field(description="kind of rear suspension")
    brakes: Literal["outboard", "inboard"] = Field(
        default="outboard", description="outboard: on the tube; inboard: on the final drive, at the half shafts"
    )

    @model_validator(mode="after")
    def _brackets_where_brakes_are(self) -> DeDion:
        if self.brakes == "inboard" and self.brake_bracket is not None:
            fix = 'leave `brake_bracket` out, or write brakes = "outboard"'
            raise refuse("a brake bracket with inboard brakes", "a bracket only where the caliper is", fix)
        return self
