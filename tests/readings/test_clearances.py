"""What is left before a part binds, bottoms, comes loose or touches: closed forms, held states and travel."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from scipy.optimize import lsq_linear
from scipy.spatial.transform import Rotation

from axlewright.car.describe import describe
from axlewright.car.describe.room import Room, room_of
from axlewright.car.schema import Car
from axlewright.parts.bar_arm import bar_arm, toggle_side
from axlewright.readings import READINGS, readings_of, states
from axlewright.readings.clearances import Margin, margins
from axlewright.readings.clearances.misalignment import standard_bolt, tilt_of
from axlewright.readings.clearances.toggles import angle_left, arm_angle_left
from axlewright.solve.poses import grid
from axlewright.solve.solved import Solved
from axlewright.solve.travel import travel
from axlewright.solve.verbs import hold, rest
from tests.car.tables import changed, put

EXACT = 1e-12  # m or rad; closed forms of numbers of size 1
# rad; an angle from a cosine near 1 loses half its digits, as the search and the bar arm's own closed form do
HALF = 1e-7
SOLVED = 1e-8  # m; states are solved to 1e-9 m of link length

# m; a tyre that leans stands lower: 330 mm x (cos 2.2 - cos 3.4 deg), teasel's camber as drawn and 50 mm into bump
LEANING = 3.5e-4
PITCHING = 1e-3  # m; the axle's pitch through bump moves a point on it that is not in line with the wheel centres

BIND = 0.150  # m of compression from free, less than teasel's rear springs take in the phases below
CLEARANCE = {
    "points": [
        {"name": "rail", "at": [-0.20, 0.50, 0.072], "pair": True},  # where the front ride heights are measured
        {"name": "diff", "at": [-2.75, 0.0, 0.20], "on": "axle", "least": "30 mm"},
    ],
    "tubes": [
        {"name": "link", "along": "lower", "radius": "16 mm"},
        {"name": "exhaust", "start": [-1.9, 0.36, 0.25], "end": [-2.9, 0.40, 0.30], "on": "chassis",
         "radius": "30 mm"},
        {"name": "housing", "start": [-2.75, 0.6, 0.33], "end": [-2.75, -0.6, 0.33], "on": "axle", "radius": "40 mm"},
    ],
}  # fmt: skip


@cache
def car() -> Car:
    ends = [{"link": "lower", "misalignment": "12 deg", "bolt": "y"}]
    return changed(
        put("joints", {"misalignment": "18 deg", "ball_joints": "25 deg", "ends": ends}),
        put("clearance", CLEARANCE), put("rear.spring.bind", f"{BIND} m"),
        put("rear.brake_link.shortest", "500 mm"), put("rear.brake_link.longest", "580 mm"),
    )  # fmt: skip


@cache
def room() -> Room:
    return room_of(car(), *describe(car()))


@cache
def held() -> Solved:
    return hold(car())


@cache
def moved() -> Solved:
    found = travel(car(), grid(bump=(-0.04, 0.0, 0.05), roll=(-0.03, 0.0, 0.03), steer=(0.0, 0.03)))
    assert found.reached.all()
    return found.solved


def by_id(solved: Solved) -> dict[str, Margin]:
    return {margin.id: margin for margin in margins(solved, room())}


STATES = pytest.mark.parametrize("solved", [held, moved], ids=["held", "travel"])


# --- joints ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("degrees", [0.0, 3.0, 17.0, 45.0, 90.0])
def test_a_link_tilted_by_a_known_angle(degrees):
    """A bolt across the car, and a link that points forward and is then turned about z: it is tilted by that turn; a
    turn about the bolt itself tilts nothing.
    """
    bolt, forward = np.array([0.0, 2.0, 0.0]), np.array([0.7, 0.0, 0.0])
    turned = Rotation.from_euler("z", degrees, degrees=True).apply(forward)
    about_bolt = Rotation.from_euler("y", 30.0, degrees=True).apply(forward)
    found = tilt_of(np.stack([turned, about_bolt], axis=1), np.stack([bolt, bolt], axis=1))
    np.testing.assert_allclose(found, [np.radians(degrees), 0.0], atol=EXACT)


@pytest.mark.parametrize(
    ("link", "steering", "bolt"),
    [
        ((-1.0, 0.0, 0.0), False, (0, 1, 0)),  # fore and aft: across
        ((-1.0, 0.0, 0.3), False, (0, 1, 0)),  # sloped: still level and square
        ((0.0, -1.0, 0.1), False, (1, 0, 0)),  # sideways: along the car
        ((-1.0, 1.0, 0.0), False, (0.5**0.5, 0.5**0.5, 0)),  # of a triangle: square to it
        ((0.0, 0.0, 1.0), False, (0, 1, 0)),  # upright: across
        ((0.0, 0.4, 0.0), True, (0, 0, 1)),  # tie rod: upright
    ],
)
def test_the_standard_bolt_is_square_to_the_link(link, steering, bolt):
    found = standard_bolt(np.array(link)[:, None], steering=steering)[:, 0]
    assert abs(found @ np.array(bolt, dtype=float)) == pytest.approx(1.0, abs=EXACT)
    assert found @ np.array(link) == pytest.approx(0.0, abs=EXACT)


@STATES
@pytest.mark.parametrize("end", ["a", "b"])
def test_lower_link_of_the_axle_by_another_library(solved, end):
    """The axle's turn from SciPy: its Cayley vector r = 2 tan(angle / 2) n makes the quaternion (r / 2, 1)."""
    one = solved()
    local = np.asarray(one.unknowns.local[1])[:6, 0].T
    turn = Rotation.from_quat(np.column_stack([local[:, 3:] / 2, np.ones(one.batch)]))
    at = np.asarray(one.parameters.blocks[1].body_at)[:, 0, 0].T
    chassis, axle = np.array([-2.1, 0.47, 0.232]), np.array([-2.7, 0.52, 0.24])
    link = at + local[:, :3] + turn.apply(axle - at) - chassis
    bolt = turn.apply([0.0, 1.0, 0.0]) if end == "b" else np.tile([0.0, 1.0, 0.0], (one.batch, 1))
    tilt = np.arcsin(np.abs((link * bolt).sum(axis=1)) / np.linalg.norm(link, axis=1))
    found = by_id(one)[f"misalignment.rear.lower_left.{end}"]
    np.testing.assert_allclose(found.value, np.radians(12.0) - tilt, atol=HALF)


