"""The whole car file."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from axlewright.car.schema.base import Table
from axlewright.car.schema.driveline import Brakes, Driveline, Wheels
from axlewright.car.schema.layouts import AnyFront, AnyRear
from axlewright.car.schema.masses import Masses, RideHeights, Scales
from axlewright.car.schema.phases import Phase, standard_phases
from axlewright.car.schema.point import Points
from axlewright.car.schema.rest import Adjuster, Aero, Chassis, Rules
from axlewright.car.schema.room import Clearance, Joints
from axlewright.car.schema.setups import NamedSetup
from axlewright.car.schema.steering import Steering
from axlewright.car.schema.tyres import MagicTyres, SimilarityTyres

AnyTyres = Annotated[SimilarityTyres | MagicTyres, Field(discriminator="law")]


class Car(Table):
    """What the car is, measured at rest: driver in, fuel as stated, at the stated ride heights."""

    name: str = Field(min_length=1, max_length=80, description="name of the car")
    notes: str = Field(default="", description="anything worth remembering")
    points: Points = Field(description="how points are measured")
    masses: Masses = Field(description="masses")
    scales: Scales = Field(description="scale readings, or the cross weight")
    ride_heights: RideHeights = Field(description="ride heights")
    chassis: Chassis | None = Field(default=None, description="chassis torsion; a stiff chassis when left out")
    front: AnyFront = Field(description="front suspension")
    steering: Steering = Field(default_factory=Steering, description="steering")
    rear: AnyRear = Field(description="rear suspension")
    wheels: Wheels = Field(description="wheels")
    tyres: AnyTyres = Field(description="tyres")
    brakes: Brakes = Field(description="brakes")
    driveline: Driveline = Field(description="driveline")
    aero: Aero = Field(description="air forces")
    rules: Rules = Field(default_factory=Rules, description="rules card")
    joints: Joints = Field(default_factory=Joints, description="how far joints may be tilted")
    clearance: Clearance = Field(default_factory=Clearance, description="what must not touch")
    phases: tuple[Phase, ...] = Field(
        default_factory=standard_phases, description="held manoeuvres; seven standard ones when left out"
    )
    adjusters: dict[str, Adjuster] = Field(default={}, description="what is special about an adjuster, by its id")
    setup: dict[str, float] = Field(
        default={}, description="present position of adjusters that have moved since the car was measured"
    )
    setups: dict[str, NamedSetup] = Field(default={}, description="setups kept by name")
