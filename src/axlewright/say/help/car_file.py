"""Help on the car file: its tables and their keys, as its JSON Schema describes them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from axlewright.car.json_schema import json_schema
from axlewright.say.help.entry import Entry, Section, entry

PART = "The car file"
OVERRIDE = "Override"  # tables of what differs on the right have the keys of those that they change


def car_file_section() -> Section:
    """One entry a table."""
    schema: dict[str, Any] = json_schema()
    tables = {"Car": schema, **{k: v for k, v in schema["$defs"].items() if not k.endswith(OVERRIDE)}}
    about = (
        "TOML text: tables in [square brackets], keys and values below. A value is text with its unit, in whichever "
        'unit it was measured: "95 N/mm +- 3 %". Points are [x, y, z].'
    )
    return Section(
        "car-file", PART, "Tables and keys of a car file", about, tuple(map(_table, tables, tables.values()))
    )


def _table(name: str, table: Mapping[str, Any]) -> Entry:
    called = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name).lower()
    needed = set(table.get("required", ()))
    keys = {key: _key(value, key in needed) for key, value in table.get("properties", {}).items()}
    made = entry(f"table-{name}", called, " ".join(table.get("description", "").split()))
    return made._replace(facts=tuple(keys.items()))


def _key(schema: Mapping[str, Any], needed: bool) -> str:
    words = schema.get("enum", ())
    kinds = [one.get("format") for one in (schema, *schema.get("anyOf", ())) if one.get("format")]
    example = next((str(one["examples"][0]) for one in (schema, *schema.get("anyOf", ())) if "examples" in one), "")
    parts = [
        schema.get("description", ""),
        " or ".join(f'"{word}"' for word in words),
        f"{kinds[0]}, such as {example}" if kinds and example else "",
        "needed" if needed else "",
    ]
    return "; ".join(part for part in parts if part)
