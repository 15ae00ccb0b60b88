"""Car files as plain tables, for tests that change one thing in them."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from typing import Any

from axlewright.car.file import checked, from_table, read
from axlewright.car.schema import Car
from axlewright.errors import CarFileError, Problem

Change = Callable[[dict[str, Any]], object]


def table_of(name: str = "teasel") -> dict[str, Any]:
    """A fresh copy of a demo car's tables."""
    return tomllib.loads(read(name))


def put(path: str, value: object) -> Change:
    """A change that sets a key, such as `front.spring.rate` or `rear.links.0.name`; missing tables are made."""

    def change(table: dict[str, Any]) -> None:
        *steps, last = path.split(".")
        here: Any = table
        for step in steps:
            here = here[int(step)] if isinstance(here, list) else here.setdefault(step, {})
        if isinstance(here, list):
            here[int(last)] = value
        else:
            here[last] = value

    return change


def without(path: str) -> Change:
    """A change that removes a key."""

    def change(table: dict[str, Any]) -> None:
        *steps, last = path.split(".")
        here: Any = table
        for step in steps:
            here = here[int(step)] if isinstance(here, list) else here[step]
        del here[int(last) if isinstance(here, list) else last]

    return change


def changed(*changes: Change, name: str = "teasel") -> Car:
    """A demo car with changes, read and checked."""
    table = table_of(name)
    for change in changes:
        change(table)
    return checked(from_table(table))


def problems(*changes: Change, name: str = "teasel") -> tuple[Problem, ...]:
    """What is wrong with a demo car after changes; empty when nothing is."""
    try:
        changed(*changes, name=name)
    except CarFileError as error:
        return error.problems
    return ()


def the_problem(*changes: Change, name: str = "teasel") -> Problem:
    """The one thing that is wrong with a demo car after changes."""
    found = problems(*changes, name=name)
    assert len(found) == 1, [str(problem) for problem in found]
    return found[0]
