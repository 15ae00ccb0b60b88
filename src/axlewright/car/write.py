"""A car file written back with its owner's comments and order kept, whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path

import tomlkit

from axlewright.car.file import checked, parse


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
