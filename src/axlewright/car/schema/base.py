"""What every table of a car file has in common, and how its values are read.

A value is text with a unit (`"35 N/mm"`), a plain number where a plain number is meant, or a point `[x, y, z]`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from pydantic import BaseModel, ConfigDict, StringConstraints
from pydantic_core import PydanticCustomError, core_schema

from axlewright import units
from axlewright.errors import UnitError
from axlewright.units import Quantity


class Table(BaseModel):
    """A table of the car file: keys that it does not know are refused, and nothing changes once it is read."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True, defer_build=True)


Name = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9_]*$")]


def refuse(found: str, expected: str, fix: str) -> PydanticCustomError:
    """An error that keeps its parts, so that the message can name the key as well."""
    context = {"found": found, "expected": expected, "fix": fix}
    return PydanticCustomError("axlewright", "found {found}; expected {expected}", context)


@dataclass(frozen=True, slots=True)
class Of:
    """Read a quantity of one kind (`axlewright.units.KINDS`) and keep it within physical sense.

    The limits are wide: they catch a wrong unit or a slipped decimal point, and are common practice, no source.
    """

    kind: str
    low: str | None = None
    high: str | None = None

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> core_schema.CoreSchema:
        del source, handler
        return core_schema.no_info_plain_validator_function(
            self.read, serialization=core_schema.plain_serializer_function_ser_schema(str)
        )

    def __get_pydantic_json_schema__(self, schema: object, handler: object) -> dict[str, object]:
        del schema, handler
        kind = units.KINDS[self.kind]
        text: dict[str, object] = {"type": "string", "format": self.kind, "examples": [kind.example]}
        return text if kind.unit else {"anyOf": [{"type": "number"}, text]}

    def read(self, found: object) -> Quantity:
        """The quantity, or a refusal that says what was found and expected."""
        if isinstance(found, Quantity):
            return found
        kind = units.KINDS[self.kind]
        if isinstance(found, (int, float)) and not isinstance(found, bool):
            found = repr(found)
            if kind.unit:
                fix = f'write "{found} {units.scale_name(kind.example)}", or whichever unit it was measured in'
                expected = f'{units.article(self.kind)} as text with its unit, such as "{kind.example}"'
                raise refuse(f"the bare number {found}", expected, fix)
        if not isinstance(found, str):
            raise refuse(f"{found!r}", f'{units.article(self.kind)}, such as "{kind.example}"', "write it as text")
        try:
            quantity = units.parse(found, self.kind)
            low, high = (self._limit(limit) for limit in (self.low, self.high))
        except UnitError as error:
            raise refuse(error.found, error.expected, error.fix) from error
        if (low is not None and quantity.value < low) or (high is not None and quantity.value > high):
            raise refuse(f'"{found}"', self._between(), "check the unit, the decimal point and the sign")
        return quantity

    def _limit(self, limit: str | None) -> float | None:
        return None if limit is None else units.parse(limit, self.kind).value

    def _between(self) -> str:
        if self.high is None:
            return f"{units.article(self.kind)} of at least {self.low}"
        if self.low is None:
            return f"{units.article(self.kind)} of at most {self.high}"
        return f"{units.article(self.kind)} from {self.low} to {self.high}"
