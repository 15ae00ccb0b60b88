"""The look that all plots have: quiet, told apart by line style as well as colour, the same bytes every time.

One size serves a phone, a screen and paper: 540 px wide with letters that can still be read when it is shown at 390 px.
Colours: Okabe and Ito, "Color Universal Design" (2008), told apart with any common colour vision; from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from textwrap import wrap
from typing import Any

import numpy as np
from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.axis import XAxis, YAxis
from matplotlib.figure import Figure
from matplotlib.ticker import FixedLocator

from axlewright.errors import RequestError

WIDTH = 5.4  # in, at 100 px each
DOTS = 200  # px an inch of a PNG
LETTER = 0.0079  # in, of a letter in a text, for each point of its size: a little more than the mean
BOLD = 1.16  # a bold letter is wider
INK, GREY, FAINT = "#1a1a1a", "#5c5c5c", "#d9d9d9"
COLOURS = ("#0072B2", "#D55E00", "#000000", "#009E73", "#CC79A7", "#56B4E9", "#E69F00")
DASHES = ("-", (0, (5, 2)), (0, (5, 1.5, 1, 1.5)), (0, (1.2, 1.4)))
MARKERS = ("o", "s", "^", "D", "v")
FEW = 16  # places so few that each is marked
ITEM = 50  # letters that fit into a line with room to spare
SHORT = 5  # letters of a number that stands at a place
KINDS = (".svg", ".png")

_RULES: dict[Any, Any] = {
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans", "Verdana", "sans-serif"],  # the first comes with matplotlib; alike in width
    "font.size": 9,
    "text.color": INK,
    "text.parse_math": False,
    "axes.labelcolor": INK,
    "axes.edgecolor": GREY,
    "axes.linewidth": 0.7,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.formatter.useoffset": False,
    "xtick.color": GREY,
    "ytick.color": GREY,
    "xtick.labelcolor": INK,
    "ytick.labelcolor": INK,
    "xtick.major.width": 0.7,
    "ytick.major.width": 0.7,
    "hatch.linewidth": 0.5,
    "svg.fonttype": "none",  # text stays text: it can be searched, and read aloud
    "svg.hashsalt": "axlewright",  # names of shapes in an SVG, else made from chance
}


@contextmanager
def house_style() -> Iterator[None]:
    """Everything drawn inside looks alike."""
    with rc_context(_RULES):
        yield


def kind_of(path: str | Path) -> str:
    """`.svg` or `.png`; raises RequestError for another ending."""
    kind = Path(path).suffix.lower()
    if kind not in KINDS:
        raise RequestError(f'a plot can\'t be written to "{path}": its name must end in .svg or .png')
    return kind


def save(made: Figure, path: str | Path) -> None:
    """Write a picture as SVG or PNG, without the date; raises RequestError where nothing can be written."""
    kind = kind_of(path)
    try:
        if kind == ".svg":
            made.savefig(path, format="svg", metadata={"Date": None, "Creator": "axlewright"})
        else:
            made.savefig(path, format="png", dpi=DOTS, metadata={"Software": "axlewright"})
    except OSError as error:
        raise RequestError(f'the plot can\'t be written to "{path}": {error.strerror or error}') from error


def lines_of(text: str, size: float, *, bold: bool = False) -> list[str]:
    """Text of a size in points, broken into lines of a plot's width."""
    letters = int((WIDTH - 0.3) / (LETTER * size * (BOLD if bold else 1.0)))
    return [line for part in text.splitlines() for line in wrap(part, letters)]


def unbroken(items: Sequence[str]) -> str:
    """Items beside each other; a line breaks only between them, unless one is long."""
    return "   ".join(item.replace(" ", "\u00a0") if len(item) <= ITEM else item for item in items)


def quiet(axes: Axes) -> None:
    """Level lines only, behind everything."""
    axes.grid(axis="y", color=FAINT, linewidth=0.6)
    axes.set_axisbelow(True)
    axes.tick_params(length=3, labelsize=8.5)


def mark_places(along: XAxis | YAxis, places: np.ndarray, unit: str) -> None:
    """A number at each place, where they are few and short enough."""
    few = len(places) <= (FEW if unit == "hole" else FEW / 2)
    if few and all(len(f"{place:g}") <= SHORT for place in places):
        along.set_major_locator(FixedLocator(list(places)))


def ring(axes: Axes, x: float, y: float) -> None:
    """The mark of the present position."""
    axes.plot(x, y, "o", markersize=8, markerfacecolor="none", markeredgecolor=INK, markeredgewidth=1.1, zorder=5)
