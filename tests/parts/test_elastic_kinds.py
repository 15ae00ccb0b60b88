"""Each elastic kind against its law worked by hand."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.parts import ELASTIC
from axlewright.parts.elastic import tension

EXACT = 1e-6  # N; away from the corners the law is linear, so only rounding is left


def load(kind, e, **properties):
    return tension(ELASTIC[kind](properties), e)


def test_a_spring_pushes_with_its_compression_and_never_pulls():
    assert load("coil_spring", -0.02, rate=40e3, set=0.05) == pytest.approx(-40e3 * 0.07, abs=EXACT)
    assert load("coil_spring", 0.06, rate=40e3, set=0.05) == 0.0


def test_a_perch_turned_up_compresses_the_spring():
    assert load("coil_spring", 0.0, rate=40e3, set=0.05, seat=0.002) == pytest.approx(-40e3 * 0.052, abs=EXACT)


def test_a_tender_acts_in_series_until_it_closes():
    spring = {"rate": 60e3, "tender_rate": 20e3, "tender_travel": 0.03}  # closes at 600 N, 40 mm
    assert load("coil_spring", 0.0, set=0.02, **spring) == pytest.approx(-15e3 * 0.02, abs=EXACT)
    assert load("coil_spring", 0.0, set=0.06, **spring) == pytest.approx(-600.0 - 60e3 * 0.02, abs=EXACT)


def test_a_progressive_spring_stiffens_where_its_table_says():
    table = {"extra_onset": np.array([0.02, 0.05, 0.0]), "extra_step": np.array([10e3, 20e3, 0.0])}
    by_hand = 40e3 * 0.06 + 10e3 * 0.04 + 20e3 * 0.01
    assert load("coil_spring", 0.0, rate=40e3, set=0.06, **table) == pytest.approx(-by_hand, abs=EXACT)


def test_coil_bind_is_as_stiff_as_steel():
    bound = load("coil_spring", 0.0, rate=40e3, set=0.101, bind=0.1, bind_rate=50e6)
    assert bound == pytest.approx(-40e3 * 0.101 - 50e6 * 0.001, abs=EXACT)


@pytest.mark.parametrize(("sense", "e"), [(-1.0, -0.04), (1.0, 0.04)])
def test_a_stop_acts_only_after_its_gap_less_packers(sense, e):
    stop = {"sense": sense, "gap": 0.03, "packer": 0.01, "rate": 100e3, "second_onset": 0.015, "second_step": 300e3}
    assert load("stop", 0.4 * e, **stop) == 0.0
    assert load("stop", e, **stop) == pytest.approx(sense * (100e3 * 0.02 + 300e3 * 0.005), abs=EXACT)


@pytest.mark.parametrize("e", [-0.1, 0.0, 0.1])
def test_gas_pushes_alike_at_every_length(e):
    assert load("gas", e, force=180.0) == -180.0


def test_a_compliant_link_works_both_ways():
    assert load("compliant", 1e-4, stiffness=8e6) == pytest.approx(800.0, abs=EXACT)
    assert load("compliant", -1e-4, stiffness=8e6) == pytest.approx(-800.0, abs=EXACT)


@pytest.mark.parametrize(
    ("u", "by_hand"),
    [
        (-0.002, -12.0),  # slack: the residual rate, a thousandth of the seat's, pushes a little
        (1e-4, 600.0),  # on the seat
        (0.01, 1500.0 + 200e3 * (0.01 - 2.5e-4)),  # on the spring
        (0.023, 1500.0 + 200e3 * 0.022 + 6e6 * (0.023 - 0.022 - 2.5e-4)),  # on the travel stop
    ],
)
def test_the_drive_link_is_slack_then_seat_then_spring_then_stop(u, by_hand):
    link = {"seat_rate": 6e6, "preload": 1500.0, "rate": 200e3, "travel": 0.022}
    assert load("drive_link", u, **link) == pytest.approx(by_hand, abs=EXACT)
    assert load("drive_link", 0.0, set=u, **link) == pytest.approx(by_hand, abs=EXACT)


@pytest.mark.parametrize("preload", [0.0, 20.0, 60.0, 119.0, 200.0])
def test_the_drive_link_never_softens_below_its_spring_however_small_the_preload(preload):
    link = ELASTIC["drive_link"]({"seat_rate": 6e6, "preload": preload, "rate": 200e3, "travel": 0.02})
    forces = tension(link, np.linspace(-1e-4, 2e-4, 3001))
    assert np.all(np.diff(forces) > 0.0)


@pytest.mark.parametrize(
    ("e", "by_hand"),
    [
        (0.05, -180.0),
        (-0.0019, -180.0),
        (-0.005, -180.0 - 400e3 * 0.003),
        (-0.01, -180.0 - 400e3 * 0.008 - 1e5 * 0.003),
    ],
)
def test_the_brake_link_pushes_with_gas_then_bumper(e, by_hand):
    link = {"gas": 180.0, "gap": 0.002, "bumper_rate": 400e3, "second_onset": 0.005, "second_step": 1e5}
    assert load("brake_link", e, **link) == pytest.approx(by_hand, abs=EXACT)


def test_a_spacer_that_takes_up_the_gap_brings_the_bumper_in_at_once():
    link = {"gas": 180.0, "bumper_rate": 400e3}
    assert load("brake_link", -0.003, gap=0.0, **link) == pytest.approx(-180.0 - 1200.0, abs=EXACT)
