"""The form of states, as `tune.export` makes them."""

from __future__ import annotations

from pydantic import Field

from axlewright.web.api.question import Closed, Value


class StateTold(Closed):
    """A state."""

    result: str = Field(description='"solved", or what kept the solver from it')
    readings: dict[str, Value] = Field(description="id -> reading")


class RestState(StateTold):
    """How the car stands."""

    states: dict[str, str] = Field(description="part -> its state in a word: spring, stop, slack, lifted, locked, ...")


class PhaseState(StateTold):
    """A held phase."""

    ax: float = Field(description="m/s2, forwards")
    ay: float = Field(description="m/s2, towards the inside of the turn")
    speed: float = Field(description="m/s")
    turn: str = Field(description="left, right or straight")


class HeldState(PhaseState):
    """A held phase, and the state of every part in it."""

    states: dict[str, str] = Field(description="part -> its state in a word: spring, stop, slack, lifted, locked, ...")
