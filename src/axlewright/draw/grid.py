"""One reading over the positions of two adjusters: lines of equal value, each with its number on it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import LinearSegmentedColormap
from matplotlib.ticker import FixedLocator, MaxNLocator

from axlewright.car.adjusters.hand import said
from axlewright.draw.axis import Axis
from axlewright.draw.curves import FEW, Curve, Panel, panels, ways
from axlewright.draw.look import GREY, INK, house_style, kind_of, ring, save
from axlewright.draw.page import Page, fitted

HEIGHT = 3.6  # in
LEAST = 3  # positions of each adjuster for lines of equal value to say anything
STEPS = 9  # lines of equal value, about
CLEAR = 0.1  # of the picture between a number and the present position
FINE = 41  # places along a line where its number may stand
# Darker is more, in print too; light enough for letters on it.
SHADES = LinearSegmentedColormap.from_list("shades", ["#f7fafc", "#8fb0cc"])


class Surface(NamedTuple):
    """Values over a grid: `x` (n,) and `y` (m,) positions, `z` (n, m) SI, NaN where nothing was reached."""

    x: np.ndarray
    y: np.ndarray
    z: np.ndarray
    now: tuple[float, float] | None = None  # the present positions


def grid(
    surface: Surface, path: str | Path, *, x: Axis, y: Axis, z: Axis, title: str, under: str = "",
    notes: Sequence[str] = (),
) -> None:  # fmt: skip
    """Draw a reading `z` over two adjusters, to an SVG or PNG file: `x` to the right, `y` upwards.

    Crosses are positions that were not reached; `notes`, below, say why. With fewer than three positions of one
    adjuster there is a line for each of them instead. Raises RequestError for a file that can't be written.
    """
    kind_of(path)
    if min(surface.z.shape) < LEAST or not np.isfinite(surface.z).any():
        _as_lines(surface, path, x, y, z, title, under, notes)
        return
    with house_style():
        page = Page(title, under)
        page.room(0.05)
        page.text(z.label)
        page.text(ways(z, "darker:", "lighter:"), size=8, colour=GREY)
        page.room(0.08)
        page.text(f"up the side: {y.label}")
        page.text(ways(y, "↑", "↓"), size=8, colour=GREY)
        page.room(0.05)
        page.axes(HEIGHT)
        page.text(x.label)
        page.text(ways(x, "→", "←"), size=8, colour=GREY)
        for note in (*_explained(surface), *notes):
            page.text(note, size=8, colour=GREY)
        picture, (axes,) = page.made()
        _draw(axes, surface, x, y, z)
        fitted(picture, [axes])
        save(picture, path)


def _explained(surface: Surface) -> list[str]:
    said = ["○ present position"] if surface.now is not None else []
    said += ["× not reached"] if not np.isfinite(surface.z).all() else []
    return ["   ".join(said)]


def _draw(axes: Axes, surface: Surface, x: Axis, y: Axis, z: Axis) -> None:
    across, up, value = x.drawn(surface.x), y.drawn(surface.y), np.ma.masked_invalid(z.drawn(surface.z).T)
    least = z.smallest / z.size
    low, high = float(value.min()), float(value.max())
    if high - low > max(least, 1e-12):
        steps = int(np.clip((high - low) / least, 1, STEPS)) if least else STEPS
        levels = MaxNLocator(steps, steps=[1, 2, 2.5, 5, 10]).tick_values(low, high)
        axes.contourf(across, up, value, levels=levels, cmap=SHADES)
        lines = axes.contour(across, up, value, levels=levels, colors=INK, linewidths=0.9, linestyles="solid")
        places = max(0, -int(np.floor(np.log10(levels[1] - levels[0]) + 1e-9)))
        places += not np.allclose(np.round(levels, places), levels, rtol=0, atol=1e-9)
        axes.clabel(lines, fmt=f"%.{places}f", fontsize=8, manual=_places(lines.allsegs, across, up, x, y, surface.now))
    else:
        axes.text(0.5, 0.5, "no change anywhere", transform=axes.transAxes, ha="center", color=GREY)
    mesh = np.meshgrid(across, up)
    reached = ~np.ma.getmaskarray(value)
    axes.plot(mesh[0][reached], mesh[1][reached], ".", color=GREY, markersize=2.2)
    axes.plot(mesh[0][~reached], mesh[1][~reached], "x", color=INK, markersize=5, markeredgewidth=1.0)
    if surface.now is not None:
        ring(axes, x.place(surface.now[0]), y.place(surface.now[1]))
    for set_limits, places in ((axes.set_xlim, across), (axes.set_ylim, up)):
        room = 0.03 * (places.max() - places.min())
        set_limits(places.min() - room, places.max() + room)
    axes.tick_params(length=3, labelsize=8.5)
    for places, along in ((across, axes.xaxis), (up, axes.yaxis)):
        if len(places) <= FEW / 2:
            along.set_major_locator(FixedLocator(list(places)))


def _places(
    lines: Sequence[Sequence[np.ndarray]], across: np.ndarray, up: np.ndarray, x: Axis, y: Axis,
    now: tuple[float, float] | None,
) -> list[tuple[float, float]]:  # fmt: skip
    """Where the number of each line stands: as near its middle as leaves the present position free."""
    size = np.array([np.ptp(across), np.ptp(up)])
    here = np.full(2, np.inf) if now is None else np.array([x.place(now[0]), y.place(now[1])])
    found = []
    for level in lines:
        for line in sorted((line for line in level if len(line) > 1), key=len)[-1:]:
            along = np.array(
                [np.interp(np.linspace(0, len(line) - 1, FINE), np.arange(len(line)), c) for c in line.T]
            ).T
            free = np.flatnonzero(np.hypot(*((along - here) / size).T) > CLEAR)
            if free.size:
                at = along[free[np.argmin(np.abs(free - FINE // 2))]]
                found.append((float(at[0]), float(at[1])))
    return found


def _as_lines(
    surface: Surface, path: str | Path, x: Axis, y: Axis, z: Axis, title: str, under: str, notes: Sequence[str]
) -> None:
    """A line for each position of the adjuster that has fewer."""
    if surface.z.shape[0] < surface.z.shape[1]:
        now = None if surface.now is None else (surface.now[1], surface.now[0])
        _as_lines(Surface(surface.y, surface.x, surface.z.T, now), path, y, x, z, title, under, notes)
        return
    series = [
        Curve(
            f"{y.name}: {said(y.place(at), y.unit)}",
            surface.x,
            surface.z[:, i],
            now=surface.now[0] if surface.now is not None and np.isclose(at, surface.now[1]) else None,
        )
        for i, at in enumerate(surface.y)
    ]
    panels([Panel(z, series)], path, x=x, title=title, under=under, notes=notes)
