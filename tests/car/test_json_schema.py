"""The JSON Schema describes every key of a car file."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator

from axlewright.car.file import DEMO_CARS, read
from axlewright.car.json_schema import DIALECT, json_schema, json_schema_text
from axlewright.car.starter import starter_text


def test_it_is_json_of_a_known_dialect():
    assert json.loads(json_schema_text()) == json_schema()
    assert json_schema()["$schema"] == DIALECT


def test_every_key_is_described_and_unknown_ones_are_refused():
    schema = json_schema()
    tables = [schema, *schema["$defs"].values()]  # pyright: ignore[reportAttributeAccessIssue] a table of tables
    for table in tables:
        assert table["description"]
        assert table["additionalProperties"] is False
        for key, value in table["properties"].items():
            assert value.get("description"), key


def keys_of(value: object) -> Iterator[str]:
    if isinstance(value, dict):
        for key, item in value.items():
            yield key
            yield from keys_of(item)
    if isinstance(value, list):
        for item in value:
            yield from keys_of(item)


def test_the_demo_cars_and_the_starter_use_its_keys_only():
    schema = json_schema()
    tables = [schema, *schema["$defs"].values()]  # pyright: ignore[reportAttributeAccessIssue] a table of tables
    known = {key for table in tables for key in table["properties"]}
    for text in (*(read(name) for name in DEMO_CARS), starter_text()):
        assert set(keys_of(tomllib.loads(text))) <= known


def test_nothing_may_be_null_because_toml_has_none():
    assert "null" not in json_schema_text()
