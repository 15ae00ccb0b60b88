"""Springs, stops and dampers of one corner or of a torque link."""

from __future__ import annotations

from pydantic import Field, model_validator

from axlewright.car.schema.base import Table, refuse
from axlewright.car.schema.point import Mount
from axlewright.car.schema.quantity import (
    DamperSpeed,
    DampingRate,
    Force,
    Gap,
    LengthPerTurn,
    Share,
    SpringRate,
    Travel,
)


class Stage(Table):
    """A progressive spring stiffens here."""

    at: Travel = Field(description="compression from free length at which the rate changes")
    rate: SpringRate = Field(description="rate from there on")


class Spring(Table):
    """A coil spring between its perches."""

    chassis: Mount = Field(description="end on the chassis")
    moving: Mount = Field(description="end that moves with the wheel")
    rate: SpringRate = Field(description="spring rate at first contact")
    stages: tuple[Stage, ...] = Field((), max_length=3, description="up to three stages of a progressive spring")
    tender_rate: SpringRate | None = Field(None, description="rate of a tender spring in series")
    tender_travel: Travel | None = Field(None, description="how far the tender closes before it is solid")
    bind: Travel | None = Field(None, description="compression from free length to coil bind (free length less solid length)")
    perch_thread: LengthPerTurn | None = Field(None, description="movement of the perch for one turn")

    @model_validator(mode="after")
    def _whole_tender(self) -> Spring:
        if (self.tender_rate is None) != (self.tender_travel is None):
            raise refuse("only half of a tender spring", "both `tender_rate` and `tender_travel`, or neither", "add the other key")
        if any(b.at.value <= a.at.value for a, b in zip(self.stages, self.stages[1:], strict=False)):
            raise refuse("stages that do not go up", "stages in order of compression", "sort them by `at`")
        return self


class Stop(Table):
    """A bump or droop stop on the damper's line."""

    gap: Gap = Field(description="damper movement from the rest pose to contact, without packers")
    rate: SpringRate = Field(description="rate at first contact")
    second_at: Travel | None = Field(None, description="movement after contact at which the rate changes")
    second_rate: SpringRate | None = Field(None, description="rate from there on")
    packer: Travel | None = Field(None, description="total thickness of the packers, which takes up gap")

    @model_validator(mode="after")
    def _whole_second_stage(self) -> Stop:
        if (self.second_at is None) != (self.second_rate is None):
            raise refuse("only half of a second stage", "both `second_at` and `second_rate`, or neither", "add the other key")
        return self


class Stroke(Table):
    """One direction of a damper: its force against speed, and what its clicks do. It acts in motion only."""

    rate: DampingRate | None = Field(None, description="force per speed, when no curve is known")
    curve: tuple[tuple[DamperSpeed, Force], ...] = Field((), description="pairs [speed, force] at the setting below")
    clicks: int | None = Field(None, ge=0, description="present setting, counted from closed")
    clicks_to_open: int | None = Field(None, ge=1, description="clicks from closed to open")
    per_click: Share | None = Field(None, description="change of force for one click, as a share")

    @model_validator(mode="after")
    def _some_force(self) -> Stroke:
        if (self.rate is None) == (not self.curve):
            raise refuse("both or neither of `rate` and `curve`", "one of them", "keep the curve if there is one")
        return self


class Damper(Table):
    """A damper. While the car stands or is held in a steady corner only its gas force acts."""

    gas_force: Force = Field(description="push of the gas on the rod: pressure times rod area")
    chassis: Mount | None = Field(None, description="end on the chassis, when the damper is not on the spring's line")
    moving: Mount | None = Field(None, description="end that moves with the wheel, likewise")
    compression: Stroke | None = Field(None, description="compression (bump)")
    rebound: Stroke | None = Field(None, description="rebound")

    @model_validator(mode="after")
    def _whole_line(self) -> Damper:
        if (self.chassis is None) != (self.moving is None):
            raise refuse("only one end of the damper", "both `chassis` and `moving`, or neither", "add the other end")
        return self