@STATES
def test_ball_joints_by_another_library(solved):
    """Stud on the upright, housing in the arm: the arm's turn about its axis, the upright's as above; upper arm by a
    triad through its three points, whose turn SciPy finds by least squares.
    """
    one = solved()
    local = np.asarray(one.unknowns.local[0])[:, 0]
    upright = Rotation.from_quat(np.column_stack([local[3:6].T / 2, np.ones(one.batch)]))
    stud = upright.apply([0.0, 0.0, 1.0])
    axis = np.array([0.140, 0.290, 0.185]) - np.array([-0.200, 0.290, 0.189])
    unit = np.asarray(one.parameters.blocks[0].part_axis)[:, 0, 0, 0]
    lower = Rotation.from_rotvec(local[6][:, None] * axis / np.linalg.norm(axis) * np.sign(unit @ axis))
    found, limit = by_id(one), np.radians(25.0)
    for name, housing in (("lower", lower.apply([0.0, 0.0, 1.0])), ("upper", _upper_housing(one, upright, local))):
        tilt = np.arccos(np.clip((stud * housing).sum(axis=1), -1.0, 1.0))
        np.testing.assert_allclose(found[f"misalignment.front.left.{name}_ball"].value, limit - tilt, atol=HALF)


def _upper_housing(one: Solved, upright: Rotation, local: np.ndarray) -> np.ndarray:
    front, rear, ball = (np.array(p) for p in ([0.1, 0.4, 0.47], [-0.16, 0.4, 0.462], [-0.03, 0.65, 0.49]))
    at = np.asarray(one.parameters.blocks[0].body_at)[:, 0, 0].T
    now = at + local[:3].T + upright.apply(ball - at)
    turns = [Rotation.align_vectors(np.stack([front - rear, n - rear]), np.stack([front - rear, ball - rear]))[0]
             for n in now]  # fmt: skip
    return np.stack([turn.apply([0.0, 0.0, 1.0]) for turn in turns])


