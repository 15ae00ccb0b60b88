"""Which states of parts are worth a line, and how a part is called in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

ORDINARY = {"rolling", "standing", "clear", "turning", "spring", "stable"}  # not worth a line
TORQUE_LINKS = ("drive_link.drive", "brake_link.brake")  # always worth one
BAD = {"lifted", "locked", "spinning", "loose", "bound", "toggle", "unstable", "stop"}  # said louder


class PartState(NamedTuple):
    """A part and the word for its state."""

    part: str
    word: str
    bad: bool


def part_name(path: str) -> str:
    """A part's path in words."""
    return path.replace(".", " ").replace("_", " ")


def is_ordinary(path: str, words: set[str]) -> bool:
    """Whether a part that is in these states is left out."""
    return words <= ORDINARY and not path.endswith(TORQUE_LINKS)


def worth_a_line(words: Mapping[str, str]) -> tuple[list[PartState], int]:
    """Parts of one state that are worth a line, and how many others there are."""
    told = [
        PartState(part_name(path), word, word in BAD) for path, word in words.items() if not is_ordinary(path, {word})
    ]
    return told, len(words) - len(told)
