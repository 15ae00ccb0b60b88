"""Springs, stops and dampers of one corner or of a torque link."""

from __future__ import annotations

from itertools import pairwise

from pydantic import Field, model_validator

from axlewright.car.schema.base import Table, refuse
from axlewright.car.schema.point import Mount
from axlewright.car.schema.quantity import (
    DamperSpeed,
    DampingForce,
    Force,
    Gap,
    LengthPerTurn,
    LossTime,
    Size,
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
    stages: tuple[Stage, ...] = Field(
        default=(), max_length=3, description="up to three stages of a progressive spring"
    )
    tender_rate: SpringRate | None = Field(default=None, description="rate of a tender spring in series")
    tender_travel: Travel | None = Field(default=None, description="how far the tender closes before it is solid")
    bind: Travel | None = Field(
        default=None, description="compression from free length to coil bind (free length less solid length)"
    )
    perch_thread: LengthPerTurn | None = Field(default=None, description="movement of the perch for one turn")

    @model_validator(mode="after")
    def _whole_tender(self) -> Spring:
        if (self.tender_rate is None) != (self.tender_travel is None):
            raise refuse(
                "only half of a tender spring",
                "both `tender_rate` and `tender_travel`, or neither",
                "add the other key",
            )
        if any(b.at.value <= a.at.value for a, b in pairwise(self.stages)):
            raise refuse("stages that do not go up", "stages in order of compression", "sort them by `at`")
        return self


class Stop(Table):
    """A bump or droop stop on the damper's line."""

    gap: Gap = Field(description="damper movement from the rest pose to contact, without packers")
    rate: SpringRate = Field(description="rate at first contact")
    second_at: Travel | None = Field(default=None, description="movement after contact at which the rate changes")
    second_rate: SpringRate | None = Field(default=None, description="rate from there on")
    packer: Travel | None = Field(default=None, description="total thickness of the packers, which takes up gap")
    loss: LossTime | None = Field(
        default=None,
        description="in motion it pushes as if squeezed further by this times its speed; 2 ms when left out",
    )

    @model_validator(mode="after")
    def _whole_second_stage(self) -> Stop:
        if (self.second_at is None) != (self.second_rate is None):
            raise refuse(
                "only half of a second stage", "both `second_at` and `second_rate`, or neither", "add the other key"
            )
        return self


class Curve(Table):
    """Forces of a damper at one click setting, without gas, at the speeds of its table."""

    clicks: int = Field(ge=0, description="setting at which it was measured, counted from closed")
    compression: tuple[DampingForce, ...] = Field(description="force in compression at each speed, 0 at no speed")
    rebound: tuple[DampingForce, ...] = Field(description="force in rebound at each speed, as a positive number")


class Damping(Table):
    """A damper as measured: forces by speed and clicks. It acts in motion only, so never in a held state."""

    speeds: tuple[DamperSpeed, ...] = Field(min_length=2, description="rising, beginning with 0")
    curves: tuple[Curve, ...] = Field(min_length=1, description="one curve for each measured setting, clicks rising")
    clicks_to_open: int | None = Field(default=None, ge=1, description="clicks from closed to open, if it has any")
    compression_clicks: int = Field(default=0, ge=0, description="present setting, counted from closed")
    rebound_clicks: int = Field(default=0, ge=0, description="present setting, counted from closed")
    friction: Force | None = Field(default=None, description="friction of its seals: what it takes to start it moving")

    @model_validator(mode="after")
    def _whole(self) -> Damping:
        if any(b <= a for a, b in pairwise(speed.value for speed in self.speeds)) or self.speeds[0].value != 0:
            raise refuse("speeds that do not rise from 0", "speeds in rising order, the first 0", "sort them")
        if any(b.clicks <= a.clicks for a, b in pairwise(self.curves)):
            raise refuse("curves that are not in order", "curves in rising order of clicks", "sort them")
        for curve in self.curves:
            for name, forces in (("compression", curve.compression), ("rebound", curve.rebound)):
                self._takes_energy(curve, name, forces)
                if len(forces) != len(self.speeds) or forces[0].value != 0:
                    found = f"{len(forces)} {name} forces, the first {forces[0] if forces else 'missing'}"
                    fix = "give one force for each speed, without the gas force"
                    raise refuse(found, f"{len(self.speeds)} forces, the first 0 N", fix)
        self._clicks_measured()
        return self

    def _clicks_measured(self) -> None:
        """Refuse settings, now or by its adjusters, that lie outside what was measured."""
        least, most = self.curves[0].clicks, self.curves[-1].clicks
        measured = f"{least} to {most} clicks" if most > least else f"{least} clicks alone"
        if self.clicks_to_open is not None and (least > 0 or most < self.clicks_to_open):
            found = f"curves at {measured} of a damper with {self.clicks_to_open} clicks"
            fix = "add the curves that are missing, or leave `clicks_to_open` out"
            raise refuse(found, f"curves from 0 to {self.clicks_to_open} clicks", fix)
        for key in ("compression_clicks", "rebound_clicks"):
            if most > least and not least <= getattr(self, key) <= most:
                found = f"{key} = {getattr(self, key)}, where the curves were measured at {measured}"
                raise refuse(found, "a present setting between measured ones", f"correct `{key}`, counted from closed")

    def _takes_energy(self, curve: Curve, name: str, forces: tuple[Force, ...]) -> None:
        """Refuse a curve that pushes along with the movement, at a speed of the table or beyond its last one."""
        for speed, force in zip(self.speeds, forces, strict=False):
            if force.value < 0:
                found = f"a {name} force of {force} at {speed}, {curve.clicks} clicks: a damper that gives energy"
                raise refuse(found, "forces against the movement, as positive numbers", "turn the sign round")
        if len(forces) > 1 and forces[-1].value < forces[-2].value:
            found = (
                f"{name} forces that fall from {forces[-2]} to {forces[-1]} at the last speed, {curve.clicks} clicks"
            )
            expected = "a last stretch that does not fall: it goes on beyond the table, where it would give energy"
            raise refuse(found, expected, "measure one speed more, or look for a slip in the last force")


class Damper(Table):
    """A damper. While the car stands or is held in a steady corner only its gas force acts."""

    gas_force: Force = Field(description="push of the gas on the rod: pressure times rod area")
    chassis: Mount | None = Field(default=None, description="end on the chassis, if not on the spring's line")
    moving: Mount | None = Field(default=None, description="end that moves with the wheel, likewise")
    damping: Damping | None = Field(default=None, description="forces by speed and clicks")
    shortest: Size | None = Field(default=None, description="length between its eyes when solid, stops squeezed flat")
    longest: Size | None = Field(default=None, description="length between its eyes when fully extended")

    @model_validator(mode="after")
    def _whole_line(self) -> Damper:
        if (self.chassis is None) != (self.moving is None):
            raise refuse("only one end of the damper", "both `chassis` and `moving`, or neither", "add the other end")
        return self
