"""How far a run is, by the clock: compiling tells nothing on its way, so that what is told is what it usually takes."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event, Thread

from axlewright.say.events import EVENTS
from axlewright.units import parse

EVERY = 0.4  # s between tellings
FIRST, SETUP = 40.0, 0.6  # s: a first run at most, and each setup of a later one; measured on two cores
WHOLE = 100  # of the bar
NEARLY = 0.95  # of the bar, however long it takes beyond that
_RUN: set[tuple[object, ...]] = set()  # what has been run since the bench was started, so is compiled

COMPILING = "First run of this kind: the car's equations of motion are compiled, 10 to 40 s"
MOVING = "Moving {} setups"


@contextmanager
def ticking(say: Callable[[str, int, int], None], car: str, event: str, seconds: float, setups: int) -> Iterator[None]:
    """Tell how far it is while the block works. What is longer than usual, or of one setup, is compiled by itself."""
    longer = seconds > parse(EVENTS[event].default("seconds"), "time").value
    key = (car, event == "road", longer, setups == 1)
    first = key not in _RUN
    what, takes = (COMPILING, FIRST) if first else (MOVING.format(setups), SETUP * setups)
    over = Event()

    def tell() -> None:
        began = time.monotonic()
        while not over.wait(EVERY):
            gone = time.monotonic() - began
            say(f"{what}: {gone:.0f} s so far", int(WHOLE * min(gone / takes, NEARLY)), WHOLE)

    say(what, 0, WHOLE)
    teller = Thread(target=tell, daemon=True, name="ticking")
    teller.start()
    try:
        yield
        _RUN.add(key)
    finally:
        over.set()
        teller.join()
