"""One effects table of each demo car, made once for all that looks at it."""

from __future__ import annotations

import pytest

from axlewright.tune.effects import Effects, effects
from tests.cars import BRAMBLE, TEASEL

PHASES = ["straight braking", "mid-corner"]
ADJUSTERS = [
    "front_bar_hole",  # made of two, of which one is in the table and one is not
    "front_bar_hole_left",
    "perch_LF",
    "springs_rear",
    "spacers_rear",  # has no step down
    "damper_front_rebound",  # acts only in motion
]


@pytest.fixture(scope="session")
def teasel_table() -> Effects:
    return effects(TEASEL.car, phases=PHASES, adjusters=ADJUSTERS, turns=("left",))


@pytest.fixture(scope="session")
def bramble_table() -> Effects:
    """Without doubts and restoring moves."""
    return effects(
        BRAMBLE.car, phases=PHASES, adjusters=["perch_LF", "pressure_rear"], turns=("left",),
        restored=False, confidence=False,
    )  # fmt: skip
