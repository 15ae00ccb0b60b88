"""A car file read: `load("teasel")` for a demo car, `load("my-car.toml")` for a file."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path

from pydantic import ValidationError

from axlewright.car.checks import problems_of_car
from axlewright.car.explain import problems_of
from axlewright.car.schema import Car
from axlewright.car.schema.point import Frame, Points
from axlewright.errors import CarFileError, NotACarFileError

LARGEST = 2_000_000  # bytes; a car file written by hand is a few kB, so more is some other file
DEMO_CARS = tuple(
    sorted(item.name[:-5] for item in files("axlewright.car.demo").iterdir() if item.name.endswith(".toml"))
)
EXPECTED = "a car file (TOML text)"


def load(source: str | Path) -> Car:
    """The car in a file, or the demo car of that name; raises `CarFileError` with every problem found.

    A car that is returned can be described and solved: its points, masses, heights and freedoms have been looked at.
    """
    return checked(parse(read(source), str(source)), str(source))


def checked(car: Car, source: str = "car file") -> Car:
    """The same car; raises `CarFileError` when it contradicts itself or can't move as a suspension must."""
    problems = problems_of_car(car)
    if problems:
        raise CarFileError(problems, source)
    return car


def read(source: str | Path) -> str:
    """Text of a car file or demo car; raises `NotACarFileError`."""
    name = str(source)
    if name in DEMO_CARS and not Path(name).is_file():
        return demo_text(name)
    return decoded(_bytes(Path(source)), name)


def demo_text(name: str) -> str:
    """Text of a demo car, one of `DEMO_CARS`."""
    return (files("axlewright.car.demo") / f"{name}.toml").read_text(encoding="utf-8")


def _bytes(path: Path) -> bytes:
    name = str(path)
    try:
        if path.is_dir():
            raise NotACarFileError(name, "a folder", EXPECTED, "name the file in it")
        size = path.stat().st_size
        if size > LARGEST:
            expected = f"{EXPECTED} of at most {LARGEST / 1e6:.0f} MB"
            raise NotACarFileError(name, f"a file of {size / 1e6:.1f} MB", expected, "name the car file")
        return path.read_bytes()
    except FileNotFoundError as error:
        fix = f"check the name, or use a demo car: {', '.join(DEMO_CARS)}"
        raise NotACarFileError(name, "no such file", EXPECTED, fix) from error
    except OSError as error:
        found = f"a file that can't be read ({error.strerror})"
        raise NotACarFileError(name, found, EXPECTED, "check its permissions") from error


def decoded(data: bytes, name: str) -> str:
    """UTF-8 text of a car file, with or without a byte order mark; raises `NotACarFileError`."""
    if len(data) > LARGEST:
        expected = f"{EXPECTED} of at most {LARGEST / 1e6:.0f} MB"
        raise NotACarFileError(name, f"a file of {len(data) / 1e6:.1f} MB", expected, "name the car file")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        fix = "name the car file, or save it as UTF-8 text"
        raise NotACarFileError(name, "binary data, or text that is not UTF-8", EXPECTED, fix) from error
    if "\0" in text:  # never in text
        raise NotACarFileError(name, "binary data", EXPECTED, "name the car file")
    return text


def parse(text: str, source: str = "car file") -> Car:
    """The car that a TOML text describes, each value on its own; raises `CarFileError` with every problem found."""
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        fix = 'look there for a missing quote, bracket or "="'
        raise NotACarFileError(source, f"text that is not TOML: {error}", EXPECTED, fix) from error
    except RecursionError as error:
        raise NotACarFileError(source, "tables nested without end", EXPECTED, "name the car file") from error
    return from_table(table, source)


def from_table(table: Mapping[str, object], source: str = "car file") -> Car:
    """The car in plain tables, such as those of a TOML file; raises `CarFileError` with every problem found."""
    try:
        frame = Frame.of(Points.model_validate(table.get("points")))
    except ValidationError:
        frame = Frame()  # what is wrong with [points] is reported with the rest
    try:
        return Car.model_validate(table, context={"frame": frame})
    except ValidationError as error:
        raise CarFileError(problems_of(error, table), source) from error
