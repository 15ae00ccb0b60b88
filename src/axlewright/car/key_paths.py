"""Key paths of a car file, such as `rear.links[1].chassis`: spelt, taken apart, and found in a text by line.

The finder reads text that may be broken, since it is asked while a person types: it follows strings, brackets and
comments as TOML has them and skips what it can't follow, so that every key before a slip keeps its line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

Step = str | int
Path = tuple[Step, ...]
"""Keys and places in lists, counted from 0 here and from 1 where they are spelt."""

_STEP = re.compile(r"\[(\d+)\]|\.?((?:\"[^\"\n]*\"|[^.\[\]\"])+)")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_STRING = re.compile(r'"""(?:\\.|[^\\])*?"""|\'\'\'.*?\'\'\'|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'', re.DOTALL)
_PLAIN = re.compile(r"\d{4}-\d\d-\d\d \d\d:[^\s,\]\}#]+|[^\s,\]\}#\[\{]+")
DEEPEST = 40  # brackets in brackets; more is no car file


class Place(NamedTuple):
    """Where something is in a text."""

    line: int  # counted from 1
    written: str = ""  # a number, true or false, or text with its quotes, as it is spelt there; "" of what holds others


def spelt(path: Sequence[Step]) -> str:
    """`rear.links[1].chassis`, counted from 1 as people do."""
    text = ""
    for step in path:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{_key(step)}" if text else _key(step)
    return text


def steps(path: str) -> Path:
    """The inverse of `spelt`; raises ValueError for what is no path."""
    found: list[Step] = []
    at = 0
    while at < len(path):
        match = _STEP.match(path, at)
        if match is None or (match[1] == "0") or (match[1] and not found):
            raise ValueError(f"no key path: {path}")
        found.append(int(match[1]) - 1 if match[1] else match[2].strip('"'))
        at = match.end()
    if not found:
        raise ValueError("no key path: it is empty")
    return tuple(found)


def _key(step: str) -> str:
    """A key, in quotes only where a path could be misread without them."""
    return f'"{step}"' if not step or re.search(r'[.\[\]"]', step) else step


def places(text: str) -> dict[str, Place]:
    """Where every table, key and list entry of a TOML text is, by its spelt path."""
    found: dict[str, Place] = {}
    for path, place in _Finder(text).all():
        found.setdefault(spelt(path), place)
    return found


def line_of(path: str, found: Mapping[str, Place]) -> int | None:
    """Line of a path, or of the nearest table above it that is there: where to look for a key that is missing."""
    try:
        where = steps(path)
    except ValueError:
        return None
    above = (spelt(where[:count]) for count in range(len(where), 0, -1))
    return next((found[one].line for one in above if one in found), None)


class _Finder:
    """One walk through a text."""

    def __init__(self, text: str) -> None:
        self.text, self.at, self.line = text, 0, 1
        self.counts: dict[Path, int] = {}  # how many tables of a [[list]] have begun

    def all(self) -> Iterator[tuple[Path, Place]]:
        """Every path with its line, in the text's order."""
        table: Path = ()
        while self._skip():
            line = self.line
            if self.text[self.at] == "[":
                double = self.text.startswith("[[", self.at)
                self._move(2 if double else 1)
                table = self._table(self._keys(), double)
                yield from self._parents((), table, line)
                yield table, Place(line)
            else:
                keys = self._keys()
                if keys and self._take("="):
                    yield from self._parents(table, keys, line)
                    yield from self._value((*table, *keys), line, 0)
            self._to_end()

    def _table(self, keys: Path, double: bool) -> Path:
        """The path of a header: the last table of a list that it goes through is meant."""
        path: Path = ()
        for i, key in enumerate(keys):
            path = (*path, key)
            if double and i == len(keys) - 1:
                self.counts[path] = self.counts.get(path, -1) + 1
            if path in self.counts:
                path = (*path, self.counts[path])
        return path

    @staticmethod
    def _parents(table: Path, keys: Path, line: int) -> Iterator[tuple[Path, Place]]:
        for i in range(1, len(keys)):
            yield (*table, *keys[:i]), Place(line)

    def _value(self, path: Path, line: int, depth: int) -> Iterator[tuple[Path, Place]]:
        """A value: its own path, then what is in it."""
        opening = self.text[self.at] if self._skip(newlines=depth > 0) else ""
        if opening in ("[", "{") and depth < DEEPEST:
            yield path, Place(line)
            yield from self._entries(path, "]" if opening == "[" else "}", depth)
        else:
            match = _STRING.match(self.text, self.at) or _PLAIN.match(self.text, self.at)
            written = match[0] if match else ""
            yield path, Place(line, written)
            self._move(len(written))

    def _entries(self, path: Path, closing: str, depth: int) -> Iterator[tuple[Path, Place]]:
        self._move(1)
        count = 0
        while self._skip() and not self._take(closing):
            start, line = self.at, self.line
            if closing == "}":
                keys = self._keys()
                if keys and self._take("="):
                    yield from self._parents(path, keys, line)
                    yield from self._value((*path, *keys), line, depth + 1)
            else:
                yield from self._value((*path, count), line, depth + 1)
                count += 1
            self._skip()
            if not self._take(",") and self.at == start:
                return  # nothing here can be followed: the rest of the line is skipped

    def _keys(self) -> Path:
        """A dotted key."""
        found: list[Step] = []
        while True:
            self._skip(newlines=False)
            match = _STRING.match(self.text, self.at) or _BARE.match(self.text, self.at)
            if match is None:
                return tuple(found)
            found.append(match[0].strip("\"'"))
            self._move(len(match[0]))
            self._skip(newlines=False)
            if not self._take("."):
                return tuple(found)

    def _take(self, mark: str) -> bool:
        taken = self.text.startswith(mark, self.at)
        if taken:
            self._move(len(mark))
        return taken

    def _skip(self, newlines: bool = True) -> bool:
        """Past blanks and comments; False at the end of the text."""
        while self.at < len(self.text):
            character = self.text[self.at]
            if character == "#":
                end = self.text.find("\n", self.at)
                self.at = len(self.text) if end < 0 else end
            elif character in " \t\r" or (newlines and character == "\n"):
                self._move(1)
            else:
                return True
        return False

    def _to_end(self) -> None:
        """To the end of the line."""
        end = self.text.find("\n", self.at)
        self._move((len(self.text) if end < 0 else end) - self.at)

    def _move(self, count: int) -> None:
        self.line += self.text.count("\n", self.at, self.at + count)
        self.at += count
