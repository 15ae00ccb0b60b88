"""A draft of a car file as the car page shows it: what is wrong with it and where, its form, and its small drawing."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Iterator, Mapping
from dataclasses import asdict
from difflib import SequenceMatcher
from typing import Any

from axlewright.car.check import check_text
from axlewright.car.edit import with_value
from axlewright.car.form import Field, Group, fields_of, form_of, typed
from axlewright.car.key_paths import Place, line_of, places
from axlewright.car.outline import Outline, outline_of
from axlewright.errors import Problem, RequestError
from axlewright.say.quantity import in_units

_LINE = re.compile(r"\(at line (\d+), column \d+\)")
AROUND = 2  # lines shown before and after what differs


def look(text: str, opened: Collection[str] = ()) -> dict[str, Any]:
    """Everything that the page shows of a draft; the form and drawing are None while it is no TOML."""
    report, where = check_text(text, "draft"), places(text)
    last = text.count("\n") + 1
    told = {
        "ok": report.ok,
        "problems": [_told(problem, where, last) for problem in report.problems],
        "warnings": [_told(problem, where, last) for problem in report.warnings],
        "form": None,
        "outline": None,
    }
    try:
        table = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError):
        return told
    form = form_of(text, table, opened)
    return told | {"form": _group(form, where, _unit(table)), "outline": _drawn(outline_of(form, table))}


def changed(text: str, path: str, said: str, opened: Collection[str] = ()) -> str:
    """The draft with what a person typed in one field; nothing typed takes the key out. Raises `RequestError`."""
    try:
        form = form_of(text, tomllib.loads(text), opened)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise RequestError(
            f"found a text that can't be read: {error}. Likeliest fix: mend it there, then use the form"
        ) from error
    if not said.strip() and any(group.path == path and group.given for group in _groups(form)):
        return with_value(text, path, None)
    field = next((field for field in fields_of(form) if field.path == path), None)
    if field is None:
        raise RequestError(f"found no field {path}; expected one of the form. Likeliest fix: change it in the text")
    return text if (field.value or "") == said.strip() else with_value(text, path, typed(field, said))


def differences(theirs: str, mine: str) -> list[dict[str, Any]]:
    """What differs, line by line: "same" near a difference, "theirs" and "mine", and "gap" for what is left out."""
    a, b = theirs.splitlines(), mine.splitlines()
    found: list[dict[str, Any]] = []
    for group in SequenceMatcher(None, a, b, autojunk=False).get_grouped_opcodes(AROUND):
        found.append({"who": "gap", "line": group[0][3] + 1, "text": ""})
        for kind, i, i_end, j, j_end in group:
            if kind == "equal":
                found += [{"who": "same", "line": n + 1, "text": b[n]} for n in range(j, j_end)]
            else:
                found += [{"who": "theirs", "line": n + 1, "text": a[n]} for n in range(i, i_end)]
                found += [{"who": "mine", "line": n + 1, "text": b[n]} for n in range(j, j_end)]
    return found


def _told(problem: Problem, where: Mapping[str, Place], last: int) -> dict[str, Any]:
    at = _LINE.search(problem.found)
    line = int(at[1]) if at else last if "at end of document" in problem.found else line_of(problem.path, where)
    return {**asdict(problem), "line": line}


def _unit(table: Mapping[str, object]) -> str:
    """The unit of bare coordinates."""
    points = table.get("points")
    unit = points.get("unit") if isinstance(points, Mapping) else None
    return unit if unit in ("m", "cm", "mm", "in", "ft") else "m"


def _groups(group: Group) -> Iterator[Group]:
    for entry in group.entries:
        if isinstance(entry, Group):
            yield entry
            yield from _groups(entry)


def _group(group: Group, where: Mapping[str, Place], unit: str) -> dict[str, Any]:
    return {
        "path": group.path, "title": group.title, "about": group.about, "given": group.given, "sort": group.sort,
        "required": group.required, "line": where[group.path].line if group.path in where else None,
        "entries": [
            _field(one, where, unit) if isinstance(one, Field) else _group(one, where, unit) for one in group.entries
        ],
    }  # fmt: skip


def _field(field: Field, where: Mapping[str, Place], unit: str) -> dict[str, Any]:
    """A field with its value in both systems; what is empty is left out, since there are hundreds."""
    shown: dict[str, Any] = {"path": field.path, "title": field.title, "sort": field.sort}
    more = {
        "about": field.about, "value": field.value, "default": field.default, "example": field.example,
        "required": field.required, "words": list(field.words), "least": field.least, "kind": field.kind,
        "line": where[field.path].line if field.path in where else None,
    }  # fmt: skip
    if field.kind and field.value is not None:
        bare = unit if field.sort == "coordinate" else ""
        more |= {"metric": in_units(field.value, field.kind, "metric", bare)}
        more |= {"us": in_units(field.value, field.kind, "us", bare)}
    return shown | {key: value for key, value in more.items() if value not in (None, "", [], False)}


def _drawn(outline: Outline) -> dict[str, Any]:
    return {
        "dots": [{"path": dot.path, "at": [round(c, 4) for c in dot.at], "twin": dot.twin} for dot in outline.dots],
        "lines": [[[round(c, 4) for c in end] for end in line] for line in outline.lines],
        "wheels": [[round(c, 4) for c in wheel] for wheel in outline.wheels],
    }
