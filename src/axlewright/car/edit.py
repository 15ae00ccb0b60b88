"""One value of a car file's text changed, with its owner's comments, order and spelling kept.

A change is made in the parsed document, which keeps everything that nobody touched, and then looked at: what the new
text says must be what the old one said but for this value. A text for which that fails is left as it was, and the
person is told to change it by hand.
"""

from __future__ import annotations

import copy
import math
import tomllib
from collections.abc import MutableMapping, MutableSequence
from datetime import date
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Array, InlineTable, Table

from axlewright.car.key_paths import Path, Step, steps
from axlewright.errors import RequestError

BY_HAND = "Likeliest fix: change it in the text."


def with_value(text: str, path: str, value: object) -> str:
    """The same car file with the value at a key path replaced, added or, for None, taken out.

    `path` is spelt as in a problem: `rear.links[1].thread`. `value`: text, a number, true or false, a list of these,
    a table, or a TOML item, which keeps its own spelling. Tables on the way that are missing are added; an entry of a
    list one beyond its end is added to it. Raises RequestError when the text is no TOML or has no such place.
    """
    try:
        where, before = steps(path), tomllib.loads(text)
        document = tomlkit.parse(text)
    except (ValueError, RecursionError, TOMLKitError) as error:
        raise RequestError(f"found {error}; expected a car file and a key path in it. {BY_HAND}") from error
    wanted = copy.deepcopy(before)
    plain = tomlkit.item(value).unwrap() if value is not None else None
    try:
        _put(wanted, where, plain, tables=False)
        _put(document, where, value, tables=True)
        written = tomlkit.dumps(document)
        if "\r\n" in text and "\n" not in text.replace("\r\n", ""):  # new lines end as the owner's do
            written = written.replace("\r\n", "\n").replace("\n", "\r\n")
        if tomllib.loads(written) == wanted:
            return written
    except (KeyError, IndexError, TypeError, AttributeError, ValueError, TOMLKitError):
        pass
    raise RequestError(f"found no place for {path} in this car file that could be changed by itself. {BY_HAND}")


def literal(text: str) -> object:
    """A number as it was typed, such as 0.100, kept in that spelling where TOML has it; raises ValueError."""
    said = text.strip().replace("\N{MINUS SIGN}", "-")
    value = float(said)
    if not math.isfinite(value):
        raise ValueError(text)
    try:
        found = tomlkit.value(said)
    except TOMLKitError:
        return value  # such as .5 or 012
    return found if isinstance(found, int | float) else value


def moment(text: str) -> object:
    """A date and time as it was typed, or the text when it is none."""
    try:
        found = tomlkit.value(text)
    except TOMLKitError:
        return text
    return found if isinstance(found, date) else text


def _put(root: Any, where: Path, value: object, *, tables: bool) -> None:
    """Change plain data or a document in place; `tables`: new tables are a document's own."""
    at, parents = root, []
    for i, step in enumerate(where[:-1]):
        parents.append((at, step))
        at = _inside(at, step, where[i + 1 :], tables)
    if value is None:
        del at[where[-1]]
        _tidied(parents, at)
    elif isinstance(at, MutableSequence) and where[-1] == len(at):
        at.append(_entry(value, tables) if isinstance(at, AoT) else value)
    else:
        at[where[-1]] = value  # pyright: ignore[reportCallIssue, reportArgumentType] a wrong step raises


def _inside(at: Any, step: Step, rest: Path, tables: bool) -> Any:
    """What a step leads to, made when it is missing: a list where an entry is wanted next, else a table."""
    missing = step not in at if isinstance(at, MutableMapping) else step == len(at)
    if missing:
        fresh: object = [] if isinstance(rest[0], int) else {}
        if tables:
            fresh = _fresh(at, rest)
        if isinstance(at, MutableSequence):
            at.append(fresh)
        else:
            at[step] = fresh
    return at[step]  # pyright: ignore[reportCallIssue, reportArgumentType] a wrong step raises


def _fresh(at: Any, rest: Path) -> object:
    """A new part of a document in the style of what it goes into: in place in a list or {table}, else with a header."""
    in_place = isinstance(at, InlineTable | Array)
    if isinstance(rest[0], int):
        return tomlkit.aot() if len(rest) > 1 and isinstance(rest[1], str) and not in_place else tomlkit.array()
    return tomlkit.inline_table() if in_place else tomlkit.table()


def _entry(value: object, tables: bool) -> object:
    """A table of a [[list]]."""
    if not tables or isinstance(value, Table):
        return value
    table = tomlkit.table()
    table.update(value)  # pyright: ignore[reportArgumentType, reportCallIssue] a mapping
    return table


def _tidied(parents: list[tuple[Any, Step]], at: Any) -> None:
    """A list of tables whose last entry was taken out goes with it: empty, it can't be written."""
    if isinstance(at, (list, AoT)) and not len(at) and parents:
        parent, step = parents[-1]
        del parent[step]
