"""Tyre loads, load transfer and cross weight against the balance of the whole car."""

from __future__ import annotations

import numpy as np
import pytest

from tests.cars import TEASEL
from tests.textbook_car import G, Textbook, read

ROUNDING = 1e-4  # N; held states balance to 1e-6 N, summed over the car
MASS, DENSITY, DOWNFORCE = 1180.0, 1.2, 0.50  # of teasel's file: kg, kg/m^3, m^2
WHEELS = ("LF", "RF", "LR", "RR")


def loads(solved):
    return np.stack([read(solved, f"tyre_load_{wheel}") for wheel in WHEELS])


def test_loads_sum_to_weight_and_downforce():
    """Newton, along the road's normal; downforce is half rho V^2 times its area."""
    speed = np.array([phase.speed.value for phase in TEASEL.car.phases]).repeat(2)
    asked = MASS * G + 0.5 * DENSITY * speed**2 * DOWNFORCE
    assert loads(TEASEL.held).sum(axis=0) == pytest.approx(asked, abs=ROUNDING)
    assert loads(TEASEL.rest).sum(axis=0) == pytest.approx(MASS * G, abs=ROUNDING)


@pytest.mark.parametrize("end", ["front", "rear"])
def test_parts_of_load_transfer_sum_to_the_whole(end):
    """Virtual work is exact, whatever the phase."""
    parts = ("links", "springs", "unsprung", "pinion", "gyroscopic")
    whole = sum(read(TEASEL.held, f"load_transfer_{end}_{part}") for part in parts)
    assert whole == pytest.approx(read(TEASEL.held, f"load_transfer_{end}"), abs=ROUNDING)
    assert np.abs(read(TEASEL.held, f"load_transfer_{end}_springs")).max() > 500.0


def test_load_transfer_is_half_the_difference_of_an_axle():
    left, right = loads(TEASEL.held)[[0, 2]], loads(TEASEL.held)[[1, 3]]
    found = [read(TEASEL.held, f"load_transfer_{end}") for end in ("front", "rear")]
    assert np.array(found) == pytest.approx(0.5 * (right - left), abs=ROUNDING)


def test_gyroscopic_part():
    """Design 1.4: Iw w r of a wheel, outward; all four of them over the tracks (elementary mechanics)."""
    phases = {phase.name: i for i, phase in enumerate(TEASEL.car.phases)}
    found = [
        read(TEASEL.held, f"load_transfer_{end}_gyroscopic")[2 * phases["mid-corner"]] for end in ("front", "rear")
    ]
    by_hand = 4 * 1.2 * (32.0 / 0.338) * (G / 32.0) / 1.56  # rolling radius 0.338 m; a track at both ends
    # an axle holds its own; front wheels hand part of theirs to the chassis, where both ends share it as roll
    assert 0.25 * by_hand < sum(found) < by_hand
    assert found[1] == pytest.approx(0.5 * by_hand, rel=0.02)  # a solid axle holds its own


def test_cross_weight_spells_its_diagonal():
    """V9.2: D. Alexander's definitions, own numbers: left 53.8, rear 47.6, cross (RF + LR) 51.0 %; all differ."""
    kilos = np.array([690.0, 620.0, 655.0, 535.0])
    total, track, wheelbase = kilos.sum(), 1.5, 2.5
    at = np.array([-wheelbase * kilos[2:].sum() / total, 0.5 * track * (kilos[0::2] - kilos[1::2]).sum() / total, 0.5])
    car = Textbook(sprung=total, more={"chassis.sprung.at": at, "scales.cross_weight": 0.51})
    assert loads(car.rest)[:, 0] / G == pytest.approx(kilos, abs=1e-3)
    assert read(car.rest, "cross_weight")[0] == pytest.approx(0.510, abs=1e-9)


def test_changes_are_counted_from_rest():
    rest, held = loads(TEASEL.rest), loads(TEASEL.held)
    assert read(TEASEL.held, "rear_difference") == pytest.approx(held[2] - held[3] - (rest[2] - rest[3]), abs=ROUNDING)
    cross = lambda x: (x[1] + x[2]) / x.sum(axis=0)  # noqa: E731
    assert read(TEASEL.held, "cross_weight_change") == pytest.approx(cross(held) - cross(rest), abs=1e-9)
    inside = [held[2 if turn == "left" else 3, i] for i, (_, turn) in enumerate(TEASEL.phases)]
    turning = [i for i, (phase, _) in enumerate(TEASEL.phases) if phase not in ("straight braking", "launch")]
    assert read(TEASEL.held, "inside_rear_load")[turning] == pytest.approx(np.array(inside)[turning], abs=ROUNDING)
    inside = [held[0 if turn == "left" else 1, i] for i, (_, turn) in enumerate(TEASEL.phases)]
    assert read(TEASEL.held, "inside_front_load")[turning] == pytest.approx(np.array(inside)[turning], abs=ROUNDING)
