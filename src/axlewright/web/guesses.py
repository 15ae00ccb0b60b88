"""A limit on guesses of the access code: a few a minute from one address, and not many from all together."""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable

WINDOW = 60.0  # s
EACH = 10  # wrong codes of one address in that time; more than anybody mistypes
ALL = 300  # of all: at this rate 50 bits take millions of years, and one address can't shut out the others


class Guesses:
    """Wrong codes of late."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock, self._wrong = clock, deque[tuple[float, str]]()

    def may(self, who: str) -> bool:
        """Whether a code from this address is looked at."""
        while self._wrong and self._clock() - self._wrong[0][0] >= WINDOW:
            self._wrong.popleft()
        return len(self._wrong) < ALL and sum(one == who for _, one in self._wrong) < EACH

    def wrong(self, who: str) -> None:
        """A wrong code came from this address."""
        self._wrong.append((self._clock(), who))
