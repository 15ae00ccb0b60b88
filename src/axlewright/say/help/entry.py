"""What help is made of: sections of entries, each with an address of its own."""

from __future__ import annotations

import inspect
import re
import sys
from collections.abc import Callable, Iterator
from functools import partial
from typing import NamedTuple

from axlewright.say.search_words import other_words

# Shapes of arrays, which say nothing to who reads help: "(B,)", "(T, W, B)".
_SHAPE = re.compile(r",?\s*\((?:[TWnB](?:, )?)+,?\)")


class Entry(NamedTuple):
    """One thing: what it is called, what it means, and facts about it as pairs of label and text."""

    anchor: str  # of its own address: /help#reading-balance
    name: str
    about: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    also: str = ""  # what else people search it by


class Section(NamedTuple):
    """Entries that belong together, with what is common to them."""

    anchor: str
    part: str  # of help: a heading over several sections
    title: str
    about: str
    entries: tuple[Entry, ...]


def entry(anchor: str, name: str, about: str = "", **facts: str) -> Entry:
    """An entry with the facts that there are; a label is a keyword with its underscores as blanks."""
    kept = tuple((label.replace("_", " "), text) for label, text in facts.items() if text)
    return Entry(anchor_of(anchor), name, about, kept, other_words(name, about))


def anchor_of(text: str) -> str:
    """A name as the part of an address behind its #."""
    return re.sub(r"[^A-Za-z0-9_.-]+", "-", text).strip("-")


def paragraphs(doc: str | None) -> str:
    """A docstring as text: lines of a paragraph joined, paragraphs apart, shapes of arrays left out."""
    blocks = re.split(r"\n\s*\n", inspect.cleandoc(doc or ""))
    return "\n\n".join(_SHAPE.sub("", " ".join(block.split())) for block in blocks if block)


def told_by(read: object) -> str:
    """What the function behind a reading says of itself; of one made of others, what each says."""
    said = dict.fromkeys(
        paragraphs(function.__doc__) for function in functions(read) if function.__name__ != "<lambda>"
    )
    return " ".join(text for text in said if text)


def functions(read: object) -> Iterator[Callable[..., object]]:
    """Functions inside a reading's `read`, innermost first."""
    if isinstance(read, partial):
        inner = [one for one in (*read.args, *read.keywords.values()) if callable(one)]
        for one in inner:
            yield from functions(one)
        # What only wraps another function is no part of what the reading means.
        if not any(not isinstance(one, type) for one in read.args if callable(one)):
            yield from functions(read.func)
    elif inspect.isfunction(read):
        yield read


def module_of(read: object) -> str:
    """Name of the module that a reading is defined in."""
    return next((one.__module__ for one in functions(read)), "")


def about_module(name: str) -> tuple[str, str]:
    """Title and explanation of a module: the first sentence of its docstring, and the rest."""
    text = paragraphs(getattr(sys.modules.get(name), "__doc__", ""))
    first, _, rest = text.partition("\n\n")
    return first.rstrip("."), rest
