"""Demo cars with beam axles of every kind rest, hold all their phases, and are in balance in each, worked out apart."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.car.checks.load_transfer import whole_car
from axlewright.car.file import parse
from axlewright.car.starter import starter_text
from axlewright.readings import readings_of, states
from axlewright.solve.results import Result
from axlewright.solve.verbs import hold, rest
from axlewright.units import GRAVITY
from tests.cars import BETONY, BRYONY, BURDOCK, TANSY, YARROW, Demo
from tests.solve.free_bodies import FreeBodies
from tests.solve.test_balance import BALANCE, LENGTH

DEMOS = pytest.mark.parametrize("demo", [TANSY, YARROW, BURDOCK, BETONY, BRYONY], ids=lambda demo: demo.name)
SIDE_VIEW = 1e-3  # relative; the tube's toe turns the wheels' planes by 0.05 deg
LEANING = 2e-2  # relative; the spin axis leans by 0.4 deg, and the bracket's link is 0.135 m inboard of the wheel
WEIGHT = 1e-6  # relative; the solver's tolerance on forces over the car's weight
# Unknowns of the axle's block: pose 6, a bellcrank's and each bracket's angle 1, one a rigid link (the design's rules).
SIZES = {"tansy": 6 + 4, "yarrow": 6 + 4, "burdock": 6 + 1, "betony": 6 + 3 + 7, "bryony": 6 + 1 + 5}


@DEMOS
def test_unknowns_as_the_design_counts_them(demo: Demo):
    assert demo.machine.topology.blocks[1].size == SIZES[demo.name]


@DEMOS
def test_it_rests_on_its_weight(demo: Demo):
    assert demo.rest.result[0] == Result.SOLVED
    assert demo.rest.wheel("load").sum() == pytest.approx(whole_car(demo.car).mass * GRAVITY, rel=WEIGHT)


@DEMOS
def test_it_holds_all_its_phases_both_ways(demo: Demo):
    assert (demo.held.result == Result.SOLVED).all()
    for member in range(demo.held.batch):
        assert states(demo.held, member)


@DEMOS
def test_every_body_and_the_whole_car_are_in_balance(demo: Demo):
    """Newton and Euler, with what half shafts and brakes pass on to the chassis or a bracket (the design's table)."""
    for member in range(demo.held.batch):
        at = FreeBodies(demo.held, member)
        for frame, load in at.loads.items():
            assert np.abs(load.force).max() < BALANCE, (frame, demo.phases[member])
            assert np.abs(load.about(at.about[frame])).max() < BALANCE, (frame, demo.phases[member])
        for name, moment in (at.parts | at.bars | at.spins).items():
            assert abs(moment) < BALANCE, (name, demo.phases[member])
        assert np.abs(at.outside.force).max() < BALANCE
        assert np.abs(at.outside.moment).max() < BALANCE
        assert {name: gap for name, gap in at.lengths.items() if not abs(gap) < LENGTH} == {}


def test_readings_of_a_pinion_only_where_there_is_one():
    live, tube = readings_of(TANSY.machine).keys(), readings_of(BRYONY.machine).keys()
    assert {"pinion_angle", "wind_up"} <= live
    assert not {name for name in tube if "pinion_angle" in name or "wind_up" in name}
    assert {"axle_steer", "axle_sideways", "axle_yaw"} <= tube & live
    assert "steer_by_wind_up" not in live  # its links hold it at one pitch
    assert "steer_by_wind_up" in readings_of(BURDOCK.machine)


@DEMOS
def test_every_reading_can_be_read_at_rest_and_in_every_phase(demo: Demo):
    for solved in (demo.rest, demo.held):
        for name, reading in readings_of(demo.machine).items():
            if not reading.costly and (reading.held if solved is demo.held else reading.at_rest):
                assert reading.read(solved).shape == (solved.batch,), name


def test_power_does_not_load_one_side_of_a_de_dion_tube():
    """The pinion's torque stays on the chassis: LR = RR in a straight launch of a car that is alike on both sides; on a
    live axle the usual shaft sense loads LR (the design's sign table).
    """
    for demo, pushed in ((BRYONY, False), (TANSY, True)):
        launch = demo.phases.index(("launch", "left"))
        left, right = demo.held.wheel("load")[2:, launch]
        assert (left - right > 50.0) == pushed
        assert left == pytest.approx(right, rel=2e-3) or pushed


def test_anti_squat_of_a_de_dion_tube_uses_the_wheel_centre():
    """V3.1 (Barton and Fieldhouse sec. 3.11; Gillespie): e replaced by e - r where the final drive is on the body."""
    reading = readings_of(BRYONY.machine)["anti_squat"]
    lower, upper = (0.212 - 0.196) / 0.515, (0.420 - 0.402) / 0.445  # slopes of the links' lines in side view
    at_axle = 0.196 - lower * 0.045, 0.402 - upper * 0.025
    ahead = (at_axle[1] - at_axle[0]) / (lower - upper)
    height = at_axle[0] + lower * ahead
    whole = whole_car(BRYONY.car)
    expected = (height - 0.285) / ahead * whole.wheelbase / whole.centre[2]
    assert reading.read(BRYONY.rest)[0] == pytest.approx(expected, rel=SIDE_VIEW)
    assert reading.read(BRYONY.rest)[0] != pytest.approx(height / ahead * whole.wheelbase / whole.centre[2], rel=0.1)


def test_anti_lift_with_brake_brackets_is_that_of_the_brackets_instant_centre():
    """The bracket turns about the crossing of its link's line with the line square to the wheel centre's path: t is
    that centre's height over its distance ahead (plane kinematics; Gillespie ch. 7, from memory). The axle's own
    centre, which the drive uses, is where its links' lines cross.
    """
    lower, upper = (0.208 - 0.222) / 0.555, (0.456 - 0.560) / 0.47
    at_axle = 0.222 - lower * 0.045, 0.560 - upper * 0.03
    ahead = (at_axle[1] - at_axle[0]) / (lower - upper)
    height = at_axle[0] + lower * ahead
    whole = whole_car(BETONY.car)
    ratio = whole.wheelbase / whole.centre[2]
    found = {name: readings_of(BETONY.machine)[name].read(BETONY.rest)[0] for name in ("anti_squat", "anti_lift")}
    assert found["anti_squat"] == pytest.approx(height / ahead * ratio, rel=SIDE_VIEW)
    normal, link = (height - 0.31) / ahead, (0.425 - 0.500) / 0.5
    centre = (0.500 - link * 0.02 - 0.31) / (normal - link)
    share = 1.0 - BETONY.car.brakes.front_share.value
    assert found["anti_lift"] == pytest.approx(share * (0.31 + normal * centre) / centre * ratio, rel=LEANING)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("rear", "sideways", "wheelbase"),
    [("three-link", "watt-on-axle", "2.3 m"), ("two-link", "panhard", "2.9 m"), ("multi-link", None, "2.65 m")],
)
def test_starter_files_rest_and_hold_their_phases(rear, sideways, wheelbase):
    car = parse(starter_text(rear=rear, sideways=sideways, wheelbase=wheelbase))
    assert rest(car).result[0] == Result.SOLVED
    held = hold(car, [(phase, turn) for phase in car.phases for turn in ("left", "right")])
    assert (held.result == Result.SOLVED).all()
