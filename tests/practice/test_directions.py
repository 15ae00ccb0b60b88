"""What turning something does to the demo car: directions that every racing mechanic agrees on.

Common practice, no source, unless a line says otherwise. Balance > 0 is loose, < 0 pushes (the design's sign table).
"""

from __future__ import annotations

from functools import cache

import pytest

from axlewright.readings.base import Reading
from axlewright.tune.effects import AS_TURNED, Effects, effects
from tests.cars import TEASEL

MIDDLE, FAST, BRAKING, EXIT, LAUNCH = "mid-corner", "fast corner", "straight braking", "exit", "launch"
UP, DOWN = 1, -1

# One usable step up of an adjuster, what it does to a reading, in which phase.
DIRECTIONS = [
    # A bar hole farther from the pivot is a longer arm, so that end is softer (hole 1 is nearest the pivot).
    ("front_bar_hole", "roll_stiffness_front_bar", DOWN, MIDDLE),
    ("front_bar_hole", "vehicle_roll", UP, MIDDLE),
    ("front_bar_hole", "front_load_transfer_share", DOWN, MIDDLE),
    ("front_bar_hole", "balance", UP, MIDDLE),
    ("rear_bar_hole", "roll_stiffness_rear_bar", DOWN, MIDDLE),
    ("rear_bar_hole", "vehicle_roll", UP, MIDDLE),
    ("rear_bar_hole", "balance", DOWN, MIDDLE),
    ("rear_bar_hole", "inside_rear_load", UP, EXIT),
    # A stiffer end in roll loses grip.
    ("front_bar_size", "balance", DOWN, MIDDLE),
    ("rear_bar_size", "balance", UP, MIDDLE),
    ("rear_bar_size", "understeer_angle", DOWN, MIDDLE),
    ("springs_front", "balance", DOWN, MIDDLE),
    ("springs_front", "vehicle_roll", DOWN, MIDDLE),
    ("springs_rear", "balance", UP, MIDDLE),
    ("springs_rear", "vehicle_roll", DOWN, MIDDLE),
    ("springs_rear", "ride_frequency_rear", UP, MIDDLE),
    # The Watt's pivot up: rear roll centre up, less roll, looser.
    ("watt_pivot", "roll_centre_height_rear", UP, MIDDLE),
    ("watt_pivot", "vehicle_roll", DOWN, MIDDLE),
    ("watt_pivot", "front_load_transfer_share", DOWN, MIDDLE),
    ("watt_pivot", "balance", UP, MIDDLE),
    # The upper links run downhill toward the front; their chassis ends up makes them flatter.
    ("drive_mount_chassis", "anti_squat", DOWN, LAUNCH),
    ("brake_mount_chassis", "anti_lift", DOWN, BRAKING),
    # Lower links that fall toward the front understeer; their chassis ends up take that away.
    ("lower_mount_chassis", "axle_steer", DOWN, MIDDLE),
    # A stiffer torque spring, or more preload, winds up less under power; a wider gap more in braking (nose down).
    ("drive_spring", "wind_up", DOWN, LAUNCH),
    ("drive_preload", "wind_up", DOWN, LAUNCH),
    ("brake_gap", "wind_up", DOWN, BRAKING),
    # Brake bias toward the front: the front uses more of its grip, the rear less.
    ("brake_bias", "longitudinal_use_front", UP, BRAKING),
    ("brake_bias", "longitudinal_use_rear", DOWN, BRAKING),
    # A shorter final drive (higher ratio) makes less of the propeller shaft's torque.
    ("final_drive", "rear_difference", DOWN, LAUNCH),
    # Downforce and grip go to the end where they are added.
    ("wing", "balance", DOWN, FAST),
    ("wing", "grip_left_rear", UP, FAST),
    ("splitter", "balance", UP, FAST),
    ("splitter", "grip_left_front", UP, FAST),
    ("tyre_set_front", "balance", UP, MIDDLE),
    ("tyre_set_rear", "balance", DOWN, MIDDLE),
    # Wider at the rear: less load moves across it.
    ("spacers_rear", "load_transfer_rear", DOWN, MIDDLE),
    # Winding up a corner's perch loads it and the corner across, and takes from the other two.
    ("perch_LF", "tyre_load_LF", UP, LAUNCH),
    ("perch_LF", "tyre_load_RR", UP, LAUNCH),
    ("perch_LF", "tyre_load_RF", DOWN, LAUNCH),
    ("perch_LF", "tyre_load_LR", DOWN, LAUNCH),
    ("perch_LF", "cross_weight", DOWN, LAUNCH),
    # Ride height by all four perches.
    ("ride_height", "ride_height_LF", UP, MIDDLE),
    ("ride_height", "ride_height_LR", UP, MIDDLE),
]

