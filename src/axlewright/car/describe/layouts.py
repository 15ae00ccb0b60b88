"""How each layout is described: one file a layout, and the list of them."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import NamedTuple

from axlewright.car.describe.corner import Which, corner_bars, corner_keys, front_corners, rear_corners
from axlewright.car.describe.entries import Entries
from axlewright.car.describe.rear import axle_bar, axle_block, axle_keys
from axlewright.car.mechanism import Bar, Block
from axlewright.car.schema import Car


class Layout(NamedTuple):
    """An end as parts: each puts its values into the entries, if it has any."""

    block: Callable[[Car, Entries], Block]
    bars: Callable[[Car, Entries], tuple[Bar, ...]]  # anti-roll bar, third spring
    keys: Callable[[Car], dict[str, str]]  # key path in the file of each link whose name is not its key


def _axle_bars(car: Car, entries: Entries) -> tuple[Bar, ...]:
    bar = axle_bar(car, entries)
    return () if bar is None else (bar,)


def _corners(which: Which, block: Callable[[Car, Entries], Block]) -> Layout:
    return Layout(block, partial(corner_bars, which=which), partial(corner_keys, which=which))


FRONT: dict[str, Layout] = dict.fromkeys(("double-wishbone", "strut"), _corners("front", front_corners))
REAR: dict[str, Layout] = dict.fromkeys(("live-axle", "de-dion"), Layout(axle_block, _axle_bars, axle_keys))
REAR |= dict.fromkeys(("double-wishbone", "multi-link"), _corners("rear", rear_corners))


def layouts(car: Car) -> tuple[Layout, Layout]:
    """The front's and the rear's."""
    return FRONT[car.front.layout], REAR[car.rear.layout]


def link_keys(car: Car) -> dict[str, str]:
    """Key path in the file of links, by `BLOCK.LINK`; a link that is not listed is at that very path."""
    named = zip(("front", "rear"), layouts(car), strict=True)
    return {f"{end}.{link}": path for end, layout in named for link, path in layout.keys(car).items()}
