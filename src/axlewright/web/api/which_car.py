"""Which car a question is about. A name never becomes a path: it is a demo car's, or it is unknown."""

from __future__ import annotations

from difflib import get_close_matches
from functools import lru_cache

from axlewright.car.check import Report, check_text
from axlewright.car.file import DEMO_CARS, LARGEST, checked, demo_text, parse
from axlewright.car.schema import Car
from axlewright.errors import NotACarFileError, RequestError
from axlewright.web.api.question import BENCH, OfCar
from axlewright.web.bench import Bench

KEPT = 16  # cars read from text, the demo cars among them


class UnknownCarError(RequestError):
    """There is no car of this name."""


class Cars:
    """The car on the bench, demo cars, and cars sent as text."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench

    def car(self, asked: OfCar) -> Car:
        """The car; raises `CarFileError` for a text that is none, `UnknownCarError` for a name that nothing has."""
        if asked.text is not None:
            return _read(_fitting(asked.text), "text")
        if asked.car == BENCH:
            return self.bench.now()
        return self.named(asked.car)

    def named(self, name: str) -> Car:
        """A demo car."""
        return _read(_demo(name), name)

    def report(self, asked: OfCar) -> Report:
        """What is wrong with the car, and what is unusual."""
        if asked.text is not None:
            return check_text(_fitting(asked.text), "text")
        if asked.car == BENCH:
            file = self.bench.file
            return check_text(self.bench.text, file.name if file else self.bench.mounted.source)
        return check_text(_demo(asked.car), asked.car)


def _demo(name: str) -> str:
    if name not in DEMO_CARS:
        near = get_close_matches(name, (BENCH, *DEMO_CARS), n=1)
        fix = f'write "{near[0]}"' if near else "send a car file's text as `text`"
        raise UnknownCarError(
            f'found car "{name}"; expected "{BENCH}" or one of {", ".join(DEMO_CARS)}. Likeliest fix: {fix}.'
        )
    return demo_text(name)


def _fitting(text: str) -> str:
    size = len(text.encode("utf-8", "replace"))
    if size > LARGEST:
        expected = f"a car file of at most {LARGEST / 1e6:g} MB"
        raise NotACarFileError("text", f"{size / 1e6:.1f} MB", expected, "send the car file")
    return text


@lru_cache(maxsize=KEPT)
def _read(text: str, source: str) -> Car:
    return checked(parse(text, source), source)
