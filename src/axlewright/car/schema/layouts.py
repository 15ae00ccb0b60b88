"""The layouts that an end can have: one class each, told apart by its `layout`."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from axlewright.car.schema.de_dion import DeDion
from axlewright.car.schema.double_wishbone import FrontDoubleWishbone, RearDoubleWishbone
from axlewright.car.schema.multi_link import RearMultiLink
from axlewright.car.schema.rear import LiveAxle
from axlewright.car.schema.strut import FrontStrut

AnyFront = Annotated[FrontDoubleWishbone | FrontStrut, Field(discriminator="layout")]
AnyRear = Annotated[LiveAxle | DeDion | RearDoubleWishbone | RearMultiLink, Field(discriminator="layout")]
