"""One side given, the other mirrored: `Override` reads what differs, `mirrored` and `overlaid` apply it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Annotated, Literal, TypeVar, get_args, get_origin

from pydantic import Field, GetCoreSchemaHandler, create_model
from pydantic_core import core_schema

from axlewright.car.schema.base import Table, refuse
from axlewright.car.schema.point import Holes, Point

AnyTable = TypeVar("AnyTable", bound=Table)
Side = Literal["left", "right"]
SIDES: tuple[Side, Side] = ("left", "right")


@dataclass(frozen=True, slots=True)
class Override:
    """A table with the keys of `model`, none of which need be given: what differs on the right side."""

    model: type[Table]

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        del source
        return core_schema.nullable_schema(handler.generate_schema(optional(self.model)))


@cache
def optional(model: type[Table]) -> type[Table]:
    """`model` with every key optional, and so on down its tables."""
    fields: dict[str, tuple[object, object]] = {}
    for name, field in model.model_fields.items():
        table = table_in(field.annotation)
        kind: object = field.annotation
        if table is not None:
            kind = optional(table)
        elif field.metadata:
            kind = Annotated[(field.annotation, *field.metadata)]
        fields[name] = (kind | None, Field(default=None, description=field.description))  # pyright: ignore[reportOperatorIssue] a type
    name, doc = f"{model.__name__}Override", f"What differs on the right. {model.__doc__}"
    return create_model(name, __base__=Table, __doc__=doc, **fields)  # pyright: ignore[reportCallIssue, reportArgumentType] fields go by name


def table_in(annotation: object) -> type[Table] | None:
    """The table class in an annotation such as `Spring` or `Stop | None`; None for values and lists."""
    members = () if get_origin(annotation) is tuple else get_args(annotation)
    for kind in (annotation, *members):
        if isinstance(kind, type) and issubclass(kind, Table) and kind is not Holes:
            return kind
    return None


def mirrored(thing: AnyTable) -> AnyTable:
    """The same table on the other side of the car: every point in it changes sides."""
    return thing.model_copy(update={name: _mirror(getattr(thing, name)) for name in type(thing).model_fields})


def _mirror(value: object) -> object:
    if isinstance(value, (Point, Holes)):
        return value.mirrored()
    return mirrored(value) if isinstance(value, Table) else value


def overlaid(base: AnyTable, changes: Table | None) -> AnyTable:
    """`base` with the keys that `changes` gives replaced, table by table."""
    if changes is None:
        return base
    update: dict[str, object] = {}
    for name in changes.model_fields_set:
        old, new = getattr(base, name), getattr(changes, name)
        if old is None and isinstance(new, Table) and not isinstance(new, Holes):
            fix = f"give `{name}` for the left side too, or leave it out on the right"
            raise refuse(f"`{name}` on the right only", "the same parts on both sides, with other numbers", fix)
        if isinstance(old, Table) and isinstance(new, Table) and not isinstance(new, Holes):
            new = overlaid(old, new)
        update[name] = new
    return base.model_copy(update=update)
