"""The solver made ready in the background, so that the page can be used meanwhile and the first tap is quick."""

from __future__ import annotations

import logging
from collections.abc import Callable
from threading import Thread
from typing import NamedTuple

from axlewright.car.schema import Car
from axlewright.web.bench import Bench

_LOG = logging.getLogger("axlewright.bench")


class Warm(NamedTuple):
    """How far it is; ready when done == of."""

    what: str
    done: int
    of: int


class Warming:
    """Makes the car on the bench ready whenever it is another one."""

    def __init__(self, bench: Bench) -> None:
        self.bench, self.state, self._made = bench, Warm("starting the solver", 0, len(STEPS)), ""
        self._listeners: list[Callable[[], object]] = []

    def start(self) -> None:
        """From now on."""
        self.bench.listen(self._look)
        self._look()

    def listen(self, listener: Callable[[], object]) -> Callable[[], None]:
        """Call back on every step; returns what ends it."""
        self._listeners.append(listener)
        return lambda: self._listeners.remove(listener)

    def _look(self) -> None:
        if self.bench.digest != self._made:
            self._made = self.bench.digest
            Thread(target=self._work, args=(self._made,), daemon=True, name="warming").start()

    def _work(self, digest: str) -> None:
        car = self.bench.mounted.car
        for done, (what, do) in enumerate(STEPS.items()):
            if digest != self.bench.digest:
                return
            self._say(Warm(what, done, len(STEPS)))
            try:
                do(car)
            except Exception:  # noqa: BLE001 - logged, and told
                _LOG.exception("warming up: %s", what)  # the question itself will say what is wrong
        self._say(Warm("ready", len(STEPS), len(STEPS)))

    def _say(self, state: Warm) -> None:
        self.state = state
        for listener in list(self._listeners):
            listener()


def _solver(car: Car) -> None:
    from axlewright.solve.verbs import machine_of

    machine_of(car).ready()


def _states(car: Car) -> None:
    from axlewright import hold
    from axlewright.readings import readings_of

    held = hold(car)
    for reading in readings_of(held.machine).values():
        if reading.held and not reading.costly:
            reading.read(held)


def _limits(car: Car) -> None:
    from axlewright import limit

    limit(car)


def _linkage(car: Car) -> None:
    from axlewright.web.linkage.answers import seen_answer, swept_answer
    from axlewright.web.linkage.asked import Seen, Swept
    from axlewright.web.linkage.choices import FIRST
    from axlewright.web.linkage.state import ready

    one = ready(car)
    for state in ("rest", "moved"):
        seen_answer(one, None, Seen(car="", state=state, readings=[FIRST]))
    swept_answer(one, None, Swept(car="", readings=[FIRST]))


STEPS = {
    "compiling the solver": _solver,
    "holding every phase": _states,
    "walking to the limits": _limits,
    "moving the linkage": _linkage,
}
