"""How each layout is described: one file a layout, and the list of them."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from axlewright.car.describe.entries import Entries
from axlewright.car.describe.front import front_bar, front_block, front_keys
from axlewright.car.describe.rear import axle_bar, axle_block, axle_keys
from axlewright.car.mechanism import Bar, Block
from axlewright.car.schema import Car


class Layout(NamedTuple):
    """An end as parts: each puts its values into the entries, if it has any."""

    block: Callable[[Car, Entries], Block]
    bar: Callable[[Car, Entries], Bar | None]
    keys: Callable[[Car], dict[str, str]]  # key path in the file of each link whose name is not its key


FRONT = {"double-wishbone": Layout(front_block, front_bar, front_keys)}
REAR = dict.fromkeys(("live-axle", "de-dion"), Layout(axle_block, axle_bar, axle_keys))


def layouts(car: Car) -> tuple[Layout, Layout]:
    """The front's and the rear's."""
    return FRONT[car.front.layout], REAR[car.rear.layout]


def link_keys(car: Car) -> dict[str, str]:
    """Key path in the file of links, by `BLOCK.LINK`; a link that is not listed is at that very path."""
    named = zip(("front", "rear"), layouts(car), strict=True)
    return {f"{end}.{link}": path for end, layout in named for link, path in layout.keys(car).items()}
