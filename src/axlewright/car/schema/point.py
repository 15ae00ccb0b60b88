"""Points `[x, y, z]`, in the length unit and from the datum that the file declares, and mounts with several holes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

import numpy as np
from pydantic import BeforeValidator, Field, model_validator
from pydantic_core import core_schema

from axlewright import units
from axlewright.car.schema.base import Of, Table, refuse
from axlewright.car.schema.quantity import Length, Size
from axlewright.units import Quantity

FURTHEST = 10.0  # m; a point further from the front axle line than this is a slipped unit
EXPECTED = "a point [x, y, z]: three numbers in the file's length unit, or lengths with a unit of their own"


class Points(Table):
    """How the points of this file are measured: at the rest pose, driver in, at the stated ride heights and fuel."""

    unit: Literal["m", "cm", "mm", "in", "ft"] = Field(description="length unit of every bare coordinate")
    datum: str = Field(
        default="ground below the front axle line, on the centreline",
        description="what the coordinates are measured from, in words; x forward or rearward as stated, y left, z up",
    )
    origin: tuple[Length, Length, Length] | None = Field(
        default=None,
        description="where the ground below the front axle line is, in this file's own coordinates, with units",
    )
    x_points: Literal["forward", "rearward"] = Field(
        default="forward", description="which way x counts; y is left and z is up"
    )
    known: Size | None = Field(default=None, description="how well each coordinate is known, such as 1 mm")


@dataclass(frozen=True, slots=True)
class Frame:
    """From the file's coordinates to the chassis axes of the design, SI."""

    scale: float = 1.0
    origin: tuple[float, float, float] = (0.0, 0.0, 0.0)
    x_sign: float = 1.0
    known: float | None = None

    @classmethod
    def of(cls, points: Points) -> Frame:
        origin = points.origin or (Quantity(0.0),) * 3
        x, y, z = (float(coordinate) for coordinate in origin)
        known = None if points.known is None else points.known.value
        return cls(units.scale(points.unit)[0], (x, y, z), 1.0 if points.x_points == "forward" else -1.0, known)


@dataclass(frozen=True, slots=True)
class Point:
    """A point in chassis axes (ISO 8855), m; `tolerance` per coordinate, m, 0 where nothing is said."""

    x: float
    y: float
    z: float
    tolerance: tuple[float, float, float] = (0.0, 0.0, 0.0)

    @property
    def xyz(self) -> np.ndarray:
        return np.array([self.x, self.y, self.z])

    def mirrored(self) -> Point:
        """The same point on the other side of the car."""
        return Point(self.x, 0.0 - self.y, self.z, self.tolerance)


class _ReadPoint:
    """Reads `[x, y, z]` with the frame found in the validation context."""

    @classmethod
    def __get_pydantic_core_schema__(cls, source: object, handler: object) -> core_schema.CoreSchema:
        del source, handler
        return core_schema.with_info_plain_validator_function(cls.read)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: object, handler: object) -> dict[str, object]:
        del schema, handler
        coordinate = {"anyOf": [{"type": "number"}, {"type": "string"}]}
        return {"type": "array", "items": coordinate, "minItems": 3, "maxItems": 3, "examples": [[0.1, 0.4, 0.47]]}

    @classmethod
    def read(cls, found: object, info: object) -> Point:
        """The point; `info` is pydantic's and carries the frame of the file."""
        if isinstance(found, Point):
            return found
        frame = (getattr(info, "context", None) or {}).get("frame", Frame())
        if not isinstance(found, (list, tuple)) or len(found) != 3:
            count = f"{len(found)} values" if isinstance(found, (list, tuple)) else repr(found)
            raise refuse(count, EXPECTED, "write x, y and z in square brackets")
        coordinates = [_coordinate(value, frame) for value in found]
        x, y, z = (float(c) - o for c, o in zip(coordinates, frame.origin, strict=True))
        if max(abs(value) for value in (x, y, z)) > FURTHEST:
            fix = "check the unit in [points] and the decimal points"
            raise refuse(
                f"{list(found)}, up to {max(abs(x), abs(y), abs(z)):.1f} m from the datum",
                f"a point within {FURTHEST:.0f} m",
                fix,
            )
        dx, dy, dz = (c.tolerance or 0.0 for c in coordinates)
        return Point(frame.x_sign * x, y, z, (dx, dy, dz))


def _coordinate(value: object, frame: Frame) -> Quantity:
    if isinstance(value, str):
        return Of("length").read(value)
    if isinstance(value, (int, float)) and not isinstance(value, bool) and np.isfinite(value):
        return Quantity(value * frame.scale, frame.known)
    raise refuse(repr(value), EXPECTED, "write a number for each coordinate")


At = Annotated[Point, _ReadPoint]


class Holes(Table):
    """A bracket with several holes: where each is, and which one is in use."""

    holes: tuple[At, ...] = Field(min_length=1, description="the holes, in the order in which they are counted")
    hole: int = Field(default=1, ge=1, description="the hole in use when the car was measured, counted from 1")

    @model_validator(mode="after")
    def _hole_exists(self) -> Holes:
        if self.hole > len(self.holes):
            raise refuse(
                f"hole {self.hole}", f"a hole from 1 to {len(self.holes)}", "list the hole or change the number"
            )
        return self

    @property
    def point(self) -> Point:
        return self.holes[self.hole - 1]

    @property
    def xyz(self) -> np.ndarray:
        return self.point.xyz

    @property
    def adjustable(self) -> bool:
        return len(self.holes) > 1

    def mirrored(self) -> Holes:
        return Holes(holes=tuple(point.mirrored() for point in self.holes), hole=self.hole)


def _one_hole(found: object) -> object:
    return {"holes": [found]} if isinstance(found, (list, tuple)) else found


Mount = Annotated[Holes, BeforeValidator(_one_hole, json_schema_input_type=At | Holes)]
