"""Readings of struts, a third spring, brake brackets and a relay linkage, each against a second way to the number."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.car.checks.kinematics import located, side_view
from axlewright.readings._elastic import centre_modes, elastic_ends
from axlewright.readings._modes import bump, bump_braking, moved
from axlewright.readings._power import powers
from axlewright.readings._steer import steer_table
from axlewright.readings._velocity import block_motions
from axlewright.readings.anti import side_views
from axlewright.readings.states import states
from axlewright.readings.stiffness import roll_stiffness
from axlewright.solve.poses import grid
from axlewright.solve.travel import travel
from tests.handmade_car import HANDMADE, described
from tests.solve.conditions import conditions_of, states_of

WORK = 1e-3  # N, of loads of 1 to 10 kN: the solver stops at 1e-6 kN in each of some twenty balances
SAME = 1e-9  # two ways through the same geometry; metres and radians
CURVED = 1e-7  # per m of wheel travel: third derivatives of lengths are some 10 /m2, over steps of 10 um, and rounding
SLOPE = 1e-6  # rad/m, differences of a table whose cubics are good to 1e-9 rad over 5 mm


def test_all_loads_of_an_end_do_no_work_together():
    """Virtual work: nothing is left over in a bump of any held state, brake torques on brackets included."""
    held = states_of(HANDMADE)
    for block in range(2):
        for wheel in range(bump(held)[block].shape[1]):
            left = sum(powers(held, block, bump(held)[block][:, wheel]))
            worst = dict(zip(conditions_of(HANDMADE), np.abs(left).max(axis=0), strict=True))
            assert {name: float(w) for name, w in worst.items() if not w < WORK} == {}


def test_a_third_spring_holds_bump_but_not_roll():
    """Left and right turned alike: energy k (left + right)^2 / 2, nought in roll of a symmetrical car (elementary)."""
    at = HANDMADE.rest
    bars = elastic_ends(at)["front"].bars[..., 0]
    names = [bar.name for bar in at.machine.topology.mechanism.bars]
    stiffness = dict(zip(names, np.asarray(at.parameters.bar_stiffness)[:, 0], strict=True))
    assert bars.sum() == pytest.approx(stiffness["third_spring"] * (2.0 * _arm_turn("third_spring")) ** 2, rel=SAME)
    centre = at.wheel("centre")[1, :, 0]
    in_roll = stiffness["front_bar"] * (_arm_turn("front_bar") * (centre[0] - centre[1])) ** 2
    assert roll_stiffness(at, "front", "bar")[0] == pytest.approx(in_roll, rel=SAME)


def _arm_turn(bar: str) -> float:
    """Turn of the left arm per rise of its wheel centre, rad/m, by the numpy linkage."""
    mechanism, drawn = described()
    corner = located(mechanism, drawn, "front")
    foot, pivot, direction = (np.asarray(drawn[f"{bar}.left.{k}"]) for k in ("drop_point", "pivot", "direction"))
    hole, axis = pivot + 0.25 * direction, np.asarray(drawn[f"{bar}.left.axis"])
    along = (hole - foot) / np.linalg.norm(hole - foot)
    pose = corner.drawn()
    rise = corner.velocity(pose, "lower_arm", foot)
    rows = np.vstack([corner.jacobian(pose), corner.velocity(pose, "upright", corner.wheel_centre("LF"))[2]])
    motion = np.linalg.solve(rows, np.eye(len(rows))[-1])
    return abs(float(along @ (rise @ motion) / (along @ np.cross(axis, hole - pivot))))


def test_side_view_goes_with_the_bracket():
    """Readings and the numpy linkage of the checks, at the drawn pose: slope and arm of the bracket's contact point."""
    found = side_views(HANDMADE.rest)
    for case, name, active, sign in (("brake", "rear", "brake_link", 1.0), ("drive", "rear", "drive_link", 1.0)):
        view = side_view(*described(), name, active)
        assert found[case].slope[0] == pytest.approx(sign * view.slope, rel=1e-4), case
    braked, driven = found["brake"].arm[0], found["drive"].arm[0]
    assert abs(braked - driven) > 0.05  # m: another member takes the torque


def test_places_and_rates_agree_with_the_models_own():
    """Link ends' velocity rows of the readings against differences of travelled poses, struts sliding."""
    step = 1e-5
    at = travel(HANDMADE.machine, grid(bump=[-step, 0.0, step])).solved
    lengths = np.asarray(at.blocks[0].details.length)
    motion = centre_modes(at, 0).sum(axis=1)
    rate = moved(block_motions(at)[0].length_rate, motion)[:, 0, 1]
    rod = at.machine.topology.blocks[0].unknown_names.index("rod slide")
    slide = np.asarray(at.unknowns.local[0])[rod, 0]
    assert (slide[2] - slide[0]) / (2.0 * step) == pytest.approx(motion[rod, 0, 1], abs=CURVED)
    spring = at.machine.topology.blocks[0].links.index("spring")
    assert (lengths[spring, 0, 2] - lengths[spring, 0, 0]) / (2.0 * step) == pytest.approx(rate[spring], abs=CURVED)
    assert np.abs(rate[spring]) > 0.8  # a strut's spring moves nearly with the wheel


def test_the_steer_table_of_a_relay_linkage_has_its_own_slope():
    table = steer_table(HANDMADE.machine)
    middle = slice(1, -1)
    difference = (table.steer[:, 2:] - table.steer[:, :-2]) / (table.rack[2:] - table.rack[:-2])
    third = np.abs(np.diff(table.slope, 2)) / 6.0 * 2.0  # of the central difference, from the slopes' own bend
    assert (np.abs(difference - table.slope[:, middle]) < third + SLOPE).all()
    assert (table.slope[:, table.rack.size // 2] > 0.0).all()  # left steer positive


def test_a_relay_linkage_says_that_it_turns():
    assert states(states_of(HANDMADE), 0)["relay"] == "turning"


def test_brackets_move_in_the_braking_motion():
    assert np.abs(bump_braking(HANDMADE.rest)[1][-2:]).max() > 0.1  # rad/m
