"""A car file as a form: what its JSON Schema allows, with what the text says, each value as its owner spelt it.

A table is a `Group`, a value a `Field`; both are addressed by their key path. Optional tables that are not in the file
are groups without entries until they are opened, and every list ends with an empty entry, so that a form can add one.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from axlewright.car.edit import literal, moment
from axlewright.car.json_schema import json_schema
from axlewright.car.key_paths import Path, Place, Step, places, spelt
from axlewright.units import KINDS

Sort = Literal["quantity", "coordinate", "number", "count", "words", "text", "yes", "several", "moment"]
"""What is typed: a quantity with its unit, one of a point's three, a number, a whole number, one of some words, text,
true or false, several values with commas between, or a date and time."""
Schema = Mapping[str, Any]
TAKEN = ("quantity", "text", "words")  # sorts that stay text even when they look like a number


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One value."""

    path: str
    title: str
    about: str
    sort: Sort
    kind: str = ""  # of quantity, as in `units.KINDS`
    words: tuple[str, ...] = ()
    required: bool = False
    value: str | None = None  # as written, without quotes; None when the file has none
    default: str = ""
    example: str = ""
    least: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """A table, a list, or a point."""

    path: str
    title: str
    about: str
    given: bool
    required: bool = False
    sort: Literal["table", "list", "point"] = "table"
    entries: tuple[Field | Group, ...] = ()


def form_of(text: str, table: Mapping[str, object], opened: Collection[str] = ()) -> Group:
    """The form of a car file: its text, and the plain tables that it holds.

    opened: paths of tables that are not in the file and whose empty fields are wanted.
    """
    schema = _schema()
    made = _Maker(schema["$defs"], places(text), frozenset(opened))  # pyright: ignore[reportArgumentType] a mapping
    return made.table((), schema, table, "car", required=True)


def fields_of(group: Group) -> Iterator[Field]:
    """Every field of a form, in its order."""
    for entry in group.entries:
        if isinstance(entry, Field):
            yield entry
        else:
            yield from fields_of(entry)


def typed(field: Field, text: str) -> object:
    """What is written into the file for what a person typed in a field; None, for nothing, takes the key out.

    A number that can't be read as one stays text, so that checking the file says what is wrong with it.
    """
    said = text.strip()
    if not said:
        return None
    if field.sort == "yes":
        return said == "true"
    if field.sort == "moment":
        return moment(said)
    if field.sort == "several" and "," in said:
        return [_single(part.strip()) for part in said.strip("[]").split(",")]
    return said if field.sort in TAKEN and not _share(field) else _single(said)


def _single(said: str) -> object:
    try:
        return literal(said)
    except ValueError:
        return said.strip("\"'")


def _share(field: Field) -> bool:
    """Shares may be written as bare numbers."""
    return field.sort == "quantity" and field.kind == "share"


@cache
def _schema() -> dict[str, object]:
    return json_schema()


@cache
def _words_of(key: str) -> str:
    return key.replace("_", " ")


