"""A car file read, and written back with its owner's comments and order kept.

`load("teasel")` reads a demo car, `load("my-car.toml")` a file. Nothing is ever written to a file that can't be read.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import ValidationError

from axlewright.car.explain import problems_of
from axlewright.car.schema import Car
from axlewright.car.schema.point import Frame, Points
from axlewright.errors import CarFileError, NotACarFileError

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

LARGEST = 2_000_000  # bytes; a car file by hand is a few kB, so more is some other file
DEMO_CARS = ("teasel", "bramble")


def load(source: str | Path) -> Car:
    """The car in a file, or the demo car of that name; raises `CarFileError` with every problem found."""
    return parse(read(source), str(source))


def read(source: str | Path) -> str:
    """Text of a car file or demo car; raises `NotACarFileError`."""
    name = str(source)
    if name in DEMO_CARS and not Path(name).exists():
        return (files("axlewright.car.demo") / f"{name}.toml").read_text(encoding="utf-8")
    return _text(Path(source))


def _text(path: Path) -> str:
    expected = "a car file (TOML text)"
    try:
        if path.is_dir():
            raise NotACarFileError(str(path), "a folder", expected, "name the file in it")
        if path.stat().st_size > LARGEST:
            size = f"a file of {path.stat().st_size / 1e6:.1f} MB"
            raise NotACarFileError(str(path), size, f"{expected} of at most {LARGEST / 1e6:.0f} MB", "name the car file")
        data = path.read_bytes()
    except FileNotFoundError as error:
        fix = f"check the name, or use a demo car: {', '.join(DEMO_CARS)}"
        raise NotACarFileError(str(path), "no such file", expected, fix) from error
    except OSError as error:
        raise NotACarFileError(str(path), f"a file that can't be read ({error.strerror})", expected, "check its permissions") from error
    try:
        if b"\0" in data:
            raise ValueError
        return data.decode("utf-8-sig")
    except ValueError as error:
        raise NotACarFileError(str(path), "binary data", expected, "name the car file, or save it as UTF-8 text") from error


def parse(text: str, source: str = "car file") -> Car:
    """The car that a TOML text describes; raises `CarFileError` with every problem found."""
    import tomllib

    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        fix = 'look at that line for a missing quote, bracket or "="'
        raise NotACarFileError(source, f"text that is not TOML: {error}", "a car file (TOML text)", fix) from error
    except RecursionError as error:
        raise NotACarFileError(source, "tables nested without end", "a car file (TOML text)", "name the car file") from error
    return from_table(table, source)


def from_table(table: Mapping[str, object], source: str = "car file") -> Car:
    """The car in plain tables, such as those of a TOML file."""
    try:
        frame = Frame.of(Points.model_validate(table.get("points")))
    except ValidationError:
        frame = Frame()  # what is wrong with [points] is reported with the rest
    try:
        return Car.model_validate(table, context={"frame": frame})
    except ValidationError as error:
        raise CarFileError(problems_of(error, table), source) from error


def document(text: str) -> TOMLDocument:
    """A car file that can be changed with its comments and order kept."""
    import tomlkit

    return tomlkit.parse(text)


def with_positions(text: str, positions: Mapping[str, float]) -> str:
    """The same car file with its `[setup]` table giving these adjuster positions, everything else untouched.

    A position of an adjuster that is already in `[setup]` is replaced in place; others are added at its end.
    """
    import tomlkit

    doc = tomlkit.parse(text)
    setup = doc.get("setup")
    if setup is None:
        setup = tomlkit.table()
        doc.add("setup", setup)
    for adjuster, position in positions.items():
        setup[adjuster] = int(position) if float(position).is_integer() else float(position)
    return tomlkit.dumps(doc)


def write(path: str | Path, text: str, source: str | None = None) -> None:
    """Write a car file whole or not at all; the text is read as a car first, so a bad one raises and writes nothing."""
    parse(text, source or str(path))
    target = Path(path)
    handle, temporary = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(temporary, target.stat().st_mode & 0o777 if target.exists() else 0o644)
        os.replace(temporary, target)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
