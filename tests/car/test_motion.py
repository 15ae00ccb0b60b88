"""What a car file says about motion: dampers and their clicks, and what a damper can't be."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.car.adjusters import adjusters_of
from axlewright.car.adjusters.setup import apply
from axlewright.car.describe import describe
from axlewright.model.reader import is_list
from tests.car.tables import changed, put, the_problem, without

OWN_LINE = {"gas_force": "120 N", "chassis": [0.05, 0.43, 0.6], "moving": [0.05, 0.58, 0.21]}
TABLE = {
    "speeds": ["0 m/s", "0.1 m/s", "0.3 m/s"],
    "curves": [
        {"clicks": 2, "compression": ["0 N", "400 N", "700 N"], "rebound": ["0 N", "600 N", "1000 N"]},
        {"clicks": 8, "compression": ["0 N", "200 N", "500 N"], "rebound": ["0 N", "300 N", "650 N"]},
    ],
    "compression_clicks": 4,
    "rebound_clicks": 6,
    "friction": "25 N",
}


def damped_links(mechanism):
    return {f"{copy}.{k.name}" for b in mechanism.blocks for copy in b.copies for k in b.links if k.damped}


# --- tables ----------------------------------------------------------------------------------------------------


def test_dampers_are_on_the_links_that_carry_gas_and_on_the_brake_side_link():
    mechanism, values = describe(changed())
    sides = ("front.left.spring", "front.right.spring", "rear.spring_left", "rear.spring_right")
    assert damped_links(mechanism) == {*sides, "rear.brake_link"}
    assert all(f"{path}.gas.force" in values for path in sides)


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_table_reaches_the_values_of_both_sides_click_by_click(side):
    mechanism, values = describe(changed(put("front.damper", OWN_LINE | {"damping": TABLE})))
    path = f"front.{side}.damper"
    assert path in damped_links(mechanism)
    assert f"front.{side}.spring" not in damped_links(mechanism)
    expected = {
        "speed": [0.0, 0.1, 0.3],
        "clicks": [2.0, 8.0],
        "compression": [0.0, 400.0, 700.0, 0.0, 200.0, 500.0],
        "rebound": [0.0, 600.0, 1000.0, 0.0, 300.0, 650.0],
        "compression_clicks": 4.0,
        "rebound_clicks": 6.0,
        "friction": 25.0,
    }
    for name, value in expected.items():
        np.testing.assert_array_equal(values[f"{path}.damping.{name}"], value)
        assert is_list(f"{path}.damping.{name}") == (np.ndim(value) == 1)


def test_without_a_table_nothing_damps():
    gone = [without(f"{end}.damping") for end in ("front.damper", "rear.damper", "rear.brake_link")]
    mechanism, values = describe(changed(*gone))
    assert damped_links(mechanism) == set()
    assert not [path for path in values if ".damping." in path]


# --- clicks ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "paths"),
    [
        ("damper_front_compression", ("front.left.spring", "front.right.spring")),
        ("damper_rear_rebound", ("rear.spring_left", "rear.spring_right")),
        ("brake_compression", ("rear.brake_link",)),
    ],
)
def test_clicks_change_the_settings_of_their_own_dampers_only(key, paths):
    car = changed()
    _, values = describe(car)
    adjuster = adjusters_of(car)[key]
    found, batch = apply(values, adjusters_of(car), [{}, {key: adjuster.drawn + 3.0}])
    moved = {path for path, value in found.items() if np.size(value) != np.size(values[path])}
    assert moved == {f"{path}.damping.{key.rsplit('_', 1)[1]}_clicks" for path in paths}
    for path in moved:
        np.testing.assert_array_equal(found[path], adjuster.drawn + np.array([0.0, 3.0]))
    assert batch == 2


# --- what no damper can be -------------------------------------------------------------------------------------

CURVE = "front.damper.damping.curves.1"
REFUSED = [
    (put(f"{CURVE}.rebound.2", "-546 N"), "a rebound force of -546 N at 0.25 m/s, 20 clicks", "turn the sign round"),
    (put(f"{CURVE}.compression.3", "500 N"), "fall from 546 N to 500 N at the last speed", "measure one speed more"),
    (put(f"{CURVE}.clicks", 12), "curves at 0 to 12 clicks of a damper with 20 clicks", "leave `clicks_to_open` out"),
    (put("front.damper.damping.rebound_clicks", 21), "rebound_clicks = 21", "correct `rebound_clicks`"),
]


@pytest.mark.parametrize(("change", "found", "fix"), REFUSED)
def test_a_damper_that_can_not_be_is_one_clear_sentence(change, found, fix):
    problem = the_problem(change)
    assert problem.path == "front.damper.damping"
    assert found in problem.found
    assert fix in problem.fix


def test_a_curve_that_falls_between_and_rises_again_is_left_alone():
    """It takes energy all the same: force and speed keep their signs."""
    changed(put(f"{CURVE}.compression.2", "100 N"))


def test_one_curve_needs_no_setting():
    car = changed(put("front.damper.damping", TABLE | {"curves": TABLE["curves"][:1], "compression_clicks": 0}))
    assert "damper_front_compression" not in adjusters_of(car)
