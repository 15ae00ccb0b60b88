"""A car file written back with its owner's comments and order kept, whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
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
        setup[adjuster] = int(position) if float(position).is_integer() else float(position)  # pyright: ignore[reportIndexIssue, reportArgumentType] a table
    return tomlkit.dumps(document)


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
