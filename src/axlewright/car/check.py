"""Everything that can be said about a car file without solving it: problems that stop it, warnings that do not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path

from axlewright.car.checks.sanity import sanity_warnings
from axlewright.car.describe import describe
from axlewright.car.file import checked, load, parse
from axlewright.car.schema import Car
from axlewright.errors import CarFileError, Problem

VERSION = 1  # of the data


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
    return _report(str(source), lambda: load(source))


def check_text(text: str, source: str = "car file") -> Report:
    """Check the text of a car file; never raises for what is wrong in it."""
    return _report(source, lambda: checked(parse(text, source), source))


def report_data(report: Report) -> dict[str, object]:
    """{"version", "source", "ok", "problems", "warnings"}: each of both with path, found, expected and fix."""
    told: dict[str, object] = {"version": VERSION, "source": report.source, "ok": report.ok}
    return told | {key: [asdict(p) for p in getattr(report, key)] for key in ("problems", "warnings")}


def _report(source: str, read: Callable[[], Car]) -> Report:
    try:
        car = read()
    except CarFileError as error:
        return Report(source, error.problems)
    mechanism, values = describe(car)
    return Report(source, (), tuple(sanity_warnings(car, mechanism, values)))
