"""The layouts that an end can have: one class each, told apart by its `layout`."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from axlewright.car.schema.de_dion import DeDion
from axlewright.car.schema.front import FrontDoubleWishbone
from axlewright.car.schema.rear import LiveAxle

AnyFront = FrontDoubleWishbone
AnyRear = Annotated[LiveAxle | DeDion, Field(discriminator="layout")]
