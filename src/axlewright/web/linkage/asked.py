"""What can be asked of the linkage."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from axlewright.web.asked import Asked

FARTHEST = 0.6  # m or rad; no linkage goes so far
MOST = 4  # readings at once

Far = Annotated[float, Field(ge=-FARTHEST, le=FARTHEST, allow_inf_nan=False)]
Name = Annotated[str, Field(max_length=120)]


class Posed(Asked):
    """Where the wheels are put while the chassis stands still: m and rad, zero as drawn."""

    bump: Far = 0.0
    roll: Far = 0.0
    steer: Far = 0.0
    wind_up: Far = 0.0
    active: Literal["drive", "brake"] = Field(default="drive", description="torque link that keeps its length")
    overlay: bool = Field(default=False, description="the setup that is compared with, too")
    readings: list[Name] = Field(default=[], max_length=MOST)


class Seen(Posed):
    """One state to draw: moved by hand, held in a phase, or at rest."""

    state: Literal["moved", "held", "rest"] = "moved"
    axes: Literal["road", "chassis"] = "road"
    phase: Name = ""
    turn: Literal["left", "right", "straight"] = "left"


class Swept(Posed):
    """Readings through one movement, the others where they are put."""

    movement: Literal["bump", "roll", "steer", "wind_up"] = "bump"
