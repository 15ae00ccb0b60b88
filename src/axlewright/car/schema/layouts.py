"""The layouts that an end can have: one class each, told apart by its `layout`.

A second one makes it a union: `Annotated[A | B, Field(discriminator="layout")]`.
"""

from __future__ import annotations

from axlewright.car.schema.front import FrontDoubleWishbone
from axlewright.car.schema.rear import LiveAxle

AnyFront = FrontDoubleWishbone
AnyRear = LiveAxle
