"""Everything that can go wrong because of what a person asked or wrote.

    AxlewrightError            base: its text is one or more plain sentences
    |- UnitError               a quantity that cannot be read: no unit, wrong dimension, not a number
    |- CarFileError            a car file that cannot be used; carries a list of `Problem`
    |  `- NotACarFileError     not readable as text at all: missing, binary, huge, not TOML
    |- RestError               the car cannot stand as it is drawn
    `- RequestError            a question that makes no sense for this car: unknown phase, adjuster, reading

A state that cannot be reached (no grip left, a link at full stretch) is no error: it is a result code of the solver.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong, or only unusual, in a car file."""

    path: str  # key path in the file, such as "front.spring.rate"
    found: str
    expected: str
    fix: str

    def __str__(self) -> str:
        return f"{self.path}: found {self.found}; expected {self.expected}. Likeliest fix: {self.fix}."


class AxlewrightError(Exception):
    """Base of all errors that a person can put right."""


class UnitError(AxlewrightError):
    """A quantity that cannot be read. `found`, `expected` and `fix` become a `Problem` once the key is known."""

    def __init__(self, found: str, expected: str, fix: str) -> None:
        super().__init__(f"found {found}; expected {expected}. Likeliest fix: {fix}.")
        self.found, self.expected, self.fix = found, expected, fix


class CarFileError(AxlewrightError):
    """A car file that cannot be used. Nothing has been written."""

    def __init__(self, problems: Sequence[Problem], source: str = "car file") -> None:
        count = "1 problem" if len(problems) == 1 else f"{len(problems)} problems"
        super().__init__("\n".join([f"{source}: {count}", *(f"  {problem}" for problem in problems)]))
        self.problems = tuple(problems)
        self.source = source


class NotACarFileError(CarFileError):
    """A file that holds no car at all; one sentence says why."""

    def __init__(self, source: str, found: str, expected: str, fix: str) -> None:
        super().__init__([Problem("(file)", found, expected, fix)], source)


class RequestError(AxlewrightError):
    """A question that makes no sense for this car."""


class RestError(AxlewrightError):
    """The car can't stand as it is drawn: statics leaves a body unheld or asks a part for a force it can't give."""


FEW = 20  # names that a sentence can hold


def known(kind: str, asked: Sequence[str], have: Collection[str]) -> None:
    """Raise RequestError for a name that is not there."""
    for name in asked:
        if name not in have:
            near = get_close_matches(name, have, n=3, cutoff=0.4)
            listed = have if len(have) <= FEW else near
            words = f"did you mean {' or '.join(f'`{n}`' for n in near)}?" if near else "check the name."
            more = f" It has: {', '.join(listed)}." if listed is have else ""
            raise RequestError(f"this car has no {kind} `{name}`: {words}{more}")
