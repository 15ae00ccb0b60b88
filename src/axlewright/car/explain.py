"""What is wrong with a car file, in words: schema errors turned into problems with a key path and a likeliest fix."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from axlewright.car.key_paths import spelt
from axlewright.car.schema import Car
from axlewright.car.schema.sides import Override, optional
from axlewright.errors import Problem


def problems_of(error: ValidationError, table: Mapping[str, object]) -> list[Problem]:
    """Every problem of a refused car file, in the file's order, with keys as the file has them."""
    details = error.errors(include_url=False)
    places = [detail["loc"] for detail in details]
    return [_problem(detail, table) for detail in details if not _follows(detail, places)]


def _follows(detail: ErrorDetails, places: Sequence[tuple[str | int, ...]]) -> bool:
    """A list is called too short also when it is one of its entries that is wrong: that is told already."""
    place = detail["loc"]
    inside = any(len(other) > len(place) and other[: len(place)] == place for other in places)
    return detail["type"] == "too_short" and inside


def _problem(detail: ErrorDetails, table: Mapping[str, object]) -> Problem:
    location = _in_file(detail["loc"], table)
    path = spelt(location) or "(file)"
    kind, found = detail["type"], detail["input"]
    context = detail.get("ctx", {})
    if kind == "axlewright":
        return Problem(path, context["found"], context["expected"], context["fix"])
    if kind == "extra_forbidden":
        return _unknown_key(path, location, table)
    if kind == "missing":
        what = _description(location)
        key = f"`{location[-1]}`"
        return Problem(path, "nothing", f"{key}{f': {what}' if what else ''}", f"add {key}")
    if kind == "union_tag_invalid":
        key = str(context["discriminator"]).strip("'")
        path, found = f"{path}.{key}", context["tag"]
    if kind in ("literal_error", "union_tag_invalid"):
        choices = str(context.get("expected") or context.get("expected_tags"))
        near = difflib.get_close_matches(str(found), choices.replace("'", "").replace(" or ", ", ").split(", "), n=1)
        return Problem(
            path, _shown(found), f"one of {choices}", f'write "{near[0]}"' if near else "choose one of these"
        )
    if kind == "union_tag_not_found":
        key = str(context["discriminator"]).strip("'")
        return Problem(f"{path}.{key}", "nothing", f"`{key}`, which says what kind it is", f"add `{key}`")
    message = str(detail["msg"])
    expected = message.removeprefix("Input should be ").removeprefix("Value error, ")
    return Problem(path, _shown(found), expected, _fix_for(kind))


def _unknown_key(path: str, location: Sequence[str | int], table: Mapping[str, object]) -> Problem:
    model = _model_at(location[:-1], table)
    known = sorted(model.model_fields) if model is not None else []
    near = difflib.get_close_matches(str(location[-1]), known, n=1, cutoff=0.6)
    expected = f"one of {', '.join(known)}" if known else "no such key"
    fix = (
        f"write `{near[0]}` instead of `{location[-1]}`"
        if near
        else "remove it, or move it to the table that it belongs to"
    )
    return Problem(path, f"the unknown key `{location[-1]}`", expected, fix)


def _fix_for(kind: str) -> str:
    if kind.startswith(("model_type", "dict_type", "model_attributes_type")):
        return "make it a table of its own, in [square.brackets]"
    if kind.startswith("tuple_type"):
        return "make it a list in square brackets, or a table in [[double brackets]] for each entry"
    if kind in ("too_short", "string_too_short"):
        return "fill it in"
    if kind.startswith("string_pattern"):
        return "use small letters, digits and underscores, beginning with a letter"
    return "change the value"


def _shown(found: object) -> str:
    if isinstance(found, Mapping):
        return "a table"
    text = repr(found) if not isinstance(found, str) else f'"{found}"'
    return text if len(text) <= 60 else f"{text[:57]}..."


def _in_file(location: Sequence[str | int], table: Mapping[str, object]) -> list[str | int]:
    """The location without the steps that only the schema has, such as the tag of a union."""
    kept: list[str | int] = []
    here: object = table
    told: object = None
    for i, step in enumerate(location):
        last = i == len(location) - 1
        if isinstance(here, Mapping) and here is not told and step not in here and step in _tags(here):
            told = here  # once: a key may be called like the tag
            continue
        if (isinstance(here, Mapping) and (step in here or last)) or (
            isinstance(here, (list, tuple)) and isinstance(step, int) and step < len(here)
        ):
            kept.append(step)
            here = _inside(here, step)
        elif isinstance(here, (list, tuple)):
            break  # a point where holes may be: the schema goes on, the file does not
    return kept


def _tags(here: Mapping[Any, object]) -> tuple[object, object]:
    return here.get("layout"), here.get("law")


def _model_at(location: Sequence[str | int], table: Mapping[str, object]) -> type[BaseModel] | None:
    """The schema class of the table at a location."""
    model: type[BaseModel] = Car
    here: object = table
    for step in location:
        here = _inside(here, step)
        if isinstance(step, int):
            continue
        field = model.model_fields.get(step)
        if field is None:
            return model if model is Car and step != location[0] else None
        override = next((meta for meta in field.metadata if isinstance(meta, Override)), None)
        if override is not None:
            model = optional(override.model)
            continue
        models = _classes(field.annotation)
        tagged = [kind for kind in models if _tag_fits(kind, here)]
        if not models:
            return None
        model = (tagged or models)[0]
    return model


def _inside(here: object, step: str | int) -> object:
    if isinstance(step, int):
        return here[step] if isinstance(here, (list, tuple)) and step < len(here) else None
    return here.get(step) if isinstance(here, Mapping) else None


def _classes(annotation: object) -> list[type[BaseModel]]:
    if isinstance(annotation, type) and not get_args(annotation):
        return [annotation] if issubclass(annotation, BaseModel) else []
    return [kind for part in get_args(annotation) for kind in _classes(part)]


def _tag_fits(model: type[BaseModel], here: object) -> bool:
    return isinstance(here, Mapping) and all(
        here.get(key) in get_args(model.model_fields[key].annotation)
        for key in ("law", "layout")
        if key in model.model_fields
    )


def _description(location: Sequence[str | int]) -> str:
    model = _model_at(location[:-1], {})
    field = None if model is None else model.model_fields.get(str(location[-1]))
    return (field.description or "") if field is not None else ""
