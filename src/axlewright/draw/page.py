"""Places things on a picture from top to bottom: title, then text, keys and axes, each with its height in inches.

Text stands above what it belongs to, from the left edge, so that nothing runs into anything on a narrow screen.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.text import Text

from axlewright.draw.look import GREY, INK, LETTER, WIDTH, lines_of

EDGE = 0.12  # in, at all sides
POINT = 1.0 / 72.0  # in
LEADING = 1.4  # heights of a letter from line to line
TICKS = 0.26  # in, below axes, for the numbers there
SAMPLE, GAP = 0.34, 0.16  # in, the piece of line before a name in a key, and the room after the name


class _Piece(NamedTuple):
    height: float
    text: str = ""
    size: float = 0.0
    colour: str = INK
    weight: str = "normal"
    key: Sequence[tuple[str, Mapping[str, Any]]] = ()  # names, and how their lines look
    axes: bool = False


class Page:
    """A picture being put together."""

    def __init__(self, title: str, under: str = "") -> None:
        self.pieces: list[_Piece] = []
        self.text(title, size=10.5, weight="bold")
        self.text(under, size=8.5, colour=GREY)

    def text(self, text: str, *, size: float = 9.0, colour: str = INK, weight: str = "normal") -> None:
        """As many lines as a text takes."""
        for line in lines_of(text, size, bold=weight == "bold"):
            self.pieces.append(_Piece(size * LEADING * POINT, line, size, colour, weight))

    def room(self, height: float) -> None:
        """Nothing for so many inches."""
        self.pieces.append(_Piece(height))

    def key(self, entries: Sequence[tuple[str, Mapping[str, Any]]]) -> None:
        """Names of lines, as many in a row as fit."""
        size, row, used = 9.0, [], 0.0
        for name, look in entries:
            wide = SAMPLE + len(name) * LETTER * size + GAP
            if row and used + wide > WIDTH - 2 * EDGE:
                self.pieces.append(_Piece(size * LEADING * POINT, size=size, key=row))
                row, used = [], 0.0
            row, used = [*row, (name, look)], used + wide
        if row:
            self.pieces.append(_Piece(size * LEADING * POINT, size=size, key=row))

    def axes(self, height: float) -> None:
        """Axes of a height, with room for their numbers below."""
        self.pieces.append(_Piece(height, axes=True))
        self.room(TICKS)

    def made(self) -> tuple[Figure, list[Axes]]:
        """The picture with its texts, and its axes from top to bottom."""
        whole = sum(piece.height for piece in self.pieces) + 2 * EDGE
        picture = Figure(figsize=(WIDTH, whole))
        FigureCanvasAgg(picture)
        top, axes = whole - EDGE, []
        for piece in self.pieces:
            if piece.axes:
                box = (EDGE / WIDTH, (top - piece.height) / whole, 1.0 - 2 * EDGE / WIDTH, piece.height / whole)
                axes.append(picture.add_axes(box))
            elif piece.text:
                _write(picture, piece.text, EDGE, top, piece)
            else:
                _write_key(picture, piece, top)
            top -= piece.height
        return picture, axes


def _write(picture: Figure, text: str, left: float, top: float, piece: _Piece) -> Text:
    height = float(picture.get_figheight())
    return picture.text(
        left / WIDTH, top / height, text, va="top", fontsize=piece.size, color=piece.colour, fontweight=piece.weight
    )


def _write_key(picture: Figure, piece: _Piece, top: float) -> None:
    left, height = EDGE, float(picture.get_figheight())
    for name, look in piece.key:
        middle = (top - 0.5 * piece.size * 1.15 * POINT) / height
        ends = [left / WIDTH, (left + SAMPLE - 0.07) / WIDTH]
        picture.add_artist(Line2D([*ends[:1], sum(ends) / 2, *ends[1:]], [middle] * 3, markevery=[1], **look))
        written = _write(picture, name, left + SAMPLE, top, piece)
        left += SAMPLE + written.get_window_extent().width / picture.dpi + GAP


def fitted(picture: Figure, axes: Sequence[Axes]) -> None:
    """Make room at the left for the widest number, the same for all axes."""
    picture.draw_without_rendering()
    boxes = [(a.get_window_extent().x0, a.yaxis.get_tightbbox()) for a in axes]
    wide = max([(x0 - box.x0) / picture.dpi for x0, box in boxes if box is not None], default=0.0)
    for a in axes:
        place = a.get_position()
        a.set_position(((EDGE + wide) / WIDTH, place.y0, 1.0 - (2 * EDGE + wide) / WIDTH, place.height))