AT_AN_END: tuple[str, ...] = ("spacers_rear",)  # without spacers as drawn, so there is no step down


@cache
def table() -> Effects:
    """Every move asked about, in one table."""
    readings = {name for _, name, _, _ in DIRECTIONS} | {"load_transfer_front", "load_transfer_rear"}
    return effects(
        TEASEL.car,
        phases=[MIDDLE, FAST, BRAKING, EXIT, LAUNCH],
        adjusters=list(dict.fromkeys(key for key, _, _, _ in DIRECTIONS)),
        readings=sorted(readings),
        restored=False,
        confidence=False,
    )


def change(adjuster: str, name: str, phase: str, turn: str = "left", way: int = 1) -> float:
    """Change of a reading, SI, by one usable step."""
    found = table()
    turn = "straight" if phase in (BRAKING, LAUNCH) else turn
    column = [(held.phase.name, held.turn) for held in found.phases].index((phase, turn))
    return float(found.row(adjuster, way, AS_TURNED).change[column, _ids().index(name)])


def _ids() -> list[str]:
    return [reading.id for reading in table().readings]


def reading(name: str) -> Reading:
    return table().readings[_ids().index(name)]


@pytest.mark.parametrize(("adjuster", "name", "way", "phase"), DIRECTIONS)
def test_a_step_up_goes_the_way_everyone_knows(adjuster, name, way, phase):
    got = change(adjuster, name, phase)
    assert way * got > reading(name).smallest, f"{got:.3g} {reading(name).unit}"


@pytest.mark.parametrize(
    ("adjuster", "name", "way", "phase"), [d for d in DIRECTIONS if d[3] in (MIDDLE, FAST) and "ride" not in d[0]]
)
def test_the_same_in_a_right_turn(adjuster, name, way, phase):
    """Signed roll and such change sign with the turn; what says how the car balances does not."""
    mirrored = {"vehicle_roll": -1.0, "load_transfer_rear": -1.0}
    assert mirrored.get(name, 1.0) * way * change(adjuster, name, phase, "right") > 0.0


@pytest.mark.parametrize(("adjuster", "name", "way", "phase"), [d for d in DIRECTIONS if d[0] not in AT_AN_END])
def test_a_step_down_undoes_a_step_up(adjuster, name, way, phase):
    assert way * change(adjuster, name, phase, way=-1) < 0.0


def test_a_lower_car_moves_less_load():
    """Whole load transfer goes with the height of the centre of mass."""
    moved = sum(change("ride_height", f"load_transfer_{end}", MIDDLE, way=-1) for end in ("front", "rear"))
    assert moved < -1.0


# What the design says 10 mm of Watt's pivot is worth, from an independent calculation; a step is 10.5 mm.
SIZES = [("front_load_transfer_share", -0.005, 0.1), ("roll_centre_height_rear", 0.0097, 0.005)]  # one digit; two


@pytest.mark.parametrize(("name", "asked", "within"), SIZES)
def test_a_step_is_worth_what_the_design_calculated(name, asked, within):
    assert change("watt_pivot", name, MIDDLE) == pytest.approx(1.05 * asked, rel=within)


def test_one_bar_hole_is_an_eighth_to_a_quarter_of_its_rate():
    """Practice, from the design's ranges: one hole 12 to 26 % of a bar's rate, since rate goes as 1 / arm^2."""
    for end in ("front", "rear"):
        column, row = _ids().index(f"roll_stiffness_{end}_bar"), [p.phase.name for p in table().phases].index(MIDDLE)
        share = change(f"{end}_bar_hole", f"roll_stiffness_{end}_bar", MIDDLE) / table().base[row, column]
        assert -0.26 < share < -0.12
