"""Masses, scales and ride heights that contradict one another."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.car.checks.weights import expected_weights, frame_twist
from axlewright.car.file import load
from tests.car.tables import problems, put, the_problem, without

KEYS = ("left_front", "right_front", "left_rear", "right_rear")
EXACT = expected_weights(load("teasel"))  # cross weight 50 %


def weighed(*off: float, unit: str = "kg"):
    """Changes that put teasel on the scales, each reading off by so many kg."""
    readings = {key: f"{weight + more} {unit}" for key, weight, more in zip(KEYS, EXACT, off, strict=True)}
    return [without("scales.cross_weight"), put("scales.corner_weights", readings)]


def test_expected_readings_are_those_of_the_design():
    """Corners 3 020 and 2 768 N (the design, calculated)."""
    assert pytest.approx([3020, 3020, 2768, 2768], abs=0.6) == EXACT * 9.81


@pytest.mark.parametrize("off", [(0, 0, 0, 0), (0.9, 0.9, -0.9, -0.9), (-0.9, 0.9, -0.9, 0.9), (8, -8, -8, 8)])
def test_readings_within_scale_tolerance_agree(off):
    """Cross weight is free: 8 kg across one diagonal contradicts nothing."""
    assert problems(*weighed(*off)) == ()


@pytest.mark.parametrize(
    ("off", "words"),
    [
        ((5, 5, 5, 5), "too heavy"),
        ((-3, -3, 3, 3), "the left front is 3.0 kg too light"),
        ((3, -3, 3, -3), "the left front is 3.0 kg too heavy"),
    ],
)
def test_readings_that_contradict_the_masses(off, words):
    problem = the_problem(*weighed(*off))
    assert problem.path == "scales.corner_weights"
    assert words in problem.fix
    assert "leave `masses.sprung.mass` and `masses.sprung.at` out" in problem.fix
    assert "left front 3" in problem.found


def test_better_or_worse_scales_change_what_is_accepted():
    assert problems(*weighed(3, -3, 3, -3), put("scales.known", "4 kg")) == ()
    assert problems(*weighed(-1.5, 1.5, -1.5, 1.5), put("scales.known", "0.5 kg")) != ()


def test_cross_weight_stated_twice():
    agreed = [*weighed(0, 0, 0, 0), put("scales.cross_weight", "50.1 %")]
    assert problems(*agreed) == ()
    problem = the_problem(*weighed(0, 0, 0, 0), put("scales.cross_weight", "51 %"))
    assert problem.path == "scales.cross_weight"
    assert (problem.found, problem.expected) == ("51.00 %", "50.00 %, as the corner weights say")


def test_without_corner_weights_the_sprung_mass_must_be_stated():
    found = problems(without("masses.sprung.mass"), without("masses.sprung.at"), put("masses.sprung.height", "0.5 m"))
    assert [p.path for p in found] == ["masses.sprung.mass", "masses.sprung.at"]
    assert "or [scales.corner_weights]" in found[0].fix


def test_more_in_the_car_than_the_car():
    problem = the_problem(put("masses.driver.mass", "990 kg"))
    assert problem.path == "masses.sprung.mass"
    assert "1012" in problem.found


def test_more_fuel_than_the_tank_holds():
    problem = the_problem(put("masses.fuel.volume", "70 l"))
    assert (problem.path, problem.expected) == ("masses.fuel.volume", 'at most the capacity "60 l"')


def test_ballast_places_need_names_of_their_own():
    twice = [{"name": "floor", "mass": "1 kg", "at": [-1, 0, 0.2]}] * 2
    assert "a name of its own" in the_problem(put("masses.ballast", twice)).expected
    assert the_problem(put("masses.ballast", [{**twice[0], "name": "fuel"}])).path == "masses.ballast"


@pytest.mark.parametrize(("height", "words"), [(0.090, "6.0 mm too high"), (0.080, "4.0 mm too low")])
def test_ride_heights_that_twist_the_frame(height, words):
    problem = the_problem(put("ride_heights.right_rear", [-2.60, -0.50, height]))
    assert problem.path == "ride_heights"
    assert words in problem.found


def test_ride_heights_within_what_a_floor_can_tell():
    assert problems(put("ride_heights.right_rear", [-2.60, -0.50, 0.086])) == ()


def test_ride_heights_below_ground_or_in_one_line():
    sunk = [
        put(f"ride_heights.{key}", [x, y, -0.07])
        for key, x, y in zip(KEYS, (0, 0, -2, -2), (1, -1, 1, -1), strict=True)
    ]
    assert {p.path for p in problems(*sunk)} == {f"ride_heights.{key}" for key in KEYS}
    line = put("ride_heights.left_rear", [-0.20, 0.10, 0.072])
    assert "points in one line" in the_problem(line).found


def test_twist_of_a_plane_is_none_and_of_a_lifted_corner_is_its_lift():
    plane = [np.array([x, y, 0.1 + 0.02 * x - 0.01 * y]) for x, y in ((0, 0.5), (0, -0.5), (-2, 0.6), (-2.1, -0.4))]
    assert frame_twist(plane) == pytest.approx(0.0, abs=1e-15)
    plane[3] = plane[3] + np.array([0, 0, 0.007])
    assert frame_twist(plane) == pytest.approx(0.007, rel=1e-12)
