"""The starter file: a whole car with every table explained, to change into one's own."""

from __future__ import annotations

from importlib.resources import files


def starter_text(name: str = "my car") -> str:
    """Text of a commented car file that loads and checks clean; `name` becomes the car's name."""
    quoted = name.replace("\\", "\\\\").replace('"', '\\"')
    text = (files("axlewright.car") / "starter.toml").read_text(encoding="utf-8")
    return text.replace("{name}", quoted, 1)
