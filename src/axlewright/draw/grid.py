"""One reading over the positions of two adjusters: lines of equal value, each with its number on it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import LinearSegmentedColormap
from matplotlib.ticker import MaxNLocator

from axlewright.car.adjusters.hand import said
from axlewright.draw.axis import Axis
from axlewright.draw.curves import Curve, Panel, panels, ways
from axlewright.draw.look import GREY, INK, house_style, kind_of, mark_places, ring, save, unbroken
from axlewright.draw.page import Page, fitted

HEIGHT = 3.6  # in
LEAST = 3  # positions of each adjuster for lines of equal value to say anything
STEPS = 9  # lines of equal value, about
CLEAR = 0.1  # of the picture between a number and the present position
TINY = 1e-12  # of any unit; where a reading doesn't say what its smallest change is
FINE = 41  # places along a line where its number may stand
# Darker is more, in print too; light enough for letters on it.
SHADES = LinearSegmentedColormap.from_list("shades", ["#f7fafc", "#8fb0cc"])


class Surface(NamedTuple):
    """A reading over a grid: values (n, m) SI over n positions of one adjuster and m of another, NaN: not reached."""

    z: Axis
    values: np.ndarray
    name: str = ""  # what it is of, such as a phase


def grids(
    shown: Sequence[Surface], path: str | Path, *, x: Axis, y: Axis, places: tuple[np.ndarray, np.ndarray], title: str,
    now: tuple[float, float] | None = None, under: str = "", notes: Sequence[str] = (),
) -> None:  # fmt: skip
    """Draw readings over two adjusters one below the other, to an SVG or PNG file: `x` to the right, `y` upwards.

    `places` (n,) and (m,) counts of the adjusters, `now` their present ones. Crosses are positions that were not
    reached; `notes`, below, say why. With fewer than three positions of one adjuster there is a line for each of them
    instead. Raises RequestError for a file that is neither or can't be written.
    """
    kind_of(path)
    if min(len(along) for along in places) < LEAST:
        _as_lines(shown, path, (x, y), places, now, title, under, notes)
        return
    with house_style():
        page = Page(title, under)
        for surface in shown:
            page.room(0.1)
            page.text(": ".join(words for words in (surface.name, surface.z.label) if words))
            page.text(ways(surface.z, "darker:", "lighter:"), size=8, colour=GREY)
            page.text(f"up the side: {y.label}")
            page.text(ways(y, "↑", "↓"), size=8, colour=GREY)
            page.room(0.05)
            page.axes(HEIGHT)
            page.text(x.label)
            page.text(ways(x, "→", "←"), size=8, colour=GREY)
        page.room(0.05)
        for note in (*_explained(shown, now), *notes):
            page.text(note, size=8, colour=GREY)
        picture, axes = page.made()
        for at, surface in zip(axes, shown, strict=True):
            _draw(
                at,
                surface,
                x.drawn(places[0]),
                y.drawn(places[1]),
                None if now is None else (x.place(now[0]), y.place(now[1])),
            )
        fitted(picture, axes)
        save(picture, path)


def _explained(shown: Sequence[Surface], now: tuple[float, float] | None) -> list[str]:
    said = ["○ present position"] if now is not None else []
    said += ["× not reached"] if any(not np.isfinite(surface.values).all() for surface in shown) else []
    return [unbroken(said)]


def _draw(axes: Axes, surface: Surface, across: np.ndarray, up: np.ndarray, now: tuple[float, float] | None) -> None:
    value = np.ma.masked_invalid(surface.z.drawn(surface.values).T)
    mesh, reached = np.meshgrid(across, up), ~np.ma.getmaskarray(value)
    if not reached.any():
        axes.text(0.5, 0.5, "nothing was reached", transform=axes.transAxes, ha="center", color=GREY)
    elif np.ptp(value.compressed()) > max(surface.z.smallest / surface.z.size, TINY):
        _contours(axes, surface.z, value, across, up, now)
    else:
        axes.text(0.5, 0.5, "no change anywhere", transform=axes.transAxes, ha="center", color=GREY)
    axes.plot(mesh[0][reached], mesh[1][reached], ".", color=GREY, markersize=2.2)
    axes.plot(mesh[0][~reached], mesh[1][~reached], "x", color=INK, markersize=5, markeredgewidth=1.0)
    if now is not None:
        ring(axes, *now)
    for set_limits, places, along in ((axes.set_xlim, across, axes.xaxis), (axes.set_ylim, up, axes.yaxis)):
        room = 0.03 * np.ptp(places)
        set_limits(places.min() - room, places.max() + room)
        mark_places(along, places, "")
    axes.tick_params(length=3, labelsize=8.5)


def _contours(
    axes: Axes, z: Axis, value: np.ma.MaskedArray, across: np.ndarray, up: np.ndarray, now: tuple[float, float] | None
) -> None:
    low, high, least = float(value.min()), float(value.max()), z.smallest / z.size
    steps = int(np.clip((high - low) / least, 1, STEPS)) if least else STEPS
    levels = MaxNLocator(steps, steps=[1, 2, 2.5, 5, 10]).tick_values(low, high)
    axes.contourf(across, up, value, levels=levels, cmap=SHADES)
    lines = axes.contour(across, up, value, levels=levels, colors=INK, linewidths=0.9, linestyles="solid")
    apart = levels[1] - levels[0]
    places = next(p for p in range(12) if np.allclose(np.round(levels, p), levels, rtol=0, atol=1e-3 * apart))
    numbers = _places(lines.allsegs, np.array([np.ptp(across), np.ptp(up)]), now)
    axes.clabel(lines, fmt=f"%.{places}f", fontsize=8, manual=numbers)


def _places(
    lines: Sequence[Sequence[np.ndarray]], size: np.ndarray, now: tuple[float, float] | None
) -> list[tuple[float, float]]:
    """Where the number of each line stands: as near its middle as leaves the present position free."""
    here = np.full(2, np.inf) if now is None else np.array(now)
    found = []
    for level in lines:
        for line in sorted((line for line in level if len(line) > 1), key=len)[-1:]:
            along = np.stack(
                [np.interp(np.linspace(0, len(line) - 1, FINE), np.arange(len(line)), c) for c in line.T], axis=1
            )
            free = np.flatnonzero(np.hypot(*((along - here) / size).T) > CLEAR)
            if free.size:
                at = along[free[np.argmin(np.abs(free - FINE // 2))]]
                found.append((float(at[0]), float(at[1])))
    return found


def _as_lines(
    shown: Sequence[Surface], path: str | Path, axes: tuple[Axis, Axis], places: tuple[np.ndarray, np.ndarray],
    now: tuple[float, float] | None, title: str, under: str, notes: Sequence[str],
) -> None:  # fmt: skip
    """A line for each position of the adjuster that has fewer."""
    (x, y), across = axes, np.argmax([len(along) for along in places])
    if across == 1:
        x, y = y, x
    along, few = places[across], places[1 - across]
    drawn = []
    for surface in shown:
        values = surface.values if across == 0 else surface.values.T
        series = [
            Curve(f"{y.name}: {said(y.place(at), y.unit)}", along, values[:, i], now=_now(at, now, int(across)))
            for i, at in enumerate(few)
        ]
        z = surface.z
        drawn.append(Panel(z._replace(name=f"{surface.name}: {z.name}") if surface.name else z, series))
    panels(drawn, path, x=x, title=title, under=under, notes=notes)


def _now(at: float, now: tuple[float, float] | None, across: int) -> float | None:
    """The present position along a line, if it is the line of the present position."""
    return now[across] if now is not None and np.isclose(at, now[1 - across]) else None
