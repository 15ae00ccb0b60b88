"""Steering: what moves the inner ends of the tie rods."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from axlewright.car.schema.base import Table, refuse
from axlewright.car.schema.point import At
from axlewright.car.schema.quantity import RackPerTurn, Travel


class SteeringArm(Table):
    """An arm on the chassis that carries one end of the relay link."""

    pivot: At = Field(description="a point on its pivot axis")
    axis: At = Field(description="another point on its pivot axis")
    end: At = Field(description="where the relay link is jointed to it, straight ahead")


class Steering(Table):
    """A rack; or a steering box whose pitman arm moves a relay link, which an idler arm guides."""

    kind: Literal["rack", "relay"] = Field(default="rack", description="rack, or steering box with relay linkage")
    rack_per_turn: RackPerTurn | None = Field(
        default=None, description="travel of the rack, or of the pitman arm's end, for one turn of the steering wheel"
    )
    travel: Travel | None = Field(
        default=None, description="travel of the rack, or of the pitman arm's end, from straight ahead to either lock"
    )
    pitman: SteeringArm | None = Field(default=None, description="pitman arm, of a relay linkage")
    idler: SteeringArm | None = Field(
        default=None, description="idler arm; the mirror image of the pitman arm when left out"
    )

    @model_validator(mode="after")
    def _arms_of_a_relay(self) -> Steering:
        if self.kind == "relay" and self.pitman is None:
            raise refuse("a relay linkage without a pitman arm", "[steering.pitman]", "add its pivot, axis and end")
        if self.kind == "rack" and (self.pitman or self.idler):
            raise refuse(
                "steering arms on a rack", "no `pitman` and no `idler`", 'take them away, or write kind = "relay"'
            )
        return self
