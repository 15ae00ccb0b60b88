"""Limits with their sensitivities, and names that are not there."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.car.adjusters import adjusters_of
from axlewright.car.schema.phases import Phase
from axlewright.cli.printed.limits import print_csv
from axlewright.errors import RequestError
from axlewright.readings.margin import MARGIN
from axlewright.solve.verbs import limit
from axlewright.tune.choose import chosen_adjusters, chosen_phases
from axlewright.tune.limits import limits
from tests.cars import TEASEL

SAME = 1e-6  # the walk ends at the same fold, whoever asks for it
# First order against a walk with the step made; a perch turn is small, its second order 1 % of the first.
SMALL = 0.02
CORNER = "mid-corner"


def test_the_same_limit_and_change_as_in_the_effects_table(teasel_table):
    found = limits(
        TEASEL.car, phases=[CORNER], turns=("left",), adjusters=["front_bar_hole", "spacers_rear", "perch_LF"]
    )
    column, phase = [reading.id for reading in teasel_table.readings].index(MARGIN.id), 1
    assert found.limit.margin[0] == pytest.approx(teasel_table.base[phase, column], rel=SAME)
    assert found.limit.ran_out[0] == teasel_table.ran_out[phase] == "front pushes"
    for i, key in enumerate(found.adjusters):
        change = teasel_table.row(key, found.steps[key]).change[phase, column]
        assert found.change[i, 0] == pytest.approx(change, rel=SAME), key


def test_a_setup_moves_the_limit_and_where_steps_count_from():
    setup = {"front_bar_hole": 5.0, "perch_LF": 2.0}
    found = limits(TEASEL.car, phases=[CORNER], turns=("left",), setup=setup, adjusters=["perch_LF"])
    held = chosen_phases(TEASEL.car, [CORNER], ("left",))
    at, further = (limit(TEASEL.car, held, setup | {"perch_LF": to}).margin[0] for to in (2.0, 3.0))
    assert found.limit.margin[0] == pytest.approx(at, rel=SAME)
    assert found.change[0, 0] == pytest.approx(further - at, rel=SMALL)


def test_at_an_end_the_step_the_other_way():
    found = limits(TEASEL.car, phases=[CORNER], turns=("left",), adjusters=["spacers_rear", "damper_front_rebound"])
    assert found.steps == {"spacers_rear": 1}  # what acts only in motion has no place here


@pytest.mark.parametrize(
    ("kind", "name", "says"),
    [
        ("phase", "mid corner", "did you mean `mid-corner`"),
        ("adjuster", "watt_pivt", "did you mean `watt_pivot`"),
        ("adjuster", "zzz", "check the name."),
    ],
)
def test_a_wrong_name_is_told_with_the_nearest(kind, name, says):
    choose = {
        "phase": lambda: chosen_phases(TEASEL.car, [name], ("left",)),
        "adjuster": lambda: chosen_adjusters(adjusters_of(TEASEL.car), [name]),
    }
    with pytest.raises(RequestError) as told:
        choose[kind]()
    assert f"no {kind} `{name}`: {says}" in str(told.value)
    assert len(str(told.value)) < 250  # not all hundred adjusters


def test_phases_and_adjusters_that_were_asked_for():
    held = chosen_phases(TEASEL.car, ["mid-corner", "launch"], ("left", "right"))
    assert [one.name for one in held] == ["mid-corner, left", "mid-corner, right", "launch"]
    every = adjusters_of(TEASEL.car)
    assert chosen_adjusters(every, ["perch_LF", "fuel", "perch_LF"]) == ["perch_LF", "fuel"]
    assert chosen_adjusters(every, None) == [key for key, adjuster in every.items() if not adjuster.off]


def test_a_phase_that_asks_for_nothing_has_no_limit(capsys):
    """Straight at speed with no acceleration: there is no direction to push along, and no number is made up."""
    still = Phase.model_validate({"name": "still", "ax": "0 g", "ay": "0 g", "speed": "20 m/s", "effort": "engine"})
    found = limits(TEASEL.car.model_copy(update={"phases": (still,)}), adjusters=["rake"])
    assert not found.limit.found[0]
    assert np.isnan(found.limit.margin[0])
    assert np.isnan(found.change).all()
    print_csv(found)
    assert capsys.readouterr().out.splitlines()[1] == "still,,,,solved,"
