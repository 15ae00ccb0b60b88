"""The kinds of value that a car file holds, each with the limits of physical sense (common practice, no source)."""

from __future__ import annotations

from typing import Annotated

from axlewright.car.schema.base import Of
from axlewright.units import Quantity

Size = Annotated[Quantity, Of("length", "0.1 mm", "10 m")]
Length = Annotated[Quantity, Of("length", "-10 m", "10 m")]
Gap = Annotated[Quantity, Of("length", "-50 mm", "500 mm")]
Travel = Annotated[Quantity, Of("length", "0 mm", "1 m")]
Height = Annotated[Quantity, Of("length", "0 mm", "3 m")]
Force = Annotated[Quantity, Of("force", "0 N", "100 kN")]
DampingForce = Annotated[Quantity, Of("force", "-100 kN", "100 kN")]  # a wrong sign has a sentence of its own
Mass = Annotated[Quantity, Of("mass", "0 kg", "10000 kg")]
Inertia = Annotated[Quantity, Of("inertia", "0.001 kg m^2", "20000 kg m^2")]
SpringRate = Annotated[Quantity, Of("spring rate", "0.5 N/mm", "5 kN/mm")]
StiffRate = Annotated[Quantity, Of("spring rate", "0.1 kN/mm", "500 kN/mm")]
DampingRate = Annotated[Quantity, Of("damping rate", "10 N s/m", "200 kN s/m")]
JointAngle = Annotated[Quantity, Of("angle", "0.5 deg", "60 deg")]
Camber = Annotated[Quantity, Of("angle", "-15 deg", "15 deg")]
SmallAngle = Annotated[Quantity, Of("angle", "-10 deg", "10 deg")]
SlopeAngle = Annotated[Quantity, Of("angle", "-40 deg", "40 deg")]
SlipAngle = Annotated[Quantity, Of("angle", "0.5 deg", "30 deg")]
SlipAnglePerForce = Annotated[Quantity, Of("angle per force", "-3 deg/kN", "3 deg/kN")]
Pressure = Annotated[Quantity, Of("pressure", "3 psi", "80 psi")]
Modulus = Annotated[Quantity, Of("modulus", "1 GPa", "500 GPa")]
Torque = Annotated[Quantity, Of("torque", "0 N m", "100 kN m")]
TorsionalStiffness = Annotated[Quantity, Of("torsional stiffness", "0.1 kN m/deg", "500 kN m/deg")]
RotaryDrag = Annotated[Quantity, Of("rotary drag", "0.0001 N m s/rad", "1 N m s/rad")]
BendingStiffness = Annotated[Quantity, Of("bending stiffness", "1 N m^2", "10000000 N m^2")]
Speed = Annotated[Quantity, Of("speed", "0 m/s", "150 m/s")]
DamperSpeed = Annotated[Quantity, Of("speed", "0 m/s", "10 m/s")]
Acceleration = Annotated[Quantity, Of("acceleration", "-5 g", "5 g")]
AngularAcceleration = Annotated[Quantity, Of("angular acceleration", "-20 rad/s^2", "20 rad/s^2")]
Area = Annotated[Quantity, Of("area", "-20 m^2", "20 m^2")]
Volume = Annotated[Quantity, Of("volume", "0 l", "1000 l")]
Density = Annotated[Quantity, Of("density", "0.3 kg/l", "2 kg/l")]
SolidDensity = Annotated[Quantity, Of("density", "0.5 kg/l", "25 kg/l")]
AirDensity = Annotated[Quantity, Of("density", "0.5 kg/m^3", "2 kg/m^3")]
Share = Annotated[Quantity, Of("share", "0", "1")]
SmallShare = Annotated[Quantity, Of("share", "-1", "1")]
Time = Annotated[Quantity, Of("time", "0 s", "100 h")]
LengthPerTurn = Annotated[Quantity, Of("length per turn", "-20 mm/turn", "20 mm/turn")]
RackPerTurn = Annotated[Quantity, Of("length per turn", "-300 mm/turn", "300 mm/turn")]
PerForce = Annotated[Quantity, Of("per force", "0 1/kN", "0.5 1/kN")]
RatePerPressure = Annotated[Quantity, Of("spring rate per pressure", "0 N/mm/psi", "100 N/mm/psi")]
Number = Annotated[Quantity, Of("share", "-1000", "1000")]
Positive = Annotated[Quantity, Of("share", "0.000001", "1000")]
