"""The car file's JSON Schema, for editors that complete and check TOML."""

from __future__ import annotations

import json
from typing import Any

from axlewright.car.schema import Car

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def json_schema() -> dict[str, object]:
    """JSON Schema of a car file; quantities are strings with a unit, whose `format` is their kind."""
    return {"$schema": DIALECT, **_without_null(Car.model_json_schema(mode="validation"))}


def _without_null(schema: Any) -> Any:
    """TOML has no null: an optional key is left out, so "or null" goes from every choice and every default."""
    if isinstance(schema, list):
        return [_without_null(item) for item in schema if item != {"type": "null"}]
    if not isinstance(schema, dict):
        return schema
    kept = {key: _without_null(value) for key, value in schema.items() if not (key == "default" and value is None)}
    choices = kept.get("anyOf")
    if isinstance(choices, list) and len(choices) == 1:
        only = kept.pop("anyOf")[0]
        return {**only, **kept}
    return kept


def json_schema_text() -> str:
    """The same as text."""
    return json.dumps(json_schema(), indent=2, ensure_ascii=False)
