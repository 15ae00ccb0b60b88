"""Ride rates and frequencies of a whole car against textbooks. V6.4 and the like: ids in the list of check values."""

from __future__ import annotations

from functools import cache

import pytest

from tests.textbook_car import STIFF_TYRE, G, Textbook, read

INCH, POUND = 0.0254, 4.4482216152605
LB_IN = POUND / INCH
PRINTED = 1e-3  # ride rates printed to 0.1 lb/in
TWO_DECIMALS = 5e-3  # 1/s
ENDS = ("front", "rear")


@cache
def gillespie():
    """V6.4: Gillespie, Fundamentals of Vehicle Dynamics, ch. 5 (from memory); rates and loads of one wheel."""
    loads = 957.0 * POUND, 730.0 * POUND
    return Textbook(
        sprung=2.0 * sum(loads) / G,
        sprung_front=loads[0] / sum(loads),
        spring=(143.0 * LB_IN / 0.7**2, 100.0 * LB_IN),  # V6.8: wheel rate = spring rate x ratio^2
        ratio=(0.7, 0.6),  # of the solid axle: in roll only, in bump its springs move as its wheels do
        tyre_rate=(1198.0 * LB_IN, 1198.0 * LB_IN),
    ).rest


def test_wheel_rate_is_spring_rate_times_ratio_squared():
    """V6.8: Barton and Fieldhouse p. 179, and the motion ratio the right way up."""
    rates = [read(gillespie(), f"wheel_rate_{end}")[0] / LB_IN for end in ENDS]
    assert rates == pytest.approx([143.0, 100.0], rel=PRINTED)
    assert [read(gillespie(), f"motion_ratio_{end}")[0] for end in ENDS] == pytest.approx([0.7, 1.0], rel=PRINTED)


def test_ride_rate_and_frequency():
    """V6.4: tyre in series; 127 is 127.75 cut off, so the recomputed digits are asked for."""
    rates = [read(gillespie(), f"ride_rate_{end}")[0] / LB_IN for end in ENDS]
    assert rates == pytest.approx([127.75, 92.30], rel=PRINTED)
    frequency = [read(gillespie(), f"ride_frequency_tyre_{end}")[0] for end in ENDS]
    assert frequency == pytest.approx([1.144, 1.113], abs=TWO_DECIMALS)


DEFLECTIONS = {1.0: 248.4, 2.0: 62.10, 3.0: 27.60}  # V6.6: static deflection in mm by frequency, by definition


@pytest.mark.parametrize("frequency", DEFLECTIONS)
def test_static_deflection(frequency):
    """A linear spring that its load has shortened so much rides at that frequency."""
    rate = 300.0 * G / (DEFLECTIONS[frequency] * 1e-3)
    car = Textbook(spring=(rate, rate), sprung=1200.0)
    for end in ENDS:
        assert read(car.rest, f"ride_frequency_{end}")[0] == pytest.approx(frequency, rel=PRINTED)


def test_springs_sink_and_tyres_give_by_their_rates():
    """Hooke: what 0.05 g upwards adds to a car's weight shortens springs by load / rate, and tyres give too."""
    car = Textbook(spring=(40e3, 50e3), tyre_rate=(250e3, STIFF_TYRE))
    solved = car.hold(an=0.05 * G)
    added = 0.05 * G * 300.0
    for end, rate, tyre in (("front.left.spring", 40e3, 250e3), ("rear.spring_left", 50e3, STIFF_TYRE)):
        assert read(solved, f"travel.{end}")[0] == pytest.approx(
            added / rate, rel=5e-3
        )  # front swing axle: 0.3 % at 4 mm
        height = "ride_height_LF" if "front" in end else "ride_height_LR"
        sunk = read(car.rest, height)[0] - read(solved, height)[0]
        assert sunk == pytest.approx(
            added / rate + added / tyre, rel=0.03
        )  # measured 0.2 to 0.1 m inside the wheelbase
