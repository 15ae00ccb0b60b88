"""Multi-link rear: an upright on any five links, of which two may be a lower arm that can carry the spring."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from axlewright.car.schema.base import Name, Table, refuse
from axlewright.car.schema.corner_parts import Rocker, UprightLink, Wishbone
from axlewright.car.schema.independent import (
    CornerParts,
    IndependentCorner,
    IndependentRear,
    UprightRod,
    alike,
    one_side,
)
from axlewright.car.schema.sides import Override, Side

TAKEN = {"spring", "damper", "push_rod", "rocker", "upright", "lower_arm", "lower_ball", "lower_front", "lower_rear"}


class MultiLinkCorner(IndependentCorner):
    """One rear corner, but for its list of links."""

    lower_wishbone: Wishbone | None = Field(
        default=None, description="a lower arm with two inner pivots, which stands for two of the five links"
    )
    rocker: Rocker | None = Field(default=None, description="rocker and its push-rod or pull-rod")


class RearMultiLink(IndependentRear, MultiLinkCorner):
    """Multi-link rear, the differential on the chassis; left side, the right is mirrored but for what `right` gives."""

    layout: Literal["multi-link"] = Field(description="kind of rear suspension")
    links: tuple[UprightLink, ...] = Field(min_length=3, description="links from the upright to the chassis")
    toe_link: Name = Field(description="name of the link whose length sets toe")
    camber_link: Name = Field(description="name of the link whose length sets camber")
    right: Annotated[Table | None, Override(MultiLinkCorner)] = Field(
        default=None, description="what differs on the right side"
    )

    def side(self, name: Side) -> MultiLinkCorner:
        """One corner without its links, overrides applied."""
        return one_side(self, MultiLinkCorner, name, self.right)

    def parts(self, name: Side) -> CornerParts:
        """What locates the upright of one corner."""
        rods, corner = [], self.side(name)
        for i, link in enumerate(self.links):
            ends, path = link.ends(name), f"rear.links[{i + 1}]{'' if name == 'left' else '.right'}"
            where = (link.name, path, ends.chassis, ends.upright)
            rods.append(UprightRod(*where, ends.thread, ends.stiffness, ends.length))
        return CornerParts(tuple(rods), self.toe_link, lower=corner.lower_wishbone, rocker=corner.rocker)

    @model_validator(mode="after")
    def _named_and_alike(self) -> RearMultiLink:
        names = [link.name for link in self.links]
        if len(set(names)) < len(names):
            raise refuse(f"links called {', '.join(names)}", "a different name for each", "rename one")
        taken = sorted(TAKEN & set(names))
        if taken:
            raise refuse(f"a link called {taken[0]}", "a name that no other part has", "rename it")
        for key in ("toe_link", "camber_link"):
            if getattr(self, key) not in names:
                found, expected = f'`{key}` = "{getattr(self, key)}"', f"the name of a link: {', '.join(names)}"
                raise refuse(found, expected, "name the link that is screwed in or out for it")
        if self.toe_link == self.camber_link:
            raise refuse("one link for toe and camber", "two links", "name another one")
        alike(self)
        return self
