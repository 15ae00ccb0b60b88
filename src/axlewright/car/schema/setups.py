"""Setups kept by name: positions of adjusters, and who kept them, when and why."""

from __future__ import annotations

from datetime import datetime

from pydantic import Field

from axlewright.car.schema.base import Table


class NamedSetup(Table):
    """One setup that was worth keeping."""

    author: str = Field(default="", max_length=80, description="who kept it")
    date: datetime | None = Field(default=None, strict=True, description="when it was kept")
    why: str = Field(default="", max_length=500, description="what it is for")
    positions: dict[str, float] = Field(
        default={}, description="adjusters that stand elsewhere than when the car was measured, by id"
    )
