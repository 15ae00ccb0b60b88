"""Setups kept by name in the car file."""

from __future__ import annotations

from datetime import datetime

import pytest

from axlewright.car.file import checked, parse, read
from axlewright.car.write import with_setup
from axlewright.errors import CarFileError

WHEN = datetime(2026, 5, 9, 14, 15)
TWO_HOLES = {"rear_bar_hole_left": 2.0, "rear_bar_hole_right": 2.5}


def kept(text: str, name: str = 'wet "card"', **more):
    return with_setup(text, name, TWO_HOLES, author="Bea", date=WHEN, why="rain in ten minutes", **more)


@pytest.mark.parametrize("name", ['wet "card"', "dry", "a.b", "Länge [1]", "# no comment"])
def test_a_kept_setup_is_read_back(name):
    car = checked(parse(kept(read("teasel"), name)))
    one = car.setups[name]
    assert (one.author, one.date, one.why, one.positions) == ("Bea", WHEN, "rain in ten minutes", TWO_HOLES)
    assert car.setup == {}


def test_on_the_car_it_is_the_setup_too_and_nothing_else_is_left_of_the_old_one():
    before = read("teasel") + "\n[setup]\nwatt_pivot = 6 # turned at noon\nrear_bar_hole_left = 2\n"
    car = checked(parse(kept(before, on_car=True)))
    assert dict(car.setup) == TWO_HOLES


def test_everything_else_in_the_file_stays_as_it_was():
    text = read("teasel")
    written = kept(text)
    assert written.startswith(text.rstrip("\n"))
    assert kept(written) == written  # the same again changes nothing


def test_a_replaced_setup_stands_once():
    again = with_setup(kept(read("teasel")), 'wet "card"', {"watt_pivot": 6.0})
    assert parse(again).setups['wet "card"'].positions == {"watt_pivot": 6.0}


@pytest.mark.parametrize(
    ("positions", "message"),
    [
        ("{ rear_bar_hole_lef = 2 }", "write `rear_bar_hole_left` instead of `rear_bar_hole_lef`"),
        ("{ rear_bar_hole_left = 9 }", "found rear bar, hole, left side only at 9 hole; expected from 1 to 5"),
    ],
)
def test_a_setup_that_this_car_can_not_have_is_told_with_its_place(positions, message):
    text = f'{read("teasel")}\n[setups."wet card"]\npositions = {positions}\n'
    with pytest.raises(CarFileError, match=message) as found:
        checked(parse(text))
    assert str(found.value.problems[0].path).startswith("setups.wet card.positions.rear_bar_hole")


def test_a_number_is_no_date():
    with pytest.raises(CarFileError, match="date"):
        parse(f"{read('teasel')}\n[setups.wet]\ndate = 12\n")
