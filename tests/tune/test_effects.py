"""The effects table against separately held states, limits walked again, and the table's own promises."""

from __future__ import annotations

import re

import numpy as np
import pytest

from axlewright import load
from axlewright.car.describe import tolerances
from axlewright.car.file import read
from axlewright.errors import RequestError
from axlewright.readings import readings_of
from axlewright.readings.margin import MARGIN
from axlewright.solve.verbs import hold, limit
from axlewright.tune.effects import AS_TURNED, PUT_RIGHT, effects
from axlewright.tune.limits import limits
from tests.cars import BRAMBLE, TEASEL
from tests.tune.conftest import ADJUSTERS, PHASES

# Both are states to the solver's last digits, reached from other starts; some readings are differences of large forces.
SOLVED = 1e-6  # of the reading itself
LAST_DIGITS = 1e-7  # SI: forces of links that carry next to nothing
# The margin's change is first order, in the lengths and rates that a move changes. A spring or perch step is small; one
# hole moves the bar's arm by 10 % and a bar's rate goes as 1 / arm^2, whose third order is 2 x 0.1^2 of the first.
SMALL, HOLE = 1e-3, 0.025
WHOLE = 1e-9  # shares add up to one


@pytest.mark.parametrize(
    ("key", "to", "steps"),
    [("front_bar_hole", 4.0, 1), ("front_bar_hole", 2.0, -1), ("perch_LF", 1.0, 1), ("springs_rear", 39.5, -1)],
)
def test_a_change_is_the_difference_of_two_holds(teasel_table, key, to, steps):
    before, after = (hold(TEASEL.car, teasel_table.phases, setup) for setup in (None, {key: to}))
    row = teasel_table.row(key, steps)
    assert (before.result == 0).all()
    assert (row.result == after.result).all()
    for i, reading in enumerate(teasel_table.readings):
        if reading.id != MARGIN.id:
            old, new = reading.read(before), reading.read(after)
            np.testing.assert_allclose(teasel_table.base[:, i], old, rtol=SOLVED, atol=LAST_DIGITS, err_msg=reading.id)
            apart = SOLVED * np.nan_to_num(np.abs(old)).max() + LAST_DIGITS
            np.testing.assert_allclose(row.change[:, i], new - old, atol=apart, err_msg=reading.id)


def test_the_other_car_too(bramble_table):
    before, after = (hold(BRAMBLE.car, bramble_table.phases, setup) for setup in (None, {"perch_LF": -1.0}))
    for i, reading in enumerate(bramble_table.readings):
        if reading.id != MARGIN.id:
            old, new = reading.read(before), reading.read(after)
            apart = SOLVED * np.nan_to_num(np.abs(old)).max() + LAST_DIGITS
            change = bramble_table.row("perch_LF", -1).change[:, i]
            np.testing.assert_allclose(change, new - old, atol=apart, err_msg=reading.id)
    assert all(row.sure is None and row.kind == AS_TURNED for row in bramble_table.rows)
    assert bramble_table.sharpen == ()


@pytest.mark.parametrize(
    ("key", "down", "up", "within"),
    [("front_bar_hole", 2.0, 4.0, HOLE), ("springs_rear", 39.5, 44.5, SMALL), ("perch_LF", -1.0, 1.0, SMALL)],
)
def test_the_margin_moves_as_far_as_the_limit_walked_again(teasel_table, key, down, up, within):
    """From a step down to a step up, so that second orders fall out."""
    column, corner = [r.id for r in teasel_table.readings].index(MARGIN.id), PHASES.index("mid-corner")
    at = [float(limit(TEASEL.car, teasel_table.phases, setup).margin[corner]) for setup in ({key: down}, {}, {key: up})]
    first = [teasel_table.row(key, way).change[corner, column] for way in (1, -1)]
    assert teasel_table.base[corner, column] == pytest.approx(at[1], rel=SOLVED)
    assert first[0] - first[1] == pytest.approx(at[2] - at[0], rel=within)