@pytest.mark.slow
def test_the_top_of_a_strut_tilts_as_the_upright_does():
    """The rod slides along a line that is fixed in the upright, so both turn alike; the upright's turn from SciPy."""
    strut = changed(put("joints", {"ball_joints": "25 deg"}), name="sorrel")
    one = travel(strut, grid(bump=(-0.04, 0.04), steer=(0.0, 0.03))).solved
    local = np.asarray(one.unknowns.local[0])[:6, 0].T
    upright = Rotation.from_quat(np.column_stack([local[:, 3:] / 2, np.ones(one.batch)]))
    found = {m.id: m.value for m in margins(one, room_of(strut, *describe(strut)))}
    tilt = np.arccos(upright.apply([0.0, 0.0, 1.0])[:, 2])
    np.testing.assert_allclose(found["misalignment.front.left.strut_top"], np.radians(25.0) - tilt, atol=HALF)


# --- springs, stops, dampers, torque links -------------------------------------------------------------------------


@STATES
def test_bind_and_seat_of_a_spring_add_up_to_its_whole_travel(solved):
    found = by_id(solved())
    for side in ("left", "right"):
        bind, seat = (found[f"{kind}.rear.spring_{side}.spring"] for kind in ("bind", "seat"))
        np.testing.assert_allclose(bind.value + seat.value, BIND, atol=EXACT)


def test_a_tender_spring_is_part_of_the_whole_travel():
    """The tender closes before the main spring works alone; both count from the free length of the stack."""
    soft = changed(put("rear.spring.bind", f"{BIND} m"), put("rear.spring.tender_rate", "10 N/mm"),
                   put("rear.spring.tender_travel", "20 mm"))  # fmt: skip
    found = {m.id: m.value for m in margins(rest(soft), Room())}
    both = found["bind.rear.spring_left.spring"] + found["seat.rear.spring_left.spring"]
    np.testing.assert_allclose(both, BIND, atol=EXACT)


def test_a_spring_is_compressed_by_what_its_load_says():
    """Hooke: 42 N/mm, so compression from free is load / rate; the corner's 0.1 mm rounding is far away."""
    found = by_id(held())
    names = [f"{link}.{term.name}" for _, link, term in held().machine.topology.blocks[1].terms]
    load = -np.asarray(held().blocks[1].details.term_tension)[names.index("spring_left.spring"), 0]
    np.testing.assert_allclose(found["seat.rear.spring_left.spring"].value, load / 42e3, atol=SOLVED)


def test_a_spring_shortened_past_bind_has_less_than_nothing_left_and_is_said_to_be_bound():
    """The spring stands 48.5 mm compressed; with 49 mm to bind the loaded rear binds in a corner."""
    tight = changed(put("rear.spring.bind", "49 mm"))
    corner = hold(tight)
    found = {m.id: m for m in margins(corner, Room())}["bind.rear.spring_left.spring"]
    words = np.array([states(corner, i)["rear.spring_left.spring"] for i in range(corner.batch)])
    assert (found.value < 0).any()
    np.testing.assert_array_equal(words == "bound", found.value <= 0)
    assert found.used_up == "coil bind"


@STATES
def test_damper_lengths_are_measured_between_its_eyes(solved):
    found = by_id(solved())
    solid, extended = (found[f"{kind}.rear.brake_link"] for kind in ("solid", "extended"))
    np.testing.assert_allclose(solid.value + extended.value, 0.08, atol=EXACT)
    one = solved()
    length = one.link(1, "brake_link", "length")[0]
    np.testing.assert_allclose(solid.value, length - 0.5, atol=SOLVED)


