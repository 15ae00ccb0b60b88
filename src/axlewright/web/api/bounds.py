"""How much one question may ask, so that nobody's question holds the machine; each is told with its allowed range."""

from __future__ import annotations

from collections.abc import Sequence
from math import prod

from axlewright.car.schema import Car
from axlewright.errors import RequestError
from axlewright.tune.choose import chosen_phases

NAMES = 60  # phases, readings or adjusters that can be named
SETUPS = 8  # that are followed side by side
CARS = 4  # that are followed side by side
STATES = 60  # held: phases times turn directions
POSES = 2001  # of the linkage
POSITIONS = 4000  # of adjusters, times the states that each is solved in
SECONDS = 60.0  # of motion, of all setups and cars together


def states(car: Car, phases: Sequence[str], turns: Sequence[str]) -> int:
    """How many held states a question is about; raises `RequestError` for too many."""
    count = len(chosen_phases(car, phases, turns))
    _at_most(count, STATES, "held states (phases times turn directions)", "name fewer phases in `phases`")
    return count


def poses(counts: Sequence[int]) -> None:
    """Positions of each movement: their product is bounded."""
    _at_most(prod(counts), POSES, "positions of the linkage", "ask for fewer `points`, or fewer movements at once")


def positions(counts: Sequence[int], each: int) -> None:
    """Positions of each adjuster, solved in so many states each."""
    _at_most(prod(counts) * each, POSITIONS, "states of all positions", "name one adjuster, or fewer phases")


def seconds(runs: int, each: float) -> None:
    """Motion of several runs."""
    _at_most(runs * each, SECONDS, "seconds of motion of all setups and cars", "ask for fewer, or make `seconds` less")


def _at_most(found: float, most: float, what: str, fix: str) -> None:
    if found > most:
        raise RequestError(f"found {found:g} {what}; expected at most {most:g}. Likeliest fix: {fix}.")
