"""Readings against travel or against the position of an adjuster: of one car, or of two setups over each other."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from matplotlib.axes import Axes

from axlewright.draw.axis import Axis
from axlewright.draw.look import (
    COLOURS,
    DASHES,
    FAINT,
    FEW,
    GREY,
    INK,
    MARKERS,
    house_style,
    kind_of,
    mark_places,
    quiet,
    ring,
    save,
    unbroken,
)
from axlewright.draw.page import Page, fitted

HEIGHT = 2.1  # in, of one panel
MARGIN, SIDES = 0.06, 0.04  # of the height and of the width, around the curves
ROOM = 8.0  # smallest changes that a panel shows at least
ALIKE = 0.01  # of what can be felt: present values that are closer are one


class Curve(NamedTuple):
    """One line. `x` and `y` (n,) in SI or counts; it is drawn only where it was `reached` and `y` exists."""

    name: str
    x: np.ndarray
    y: np.ndarray
    reached: np.ndarray | None = None  # (n,) bool; None: everywhere
    now: float | None = None  # the present position along x

    @property
    def there(self) -> np.ndarray:
        """Where there is something to draw, (n,) bool."""
        return np.isfinite(self.y) & (True if self.reached is None else np.asarray(self.reached, dtype=bool))


class Panel(NamedTuple):
    """One reading, and its lines."""

    y: Axis
    series: Sequence[Curve]


def curves(
    series: Sequence[Curve],
    path: str | Path,
    *,
    x: Axis,
    y: Axis,
    title: str,
    under: str = "",
    notes: Sequence[str] = (),
) -> None:
    """Draw one reading; arguments as `panels`."""
    panels([Panel(y, series)], path, x=x, title=title, under=under, notes=notes)


def panels(
    shown: Sequence[Panel], path: str | Path, *, x: Axis, title: str, under: str = "", notes: Sequence[str] = ()
) -> None:
    """Draw readings one below the other over one `x`, to an SVG or PNG file.

    A line ends with a cross where no state was reached beyond; `notes`, below, say why. A ring marks the present
    position. Where all lines have one value
    there, a band about it marks what is too small to feel. Lines of one name look alike; one without
    a name is the only one of its panel.
    Raises RequestError for a file that is neither, or that can't be written.
    """
    kind_of(path)
    names = list(dict.fromkeys(curve.name for panel in shown for curve in panel.series))
    named = [name for name in names if name]
    looks = {name: look(i) for i, name in enumerate(named)} | {"": look(0) | {"color": INK}}
    with house_style():
        page = Page(title, under)
        if len(named) > 1:
            page.room(0.05)
            page.key([(name, _sample(looks[name], shown)) for name in named])
        for panel in shown:
            page.room(0.1)
            page.text(panel.y.label)
            page.text(ways(panel.y, "↑", "↓"), size=8, colour=GREY)
            page.room(0.05)
            page.axes(HEIGHT)
        page.text(x.label)
        page.text(ways(x, "→", "←"), size=8, colour=GREY)
        for note in [*_explained(shown), *notes]:
            page.text(note, size=8, colour=GREY)
        picture, axes = page.made()
        for panel, at in zip(shown, axes, strict=True):
            _draw(at, panel, x, looks)
        ends = [x.place(end) for panel in shown for curve in panel.series for end in (curve.x.min(), curve.x.max())]
        room = SIDES * ((max(ends) - min(ends)) or 1.0)
        for at in axes:
            at.set_xlim(min(ends) - room, max(ends) + room)
        fitted(picture, axes)
        save(picture, path)


def look(i: int) -> dict[str, Any]:
    """How the `i`-th line looks: colour, dashes and mark all differ, so that any one of them tells lines apart."""
    return {
        "color": COLOURS[i % len(COLOURS)],
        "linestyle": DASHES[i % len(DASHES)],
        "marker": MARKERS[i % len(MARKERS)],
        "linewidth": 1.5,
        "markersize": 3.6,
    }


def _sample(style: dict[str, Any], shown: Sequence[Panel]) -> dict[str, Any]:
    few = all(len(curve.x) <= FEW for panel in shown for curve in panel.series)
    return style if few else {**style, "marker": ""}


def ways(axis: Axis, up: str, down: str) -> str:
    """Which way is which: an arrow and what it means."""
    return unbroken([f"{arrow} {words}" for arrow, words in ((up, axis.more), (down, axis.less)) if words])


def _explained(shown: Sequence[Panel]) -> list[str]:
    """What the marks mean, where there are any."""
    every = [curve for panel in shown for curve in panel.series]
    said = []
    if any(curve.now is not None for curve in every):
        said.append("○ present position")
    if any(panel.y.felt and _felt_at(panel) is not None for panel in shown):
        said.append("grey band: too small to feel (a rule of thumb)")
    if any(not curve.there.all() for curve in every):
        said.append("× nothing was reached beyond here")
    return [unbroken(said)]


def _felt_at(panel: Panel) -> float | None:
    """Value, SI, about which changes can't be felt; None where there isn't one such value."""
    here = [None if curve.now is None else _at(curve, curve.now) for curve in panel.series]
    known = [value for value in here if value is not None]
    if not panel.y.felt or not known or max(known) - min(known) > ALIKE * panel.y.felt:
        return None
    return known[0]


def _at(curve: Curve, x: float) -> float | None:
    there = curve.there
    if not there.any() or not curve.x[there].min() <= x <= curve.x[there].max():
        return None
    order = np.argsort(curve.x[there])
    return float(np.interp(x, curve.x[there][order], curve.y[there][order]))


def _draw(axes: Axes, panel: Panel, x: Axis, looks: dict[str, dict[str, Any]]) -> None:
    quiet(axes)
    felt = _felt_at(panel)
    if felt is not None:
        band = panel.y.drawn(np.array([felt - panel.y.felt, felt + panel.y.felt]))
        axes.axhspan(band[0], band[1], color=FAINT, alpha=0.45, linewidth=0)
    for now in dict.fromkeys(curve.now for curve in panel.series if curve.now is not None):
        axes.axvline(x.place(now), color=GREY, linewidth=0.7, linestyle=(0, (1, 2)))
    for curve in panel.series:
        _line(axes, curve, panel.y, x, looks[curve.name])
    _limits(axes, panel)
    places = np.unique(np.concatenate([x.drawn(curve.x) for curve in panel.series]))
    mark_places(axes.xaxis, places, x.unit)
    if not any(curve.there.any() for curve in panel.series):
        axes.text(0.5, 0.5, "nothing was reached", transform=axes.transAxes, ha="center", color=GREY)


def _line(axes: Axes, curve: Curve, y: Axis, x: Axis, style: dict[str, Any]) -> None:
    there = curve.there
    across, up = x.drawn(curve.x), np.where(there, y.drawn(curve.y), np.nan)
    mark = style if len(across) <= FEW else {**style, "marker": ""}
    axes.plot(across, up, **mark, zorder=3)
    ends = there & ~(np.append(there[1:], True) & np.append(True, there[:-1]))
    axes.plot(across[ends], up[ends], "x", color=style["color"], markersize=7, markeredgewidth=1.4, zorder=4)
    if curve.now is not None and (at := _at(curve, curve.now)) is not None:
        ring(axes, x.place(curve.now), y.place(at))


def _limits(axes: Axes, panel: Panel) -> None:
    """Room about the curves, and no blowing up of differences that are no change."""
    found = [panel.y.drawn(curve.y[curve.there]) for curve in panel.series]
    values = np.concatenate(found) if found else np.zeros(0)
    if not values.size:
        axes.set_yticks([])
        return
    low, high = float(values.min()), float(values.max())
    least = max(ROOM * panel.y.smallest / panel.y.size, 1e-9 * max(abs(low), abs(high), 1e-9))
    half = max(0.5 * (high - low), 0.5 * least) * (1.0 + 2 * MARGIN)
    axes.set_ylim(0.5 * (low + high) - half, 0.5 * (low + high) + half)