def test_torque_link_travel_left_is_what_the_share_used_leaves():
    """The reading `travel_share` says the same another way: 22 mm of spring travel."""
    left = by_id(held())["travel.rear.drive_link.drive"].value
    share = readings_of(held().machine)["travel_share.rear.drive_link"].read(held())
    moving = (share > 0.0) & (share < 1.0)
    assert moving.any()
    np.testing.assert_allclose(left[moving], 0.022 * (1.0 - share[moving]), atol=SOLVED)


# --- toggles -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("degrees", [0.0, 5.0, 40.0, 90.0])
def test_a_bar_arm_at_a_known_angle_from_the_line_to_its_drop_link(degrees):
    """Pivot, hole and lower end are a triangle; at toggle it is flat, and the angle at its pivot is what is left."""
    angle, arm = np.radians(degrees), 0.25
    pivot, axis, direction = np.zeros((3, 1)), np.array([[0.0], [1.0], [0.0]]), np.array([[-1.0], [0.0], [0.0]])
    lower = 0.4 * np.array([[-np.cos(angle)], [0.0], [-np.sin(angle)]])
    length = np.linalg.norm(arm * direction - lower, axis=0)
    side = toggle_side(pivot, axis, direction, lower) if degrees else np.ones(1)
    found = bar_arm(pivot, axis, direction, np.full(1, arm), length, lower, side)
    assert arm_angle_left(np.abs(found.reach))[0] == pytest.approx(angle, abs=HALF)


def test_a_bar_arm_past_toggle_has_less_than_nothing_left():
    assert (arm_angle_left(np.array([1.001, 1.1])) < 0).all()
    assert arm_angle_left(np.array([1.0]))[0] == 0.0


@pytest.mark.parametrize(
    ("drawn", "now", "left"),
    [(90, 90, 90), (80, 100, 80), (80, 170, 10), (80, -5, -5), (80, -170, -10), (-80, -20, 20), (-80, 3, -3)],
)
def test_angle_left_of_a_bellcrank_and_its_sign(drawn, now, left):
    """Flat at 0 and at 180 deg; past either the link is on the other side of the arm, by as much as it has gone."""
    found = angle_left(np.radians([drawn]), np.radians([now]))
    assert found[0] == pytest.approx(np.radians(left), abs=EXACT)


@STATES
def test_bellcrank_angle_is_that_between_arm_and_link(solved):
    """Plane geometry: the arm's angle from its part's turn, the link's from its ends; teasel's stands square."""
    one, found = solved(), by_id(solved())
    turn = np.asarray(one.unknowns.local[1])[6, 0] * np.asarray(one.parameters.blocks[1].part_axis)[0, 0, 0]
    arm = np.stack([-np.sin(turn), np.cos(turn)])  # y and z of the upper arm
    points = np.asarray(one.blocks[1].details.points)
    i = one.machine.topology.blocks[1].links.index("watt_left")
    n = len(one.machine.topology.blocks[1].links)
    link = (points[:, n + i] - points[:, i])[1:, 0]
    angle = np.arccos((arm * link).sum(axis=0) / np.linalg.norm(link, axis=0))
    np.testing.assert_allclose(
        found["toggle.rear.bellcrank.watt_left"].value, np.minimum(angle, np.pi - angle), atol=HALF
    )


# --- propeller shaft -----------------------------------------------------------------------------------------------


