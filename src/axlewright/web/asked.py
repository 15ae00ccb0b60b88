"""What every question of a page says: which car, which positions, which units."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

Positions = dict[str, float]


class Asked(BaseModel):
    """A question about the car on the bench in one setup, and perhaps another that it is compared with."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    car: str = Field(max_length=64, description="digest of the car file's text")
    positions: Positions = Field(default={}, description="single adjusters that stand elsewhere than the file says")
    base: Positions = Field(default={}, description="the same for the setup that is compared with")
    units: Literal["metric", "us"] = "metric"
