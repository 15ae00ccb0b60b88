"""Masses: what the car weighs and where, as it stands on the scales."""

from __future__ import annotations

from pydantic import Field, model_validator

from axlewright.car.schema.base import Name, Table, refuse
from axlewright.car.schema.point import At
from axlewright.car.schema.quantity import BodyMass, Density, Height, Inertia, Mass, Share, Volume


class Inertias(Table):
    """Moments of inertia about the body's own centre of mass, chassis axes."""

    roll: Inertia = Field(description="about x")
    pitch: Inertia = Field(description="about y")
    yaw: Inertia = Field(description="about z")


class Sprung(Table):
    """Everything carried by the springs, as drawn: with the driver, fuel and ballast that are listed below."""

    mass: BodyMass | None = Field(
        default=None, description="sprung mass; leave it out when [scales] gives four corner weights"
    )
    at: At | None = Field(
        default=None, description="centre of mass; leave it out when [scales] gives four corner weights"
    )
    height: Height | None = Field(
        default=None, description="height of the centre of mass above ground, when `at` is not given"
    )
    inertia: Inertias | None = Field(default=None, description="moments of inertia; estimated when left out")

    @model_validator(mode="after")
    def _height_stated(self) -> Sprung:
        if (self.at is None) == (self.height is None):
            found = "neither `at` nor `height`" if self.at is None else "both `at` and `height`"
            raise refuse(
                found,
                "the centre of mass as a point, or its height alone",
                "give one of the two; a scale cannot see the height",
            )
        return self


class Unsprung(Table):
    """One corner with its wheel, or the whole axle with both wheels."""

    mass: BodyMass = Field(description="with wheel, tyre, brake and half of the links")
    at: At | None = Field(default=None, description="centre of mass; the wheel centre when left out")
    inertia: Inertias | None = Field(default=None, description="without the wheel's own spin; estimated when left out")


class Item(Table):
    """Something in the car whose mass can change. Its present mass is already part of the sprung mass."""

    mass: Mass = Field(description="mass when the car was measured")
    at: At = Field(description="its centre of mass")


class Fuel(Table):
    """Fuel in the tank. What is in the tank is already part of the sprung mass."""

    volume: Volume = Field(description="in the tank when the car was measured")
    density: Density = Field(description="mass of one litre or gallon")
    capacity: Volume | None = Field(default=None, description="what the tank holds")
    at: At = Field(description="centre of the tank")

    @property
    def mass(self) -> float:
        return self.volume.value * self.density.value


class Ballast(Item):
    """A place where ballast is, or can be, bolted in."""

    name: Name = Field(default="ballast", description="name of the place")


class Masses(Table):
    """Masses at the rest pose."""

    sprung: Sprung = Field(description="carried by the springs")
    front_corner: Unsprung = Field(description="one front corner; the other is alike")
    axle: Unsprung | None = Field(default=None, description="rear axle complete, where there is one")
    rear_corner: Unsprung | None = Field(
        default=None, description="one rear corner of an independent rear; the other is alike"
    )
    driver: Item | None = Field(default=None, description="the driver, seated")
    fuel: Fuel | None = Field(default=None, description="fuel")
    ballast: tuple[Ballast, ...] = Field(default=(), description="ballast places")


class CornerWeights(Table):
    """Four scale readings, driver in, as masses (kg or lb as the scales show)."""

    left_front: Mass = Field(description="left front pad")
    right_front: Mass = Field(description="right front pad")
    left_rear: Mass = Field(description="left rear pad")
    right_rear: Mass = Field(description="right rear pad")


class Scales(Table):
    """What the scales say. Only cross weight is free to the spring perches; the rest follows from the masses."""

    cross_weight: Share | None = Field(default=None, description="(right front + left rear) / total")
    corner_weights: CornerWeights | None = Field(
        default=None, description="four scale readings; they state mass, balance and cross weight"
    )
    known: Mass | None = Field(default=None, description="how well one reading is known; 1 kg when left out")

    @model_validator(mode="after")
    def _one_of_two(self) -> Scales:
        if self.cross_weight is None and self.corner_weights is None:
            raise refuse(
                "neither `cross_weight` nor `corner_weights`",
                "one of them",
                'write cross_weight = "50 %" if the car has not been weighed',
            )
        return self


class RideHeights(Table):
    """Four points on the underside of the chassis: z of each is the ride height there."""

    left_front: At = Field(description="where the left front ride height is measured")
    right_front: At = Field(description="where the right front ride height is measured")
    left_rear: At = Field(description="where the left rear ride height is measured")
    right_rear: At = Field(description="where the right rear ride height is measured")