def test_a_step_up_and_a_step_down_of_each(teasel_table):
    rows = {(row.adjuster, row.steps, row.kind) for row in teasel_table.rows}
    both = {"front_bar_hole", "front_bar_hole_left", "perch_LF", "springs_rear"}
    steps = {(key, way) for key in both for way in (1, -1)} | {("spacers_rear", 1)}
    assert rows == {(*step, kind) for step in steps for kind in (AS_TURNED, PUT_RIGHT)}
    assert len(teasel_table.rows) == len(rows)
    assert teasel_table.ends["perch_LF"] == ()
    assert teasel_table.ends["spacers_rear"][0].endswith("is at its lowest, 0 mm")
    with pytest.raises(RequestError, match="has no row of `spacers_rear` at -1 step"):
        teasel_table.row("spacers_rear", -1)


def test_what_acts_only_in_motion_is_said_to(teasel_table):
    (reason,) = teasel_table.ends["damper_front_rebound"]
    assert reason.endswith("acts only in motion")
    assert list(teasel_table.adjusters) == ADJUSTERS


def test_words_of_confidence(teasel_table):
    column = [reading.id for reading in teasel_table.readings].index(MARGIN.id)
    for row in teasel_table.rows:
        if row.kind == PUT_RIGHT:
            assert row.sure is None
            continue
        assert row.sure.shape == row.change.shape
        assert set(np.delete(row.sure, column, axis=1).ravel()) <= {"sure", "likely", "unknown"}
        assert set(row.sure[:, column]) == {""}
        assert (row.sure[row.change == 0.0] != "sure").all()
    # A longer bar arm makes a softer bar, however badly tyres and points are known.
    name = [reading.id for reading in teasel_table.readings].index("roll_stiffness_front_bar")
    assert set(teasel_table.row("front_bar_hole", 1).sure[:, name]) == {"sure"}


def test_shares_of_the_doubt_add_up(teasel_table):
    shares = [sharper.share for sharper in teasel_table.sharpen]
    assert sum(shares) == pytest.approx(1.0, abs=WHOLE)
    assert shares == sorted(shares, reverse=True)
    assert min(shares) >= 0.0
    assert all(sharper.source and sharper.measure for sharper in teasel_table.sharpen)


def test_nothing_is_said_of_how_sure_a_car_without_tolerances_is(tmp_path):
    path = tmp_path / "exact.toml"
    text, taken = re.subn(r" \+- [^\"]*", "", read("teasel"))
    text, more = re.subn(r"(?m)^known = .*\n", "", text)
    assert taken > 0
    assert more > 0
    path.write_text(text, encoding="utf-8")
    car = load(path)
    assert tolerances(car) == {}
    found = effects(car, phases=["mid-corner"], adjusters=["front_bar_hole"], turns=("left",), restored=False)
    for row in found.rows:
        assert np.any(np.abs(row.change) > 0.0)
        assert row.sure is not None
        assert set(row.sure.ravel()) == {""}  # nobody said how well it is known, so nothing is said of it
    assert found.sharpen == ()


def test_an_adjuster_that_acts_only_in_motion_has_no_rows():
    """A damper's clicks change no held state; asked for alone it is told so, and the table is empty."""
    found = effects(TEASEL.car, phases=["launch"], adjusters=["damper_front_compression"])
    assert found.rows == ()
    assert found.base.shape == (1, len(found.readings))
    assert "acts only in motion" in found.ends["damper_front_compression"][0]
    assert limits(TEASEL.car, phases=["launch"], adjusters=["damper_front_compression"]).change.shape == (0, 1)


def test_readings_are_those_of_held_states_unless_asked(teasel_table):
    every = readings_of(TEASEL.machine).values()
    assert [r.id for r in teasel_table.readings] == [MARGIN.id, *(r.id for r in every if r.held and not r.costly)]
