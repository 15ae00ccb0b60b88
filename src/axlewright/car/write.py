"""A car file written back with its owner's comments and order kept, whole or not at all."""

from __future__ import annotations

import os
import re
import tempfile
import tomllib
import unicodedata
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path

import tomlkit

from axlewright.car.file import LARGEST, checked, parse
from axlewright.errors import RequestError

LONGEST = 60  # letters of a file name
MOST_ALIKE = 100  # files with one name and a number behind it
MOST_FILES = 300  # of a folder that are looked at


def with_positions(text: str, positions: Mapping[str, float]) -> str:
    """The same car file with its `[setup]` table giving these adjuster positions, everything else untouched.

    A position of an adjuster that is already in `[setup]` is replaced in place; others are added at its end.
    """
    document = tomlkit.parse(text)
    if "setup" not in document:
        document["setup"] = tomlkit.table()
    setup = document["setup"]
    for adjuster, position in positions.items():
        setup[adjuster] = _plain(position)  # pyright: ignore[reportIndexIssue] a table
    return tomlkit.dumps(document)


def with_setup(
    text: str,
    name: str,
    positions: Mapping[str, float],
    *,
    author: str = "",
    date: datetime | None = None,
    why: str = "",
    on_car: bool = False,
) -> str:
    """The same car file with a named setup kept in `[setups]`, one of that name replaced, everything else untouched.

    `positions` are single adjusters that stand elsewhere than drawn. With `on_car` the table `[setup]` says just these
    too: they are what the car stands at.
    """
    document = tomlkit.parse(text)
    if "setups" not in document:
        document["setups"] = tomlkit.table(is_super_table=True)
    entry = tomlkit.table()
    for key, value in (("author", author), ("date", date), ("why", why)):
        if value:
            entry[key] = value
    held = tomlkit.inline_table()
    held.update({key: _plain(position) for key, position in positions.items()})
    entry["positions"] = held
    document["setups"][name] = entry  # pyright: ignore[reportIndexIssue] a table
    if on_car:
        if "setup" not in document:
            document["setup"] = tomlkit.table()
        setup = document["setup"]
        for key in [key for key in setup if key not in positions]:  # pyright: ignore[reportGeneralTypeIssues] a table
            del setup[key]  # pyright: ignore[reportIndexIssue] a table
        for key, position in positions.items():
            if key not in setup or float(setup[key]) != position:  # pyright: ignore a table of numbers
                setup[key] = _plain(position)  # pyright: ignore[reportIndexIssue] a table
    return tomlkit.dumps(document)


def _plain(position: float) -> int | float:
    return int(position) if float(position).is_integer() else float(position)


def write(path: str | Path, text: str) -> None:
    """Write a car file. The text is read as a car first: a bad one raises `CarFileError` and nothing is written."""
    checked(parse(text, str(path)), str(path))
    write_text(path, text)


def write_text(path: str | Path, text: str) -> None:
    """Replace a file in one step: after a crash it holds the old text or the new one, never a part."""
    target = Path(path)
    mode = target.stat().st_mode & 0o777 if target.exists() else 0o644
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.")
    temporary = Path(name)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        temporary.chmod(mode)
        temporary.replace(target)
    finally:
        temporary.unlink(missing_ok=True)


def file_name(name: str) -> str:
    """A car's name as a file name, without its ending: letters, digits and dashes, whatever a person called it."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:LONGEST].strip("-") or "car"


def write_new(folder: Path, name: str, text: str) -> Path:
    """Write a car file of its own, NAME.toml or the next free NAME-2.toml: never over a file that is there.

    The text is read as a car first: a bad one raises `CarFileError` and nothing is written.
    """
    checked(parse(text, name), name)
    for number in range(1, MOST_ALIKE):
        target = folder / f"{name}{'' if number == 1 else f'-{number}'}.toml"
        try:
            target.touch(mode=0o644, exist_ok=False)  # the name is ours, or taken, in one step
        except FileExistsError:
            continue
        write_text(target, text)
        return target
    raise RequestError(
        f"found {MOST_ALIKE} car files called {name}; expected a free name. Likeliest fix: rename the car"
    )


def car_files(folder: Path) -> list[Path]:
    """Car files in a folder, by name: TOML files that have what every car file has."""
    found = sorted(path for path in folder.glob("*.toml") if path.is_file() and path.stat().st_size <= LARGEST)
    return [path for path in found[:MOST_FILES] if _looks_like_a_car(path)]


def _looks_like_a_car(path: Path) -> bool:
    try:
        table = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except (OSError, ValueError, RecursionError):
        return False
    return {"name", "front", "rear"} <= table.keys()