@STATES
def test_shaft_by_another_library(solved):
    """The pinion's joint and line carried by the axle, turned by SciPy; 10 deg of joint and 25 + 35 mm of slip."""
    one, found = solved(), by_id(solved())
    local = np.asarray(one.unknowns.local[1])[:6, 0].T
    turn = Rotation.from_quat(np.column_stack([local[:, 3:] / 2, np.ones(one.batch)]))
    at = np.asarray(one.parameters.blocks[1].body_at)[:, 0, 0].T
    span = at + local[:, :3] + turn.apply(np.array([-2.45, 0.0, 0.29]) - at) - np.array([-1.35, 0.0, 0.3])
    length = np.linalg.norm(span, axis=1)
    pinion = turn.apply([-1.0, 0.0, 0.0])
    angle = np.arccos((span * pinion).sum(axis=1) / length)
    np.testing.assert_allclose(found["shaft_angle.rear"].value, np.radians(10.0) - angle, atol=HALF)
    drawn = np.hypot(1.1, 0.01)
    np.testing.assert_allclose(found["shaft_slip_in"].value, 0.025 - (drawn - length), atol=SOLVED)
    np.testing.assert_allclose(found["shaft_slip_out"].value, 0.035 + (drawn - length), atol=SOLVED)


# --- ground and tubes ----------------------------------------------------------------------------------------------


def test_a_point_where_a_ride_height_is_measured_reads_that_height():
    """The kerb phase lifts the ground beside one wheel, which a ride height from the road plane doesn't see."""
    flat = np.abs(np.asarray(held().asked.road_height)).max(axis=0) == 0
    for side, wheel in (("left", "LF"), ("right", "RF")):
        height = READINGS[f"ride_height_{wheel}"].read(held())
        np.testing.assert_allclose(by_id(held())[f"ground.rail_{side}"].value[flat], height[flat], atol=SOLVED)


def test_pure_bump_takes_its_own_size_of_ground_clearance():
    """The road rises with the wheels, a point on the chassis stays and one on the axle keeps its height."""
    bump = np.array([-0.04, 0.0, 0.05])
    found = {m.id: m.value for m in margins(travel(car(), grid(bump=bump)).solved, room())}
    np.testing.assert_allclose(found["ground.rail_left"], 0.072 - bump, atol=LEANING)
    np.testing.assert_allclose(found["ground.diff"], 0.20 - 0.03, atol=PITCHING)


@STATES
def test_gaps_are_the_least_that_a_search_finds(solved):
    """Bounded least squares of SciPy in chassis axes: the distance doesn't depend on where the chassis is."""
    one, found = solved(), by_id(solved())
    points, n = np.asarray(one.blocks[1].details.points)[:, :, 0], len(one.machine.topology.blocks[1].links)
    i = one.machine.topology.blocks[1].links.index("lower_left")
    a, b = np.array([-1.9, 0.36, 0.25]), np.array([-2.9, 0.40, 0.30])
    least = [
        np.sqrt(2.0 * lsq_linear(np.stack([d - c, a - b], axis=1), a - c, (0.0, 1.0), tol=1e-14).cost)
        for c, d in zip(points[:, i].T, points[:, n + i].T, strict=True)
    ]
    key = next(k for k in found if k.startswith("gap") and "exhaust" in k and "link_left" in k)
    np.testing.assert_allclose(found[key].value, np.array(least) - 0.046, atol=SOLVED)


def test_tubes_that_share_a_part_or_a_joint_are_not_looked_at():
    tubes = [
        {"name": "one", "start": [-2.0, 0.3, 0.2], "end": [-2.5, 0.3, 0.2], "on": "chassis", "radius": "20 mm"},
        {"name": "two", "start": [-2.0, 0.3, 0.3], "end": [-2.5, 0.3, 0.3], "on": "chassis", "radius": "20 mm"},
        {"name": "lug", "start": [-2.70, 0.52, 0.24], "end": [-2.75, 0.52, 0.33], "on": "axle", "radius": "9 mm"},
        {"name": "link", "along": "lower", "radius": "16 mm"},
    ]
    other = changed(put("clearance.tubes", tubes))
    found = {m.id for m in margins(rest(other), room_of(other, *describe(other)))}
    gaps = {key for key in found if key.startswith("gap.")}
    assert "gap.one.two" not in gaps
    assert "gap.lug.link_left" not in gaps
    assert "gap.lug.link_right" in gaps
