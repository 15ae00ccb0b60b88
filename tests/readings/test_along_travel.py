"""Readings that are slopes against the change of what they are the slope of, between neighbouring poses of a travel."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from axlewright.readings import readings_of
from axlewright.readings.anti import side_views
from axlewright.solve.poses import grid
from axlewright.solve.travel import Travelled, travel
from tests.cars import BRAMBLE, DUNNOCK, SORREL, TEASEL, Demo
from tests.textbook_car import read

STEP = 1e-4  # m and rad to either side: third differences leave 1e-8 of a slope
NEAR = 2e-5  # share of a slope's scale that is left: those, and lengths closed to 1e-12 m over STEP
# Bramble's five axle links are one more than its freedoms leave, so they are strained as it travels. The travel follows
# the least of the whole strain energy, a reading's slope the links' rates alone: what their pull does by turning is
# left out.
STRAINED = 1e-3
CARS = pytest.mark.parametrize("car", [TEASEL, BRAMBLE], ids=lambda car: car.name)
ALL = pytest.mark.parametrize("car", [TEASEL, BRAMBLE, DUNNOCK, SORREL], ids=lambda car: car.name)
POSES = {"bump": (-0.03, 0.0, 0.04), "roll": (-0.04, 0.0, 0.03), "steer": (-0.02, 0.0, 0.015)}


@cache
def poses(car: Demo, active: str = "drive") -> Travelled:
    return travel(car.car, grid(**POSES), active=active)


@cache
def beside(car: Demo, move: str, active: str = "drive") -> tuple[Travelled, Travelled]:
    """The same poses moved a little to either side along one movement."""
    base = grid(**POSES)
    at = {"bump": base.bump, "roll": base.roll, "steer": base.steer} | {
        f"{w}": base.wheels[i] for i, w in enumerate(WHEELS)
    }
    found = []
    for sign in (-1.0, 1.0):
        moved = at | {move: at.get(move, base.wind_up) + sign * STEP}
        wheels = np.stack([moved.get(w, np.zeros(base.batch)) for w in WHEELS])
        wind_up = moved.get("wind_up", base.wind_up)
        found.append(
            travel(car.car, type(base)(moved["bump"], moved["roll"], moved["steer"], wind_up, wheels), active=active)
        )
    return found[0], found[1]


WHEELS = ("LF", "RF", "LR", "RR")


def slope(car, name, move, active="drive", per=None):
    """Change of a reading by a movement, or by what another reading changes, (B,)."""
    ends = [x.solved for x in beside(car, move, active)]
    change = [read(x, name) for x in ends]
    over = [read(x, per) for x in ends] if per else [-STEP, STEP]
    return (change[1] - change[0]) / (over[1] - over[0])


def same(found, expected, scale, strained=False):
    within = STRAINED * np.abs(expected).max() if strained else 0.0
    assert found == pytest.approx(expected, abs=NEAR * scale + within)


@ALL
@pytest.mark.parametrize("wheel", WHEELS)
def test_camber_gain_and_bump_steer(car, wheel):
    """Per 25 mm of rise: what camber and toe-in change by from one pose to the next (SAE J670, ISO 8855 angles)."""
    solved, inward = poses(car).solved, 1.0 if wheel[0] == "R" else -1.0
    same(read(solved, f"camber_gain_{wheel}"), 0.025 * slope(car, f"chassis_camber_{wheel}", "bump"), 0.025)
    steer = inward * 0.025 * slope(car, f"steer_{wheel}", "bump")
    same(read(solved, f"bump_steer_{wheel}"), steer, 0.025, strained=car is BRAMBLE and wheel in ("LR", "RR"))


@ALL
def test_roll_steer_and_camber_in_roll(car):
    """Per suspension roll, which is the roll that the travel was asked for only as drawn."""
    solved = poses(car).solved
    for end, sign in (("front", -0.5), ("rear", 0.5)):
        wheels = WHEELS[:2] if end == "front" else WHEELS[2:]
        roll = f"suspension_roll_{end}"
        steer = sum(slope(car, f"steer_{wheel}", "roll", per=roll) for wheel in wheels)
        name = "axle_steer" if end == "rear" and car in (TEASEL, BRAMBLE) else f"roll_steer_{end}"
        same(read(solved, name), sign * steer, 1.0)
        for wheel in wheels:
            own = -1.0 if wheel[0] == "L" else 1.0
            gain = own * slope(car, f"chassis_camber_{wheel}", "roll", per=roll)
            same(read(solved, f"camber_in_roll_{wheel}"), gain, 1.0)


def links(car):
    """(reading, block, link, copy, movements of the own wheel's rise) of every spring and damper."""
    for name in readings_of(car.machine):
        if name.startswith(("motion_ratio.front.", "motion_ratio.rear.")):
            yield name


@CARS
def test_motion_ratios_of_springs(car):
    """Shortening over rise between poses: of a corner by bump, of an axle in heave by bump and in roll by roll."""
    solved = poses(car).solved
    for name in links(car):
        _, end, link, *motion = name.removeprefix("motion_ratio").split(".")
        block = ["front", "rear"].index(end)
        i = int(block == 0 and link == "right")
        own = link if block == 1 else motion[0]
        ends = [x.solved for x in beside(car, "roll" if "roll" in motion else "bump")]
        length = [x.link(block, own, "length")[i] for x in ends]
        rise = [x.blocks[block].contact.centre[2] for x in ends]
        wheel = (int(link.endswith("right")), 0) if block == 1 else (0, i)
        ratio = -(length[1] - length[0]) / (rise[1] - rise[0])[wheel]
        same(read(solved, name), ratio, 1.0)


@pytest.mark.parametrize("active", ["drive", "brake"])
def test_swing_arms_of_both_torque_links_are_what_turns_the_axle(active):
    """An axle that rises turns by rise over swing arm: about one point under drive, about another in braking.

    Taken in the chassis, as the travel is; the reading is along the road that fits the wheels.
    """
    solved = poses(TEASEL, active).solved
    turn = slope(TEASEL, "pinion_angle", "bump", active)
    same(-1.0 / side_views(solved)[active].arm, turn, 1.0)


@pytest.mark.parametrize("active", ["drive", "brake"])
def test_path_slope_is_the_way_of_a_point_of_the_axle(active):
    """t: the axle's own point at the contact centre goes back by t of its rise; from its centre's way and its turn."""
    solved = poses(TEASEL, active).solved
    ends = [x.solved for x in beside(TEASEL, "bump", active)]
    centre = [x.wheel("centre")[:, 2:] for x in ends]
    lever = (solved.wheel("centre") - solved.wheel("point"))[:, 2:]
    way = (centre[1] - centre[0]) / (2.0 * STEP)
    nose = slope(TEASEL, "pinion_angle", "bump", active)  # about -y
    yaw = slope(TEASEL, "axle_yaw", "bump", active)
    back = -(way[0] + nose * lever[2] + yaw * lever[1]) / (way[2] - nose * lever[0])
    same(side_views(solved)[active].slope, back.mean(axis=0), 1.0)


@CARS
def test_sideways_shift_by_bump(car):
    same(read(poses(car).solved, "axle_sideways_by_bump"), slope(car, "axle_sideways", "bump"), 1.0)


def test_steer_by_wind_up():
    """Mean steer of the rear wheels as the housing alone turns nose up."""
    steer = 0.5 * sum(slope(TEASEL, f"steer_{w}", "wind_up", per="wind_up") for w in ("LR", "RR"))
    same(read(poses(TEASEL).solved, "steer_by_wind_up"), steer, 1.0)


@CARS
def test_a_travel_is_counted_from_the_drawn_pose(car):
    """Wind-up and spring compression, which are changes from rest, vanish as drawn and only there."""
    drawn = travel(car.car, grid(bump=[0.0, 0.02])).solved
    spring = "travel.front.left.spring"
    assert read(drawn, spring)[0] == pytest.approx(0.0, abs=1e-12)
    assert read(drawn, spring)[1] == pytest.approx(0.02 * read(drawn, "motion_ratio_front").mean(), abs=1e-4)
    assert read(drawn, "wind_up")[0] == pytest.approx(0.0, abs=1e-12)


@CARS
def test_every_travel_reading_has_a_value_everywhere(car):
    """But Ackermann near straight ahead, and what springs keep where they hang loose."""
    solved = travel(car.car, grid(bump=[-0.02, 0.02], roll=[-0.03, 0.02], steer=[0.03])).solved
    for name, reading in readings_of(car.machine).items():
        if reading.travel:
            assert np.isfinite(reading.read(solved)).all(), name
            assert reading.read(solved).shape == (4,), name