@dataclass(frozen=True, slots=True)
class _Maker:
    definitions: Mapping[str, Schema]
    places: Mapping[str, Place]
    opened: frozenset[str]

    def table(self, path: Path, schema: Schema, found: object, title: str, *, required: bool) -> Group:
        """A table, its keys in the schema's order."""
        own = self._resolved(schema, found)
        given = isinstance(found, Mapping)
        data: Mapping[str, object] = found if isinstance(found, Mapping) else {}
        entries: tuple[Field | Group, ...] = ()
        if given or required or spelt(path) in self.opened:
            properties = dict(own.get("properties", {}))
            tags = self._tags(schema)
            needed = own.get("required", ())
            if tags is not None:  # what kind it is comes first, since it decides the rest
                properties = {tags["key"]: tags, **{k: v for k, v in properties.items() if k != tags["key"]}}
            entries = tuple(
                self.entry((*path, key), value, data.get(key), _words_of(key), required=key in needed)
                for key, value in properties.items()
            )
            if isinstance(own.get("additionalProperties"), Mapping):
                entries += tuple(
                    self.entry((*path, key), own["additionalProperties"], value, key, required=False)
                    for key, value in data.items()
                )
        return Group(
            path=spelt(path), title=title, about=self._about(schema), given=given, required=required, entries=entries
        )

    def entry(self, path: Path, schema: Schema, found: object, title: str, *, required: bool) -> Field | Group:
        """A key of whatever kind."""
        if self._is_point(schema) or (self._mount(schema) and not isinstance(found, Mapping)):
            return self._point(path, schema, found, title, required=required)
        if schema.get("type") == "array" or isinstance(found, list):
            return self._list(path, schema, found, title, required=required)
        if "$ref" in schema or "oneOf" in schema or "additionalProperties" in schema or isinstance(found, Mapping):
            return self.table(path, self._mount(schema) or schema, found, title, required=required)
        return self._field(path, schema, found, title, required=required)

    def _point(self, path: Path, schema: Schema, found: object, title: str, *, required: bool) -> Field | Group:
        about = self._about(schema)
        if not isinstance(found, list) or len(found) != 3 or any(isinstance(one, list | dict) for one in found):
            return Field(
                path=spelt(path), title=title, about=about, sort="several", required=required,
                value=None if found is None else self._flat(path, found), example="0.100, 0.400, 0.470",
            )  # fmt: skip
        entries = tuple(
            Field(
                path=spelt((*path, i)), title=axis, about="", sort="coordinate", kind="length", required=True,
                value=self._written((*path, i), found[i]),
            )
            for i, axis in enumerate("xyz")
        )  # fmt: skip
        return Group(
            path=spelt(path), title=title, about=about, given=True, required=required, sort="point", entries=entries
        )

    def _list(self, path: Path, schema: Schema, found: object, title: str, *, required: bool) -> Field | Group:
        have: list[object] = found if isinstance(found, list) else []
        fixed = schema.get("prefixItems", ())
        items = schema.get("items") or (fixed[0] if fixed else {"type": "string"})
        most = len(fixed) or schema.get("maxItems", len(have) + 1)
        if fixed and not have:
            return Field(
                path=spelt(path), title=title, about=self._about(schema), sort="several", required=required,
                example=", ".join(["0"] * len(fixed)),
            )  # fmt: skip
        count = min(len(have) + 1, max(most, len(have)))
        entries = tuple(
            self.entry(
                (*path, i), items, have[i] if i < len(have) else None, self._called(items, have, i), required=False
            )
            for i in range(count)
        )
        return Group(
            path=spelt(path), title=title, about=self._about(schema), given=found is not None, required=required,
            sort="list", entries=entries,
        )  # fmt: skip

    def _field(self, path: Path, schema: Schema, found: object, title: str, *, required: bool) -> Field:
        sort, kind, words = self._sort(schema)
        quantity = next((one for one in (schema, *schema.get("anyOf", ())) if "format" in one), {})
        default = schema.get("default")
        return Field(
            path=spelt(path), title=title, about=self._about(schema), sort=sort, kind=kind, words=words,
            required=required, value=None if found is None else self._written(path, found),
            default="" if default is None or isinstance(default, list | dict) else _plain(default),
            example=str(next(iter(quantity.get("examples", ())), "")), least=schema.get("minimum"),
        )  # fmt: skip

    @staticmethod
    def _sort(schema: Schema) -> tuple[Sort, str, tuple[str, ...]]:
        choices = (schema, *schema.get("anyOf", ()))
        form = next((one["format"] for one in choices if "format" in one), None)
        if form is not None:
            return ("quantity", form, ()) if form in KINDS else ("moment", "", ())
        words = tuple(schema.get("enum", (schema["const"],) if "const" in schema else ()))
        if words:
            return "words", "", words
        if "anyOf" in schema:
            return "several", "", ()
        sorts: dict[str, Sort] = {"number": "number", "integer": "count", "boolean": "yes"}
        return sorts.get(schema.get("type", ""), "text"), "", ()

    def _resolved(self, schema: Schema, found: object) -> Schema:
        """The schema of a table; of several layouts the one that the table names, or only what names it."""
        if "$ref" in schema:
            return self.definitions[schema["$ref"].rsplit("/", 1)[1]]
        tags = schema.get("discriminator")
        if tags is None:
            return schema
        key = tags["propertyName"]
        said = found.get(key) if isinstance(found, Mapping) else None
        chosen = tags["mapping"].get(said)
        if chosen is None:
            return {"properties": {key: {}}, "required": [key]}
        return self.definitions[chosen.rsplit("/", 1)[1]]

    @staticmethod
    def _tags(schema: Schema) -> Schema | None:
        """The key that tells layouts apart, with all of its words."""
        tags = schema.get("discriminator")
        if tags is None:
            return None
        key = tags["propertyName"]
        return {"key": key, "enum": sorted(tags["mapping"]), "type": "string", "description": "what kind it is"}

    def _is_point(self, schema: Schema) -> bool:
        return schema.get("type") == "array" and schema.get("minItems") == 3 and "anyOf" in schema.get("items", {})

    def _mount(self, schema: Schema) -> Schema | None:
        """The table of holes that a mount may be instead of one point."""
        choices = schema.get("anyOf", ())
        table = next((one for one in choices if "$ref" in one), None)
        return table if table is not None and any(self._is_point(one) for one in choices) else None

    def _about(self, schema: Schema) -> str:
        own = schema.get("description", "")
        if own or "$ref" not in schema:
            return own
        return self.definitions[schema["$ref"].rsplit("/", 1)[1]].get("description", "")

    def _called(self, items: Schema, have: list[object], i: int) -> str:
        """What an entry of a list is called: by its name, else by its number."""
        if i >= len(have):
            return "one more" if have else "a first one"
        entry = have[i]
        name = entry.get("name") if isinstance(entry, Mapping) else None
        return str(name) if name else str(i + 1)

    def _written(self, path: Path, found: object) -> str:
        """A value as it is spelt in the text; text without its quotes."""
        if isinstance(found, str):
            return found
        place = self.places.get(spelt(path))
        return place.written if place is not None and place.written else _plain(found)

    def _flat(self, path: Path, found: object) -> str:
        if not isinstance(found, list):
            return self._written(path, found)
        steps: list[tuple[Step, object]] = list(enumerate(found))
        return ", ".join(self._written((*path, i), one) for i, one in steps)


def _plain(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)
