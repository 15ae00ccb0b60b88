"""The whole effects table of teasel, everything compiled: all adjusters, up and down, all phases."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from axlewright import effects, load
from benchmarks.timing import Measurement, times_of

LIMIT = 2.0  # s, as turned
REPEATS = 3
CHOICES = {  # name -> (restored, confidence, s asked)
    "effects, as turned": (False, False, LIMIT),
    "effects, with restoring moves": (True, False, None),
    "effects, with confidence too": (True, True, None),
}


def measure() -> Iterator[Measurement]:
    """Time the table as turned, then with what makes it longer."""
    car = load("teasel")
    for name, (restored, confidence, asked) in CHOICES.items():
        call = partial(effects, car, restored=restored, confidence=confidence)
        table = call()
        yield Measurement(
            name=name,
            times=times_of(call, repeats=REPEATS),
            found=f"{len(table.rows)} rows, {len(table.phases)} phases",
            limit=asked,
        )
