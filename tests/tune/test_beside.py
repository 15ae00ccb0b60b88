"""Two setups beside each other: the states that the verbs give, and a doubt that another way of working gives too."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright import effects, hold
from axlewright.car.adjusters import adjusters_of
from axlewright.car.file import load
from axlewright.readings import readings_of
from axlewright.solve.verbs import machine_of
from axlewright.tune.beside import Doubts, hold_beside
from axlewright.tune.choose import chosen_phases
from axlewright.tune.sure import LIKELY, SURE

SAME = 1e-7  # of balance, m/s2: two batches of different sizes end their iterations a little apart


@pytest.fixture(scope="module")
def teasel():
    car = load("teasel")
    return car, machine_of(car), adjusters_of(car), chosen_phases(car, ["mid-corner"], ("left",))[0]


def test_each_is_what_hold_gives(teasel):
    car, machine, adjusters, phase = teasel
    read, setups = readings_of(machine)["balance"].read, ({}, {"rear_bar_hole": 4.0})
    beside = [read(hold_beside(machine, adjusters, setup, phase))[0] for setup in setups]
    np.testing.assert_allclose(beside, [read(hold(car, [phase], setup))[0] for setup in setups], atol=SAME)


def test_the_doubt_of_a_change_agrees_with_the_word_of_the_effects_table(teasel):
    """The table moves each source from a nearby state; here each source's car is solved on its own."""
    car, machine, adjusters, phase = teasel
    reading, doubts = readings_of(machine)["balance"], Doubts(car, machine)
    table = effects(
        car, phases=["mid-corner"], turns=("left",), adjusters=["rear_bar_hole", "pressure_rear"], restored=False
    )
    column = [r.id for r in table.readings].index("balance")
    for row in table.rows:
        if row.steps != 1:
            continue  # the table's doubt is that of the step up
        setups = [{}, {row.adjuster: adjusters[row.adjuster].position + adjusters[row.adjuster].step}]
        found = np.array([reading.read(hold_beside(machine, adjusters, setup, phase))[0] for setup in setups])
        _, between, measure = doubts.between(adjusters, setups, phase, reading, found)
        size = abs(found[1] - found[0])
        word = SURE if size > 2 * between else LIKELY if size > between else "unknown"
        assert row.sure is not None
        assert row.sure[0, column] == word
        assert measure.split(":")[0] in [source.name for source in doubts.known]


def test_nothing_moved_is_no_doubt_of_a_change(teasel):
    car, machine, adjusters, phase = teasel
    reading = readings_of(machine)["balance"]
    found = np.repeat(reading.read(hold_beside(machine, adjusters, {}, phase)), 2)
    alone, between, _ = Doubts(car, machine).between(adjusters, [{}, {}], phase, reading, found)
    assert between < SAME
    assert (alone > 1e-3).all()  # but the balance itself is not known exactly: tolerances stand in the car file
