"""What every question of the API has in common: its name, what is asked, what is told, and which car it is about."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from axlewright.car.file import LARGEST
from axlewright.car.schema import Car
from axlewright.car.schema.base import Of, refuse
from axlewright.units import KINDS, Quantity, article, parse
from axlewright.web.api import bounds

BENCH = "bench"
LONGEST = 80  # letters of a name or a quantity

Name = Annotated[str, Field(min_length=1, max_length=LONGEST)]
Names = Annotated[list[Name], Field(max_length=bounds.NAMES)]
Position = Annotated[float, Field(allow_inf_nan=False)]
Setup = Annotated[dict[Name, Position], Field(max_length=200)]
Turn = Annotated[
    Literal["left", "right", "both"] | None,
    Field(default=None, description="turn direction; null is what the command takes when --turn is left out"),
]
Setting = Annotated[
    Setup, Field(default_factory=dict, description="adjusters that stand elsewhere: id -> position", examples=[{}])
]
Phases = Annotated[Names, Field(default_factory=list, description="only these phases, by name; empty is all")]
Readings = Annotated[
    Names, Field(default_factory=list, description="only these readings, by id; empty is the usual ones")
]
Adjusters = Annotated[Names, Field(default_factory=list, description="only these adjusters, by id; empty is all")]


@dataclass(frozen=True, slots=True)
class Within(Of):
    """A quantity as text with its unit, within what this question can be asked; its limits stand in the schema."""

    def __get_pydantic_json_schema__(self, schema: object, handler: object) -> dict[str, object]:
        del schema, handler
        assert self.low is not None
        assert self.high is not None
        unit = KINDS[self.kind].unit or "share"
        text = f"{article(self.kind)} as text with its unit, from {self.low} to {self.high}; worked with in {unit}"
        return {"type": "string", "minLength": 1, "maxLength": LONGEST, "description": text.capitalize()}

    def read(self, found: object) -> Quantity:
        """The quantity, or a refusal."""
        if isinstance(found, str) and len(found) > LONGEST:
            raise refuse(f"{len(found)} letters", f"{article(self.kind)} in at most {LONGEST}", "write it shorter")
        return Of.read(self, found)


def default(kind: str, text: str) -> Quantity:
    """A quantity that stands where none is given."""
    return parse(text, kind)


class Asked(BaseModel):
    """What a question is asked with: unknown names are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


class OfCar(Asked):
    """A question about a car: the one on the bench, a demo car, or the text of a car file."""

    car: str = Field(
        default=BENCH,
        max_length=LONGEST,
        description='"bench": the car on the bench as it stands now; or the name of a demo car, see `cars`',
        examples=["teasel"],
    )
    text: str | None = Field(
        default=None, max_length=LARGEST, description="the text of a car file instead (TOML, at most 2 MB)"
    )

    @model_validator(mode="after")
    def _one(self) -> OfCar:
        if self.text is not None and self.car != BENCH:
            raise refuse("`car` and `text`", "one of them", "leave `car` out")
        return self


class Closed(BaseModel):
    """A part of an answer: nothing in it that is not described here."""

    model_config = ConfigDict(extra="forbid")


class Told(Closed):
    """An answer."""

    version: int = Field(description="of this form of the data")


class ToldOfCar(Told):
    """An answer about a car."""

    car: str = Field(description="name of the car, as its file says")


class Value(Closed):
    """A reading."""

    value: float | None = Field(description="SI, in the unit beside it; null where there is none in this state")
    unit: str = Field(description="SI unit, empty for a plain number")


Data = Mapping[str, Any]


@dataclass(frozen=True)
class Question:
    """One question of the API, with the data that its command prints with --json as the answer."""

    name: str
    summary: str
    about: str  # what a reader of the API should know, more than the summary
    asked: type[Asked]
    told: Any  # type of the answer, or several
    example: Mapping[str, Any] = field(default_factory=dict)  # of what can be asked
    work: Callable[[Car, Any], Data] | None = None  # of the car that is asked about
    plain: Callable[[Any, Any], Data] | None = None  # of the cars there are, where none has to be solved


def turns_of(turn: str | None, usual: tuple[str, ...]) -> tuple[str, ...]:
    """Turn directions as the solver takes them."""
    return ("left", "right") if turn == "both" else usual if turn is None else (turn,)
