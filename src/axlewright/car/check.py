"""Everything that can be said about a car file without solving it: problems that stop it, warnings that do not."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from axlewright.car.checks.sanity import sanity_warnings
from axlewright.car.describe import describe
from axlewright.car.file import load
from axlewright.errors import CarFileError, Problem


@dataclass(frozen=True, slots=True)
class Report:
    """What `check` found."""

    source: str
    problems: tuple[Problem, ...]  # the car cannot be used
    warnings: tuple[Problem, ...] = ()  # unusual; never refused

    @property
    def ok(self) -> bool:
        """Whether the car can be used."""
        return not self.problems


def check(source: str | Path) -> Report:
    """Check a car file or demo car; never raises for what is wrong in it."""
    try:
        car = load(source)
    except CarFileError as error:
        return Report(str(source), error.problems)
    mechanism, values = describe(car)
    return Report(str(source), (), tuple(sanity_warnings(car, mechanism, values)))
