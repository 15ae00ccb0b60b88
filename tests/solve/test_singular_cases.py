"""Every case in which Newton's matrix is, or would be, singular, and what is done about it.

| case | test |
|---|---|
| straight line, ay = 0 | test_straight_ahead_is_regular |
| horizontal rows at rest | tests/model/test_counts.py: 40 = 40, regular, dropped unknowns zero |
| one signed effort at zero | test_effort_passes_through_zero |
| slip at no speed, launch | test_launch_from_standstill |
| slip magnitude at zero | test_no_slip_anywhere_has_finite_slopes; tests/parts/test_tyre.py |
| lifted wheel | test_lifted_wheel |
| lifted driven wheel, open differential | test_lifted_driven_wheel |
| lightly loaded undriven wheel | test_light_undriven_wheel_ends_nothing |
| braked wheel past its peak | test_locked_wheel |
| spool at no yaw | test_spool |
| plate differential sticking | test_plate_differential_sticks_and_slips |
| both torque links slack | test_both_torque_links_slack, test_axle_housing_with_two_rests |
| corners of preload, stops, gaps | test_through_every_corner_of_the_torque_links |
| both wheels of a side off | tests/solve/test_limit.py: "tips" |
| grip limit | tests/solve/test_limit.py |
| oversteering car above critical speed | test_critical_speed |
| bar toggle | tests/solve/test_results.py: "drop links too short" |
| redundant rigid links | tests/car/checks/test_freedoms.py: refused unless compliant |
| limits that a walk meets as kinks | test_walks_cross_the_differentials_kink |
| roads too rough for one Newton | test_a_rough_road_is_climbed_first |
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from axlewright.readings.states import states, words
from axlewright.solve.arc import unknown_scale
from axlewright.solve.limit import limit
from axlewright.solve.machine import Machine
from axlewright.solve.results import Result
from axlewright.solve.solved import Solved
from axlewright.solve.stability import rack_by_acceleration
from axlewright.solve.verbs import machine_of
from axlewright.units import GRAVITY
from tests.car.tables import changed, put
from tests.cars import TEASEL
from tests.solve.conditions import CONDITIONS, OPEN, SPOOL, Condition, held, packed, states_of, word

NAMES = tuple(CONDITIONS)
# Least singular value, unknowns and rows scaled to order one. The weakest hold of all is a lifted wheel's on its own
# slip, 1 N m a unit or 1e-5; a fold or a missing row gives 1e-9 and less.
REGULAR = 3e-6


def of(name: str) -> Solved:
    return states_of(TEASEL).take(np.array([NAMES.index(name)]))


def least_singular_value(solved: Solved) -> np.ndarray:
    matrix = solved.linear[1] * unknown_scale(solved.machine)[None, :-1, None]
    return np.linalg.svd(matrix.transpose(2, 0, 1), compute_uv=False)[:, -1]


def turning(solved: Solved) -> np.ndarray:
    """Spin speed over car speed of every wheel, rad/m."""
    slip = np.stack([solved.border(f"slip {w}") for w in ("LF", "RF", "LR", "RR")])
    return (1.0 + slip) * solved.wheel("along") / solved.wheel("rolling_radius")


def test_all_are_solved():
    assert (states_of(TEASEL).result == Result.SOLVED).all()


def test_straight_ahead_is_regular():
    """Side forces grow with slip angles, which fixes sideslip and rack without springs to ground."""
    straight, corner = of("straight"), of("mid-corner")
    assert least_singular_value(straight)[0] > REGULAR
    assert least_singular_value(straight)[0] > 0.1 * least_singular_value(corner)[0]
    assert abs(straight.border("sideslip")[0]) < 1e-3  # rad: there is a side force to hold only from toe and the shaft


def test_effort_passes_through_zero():
    """From engine braking to drive and from light braking to none: the effort's slope never vanishes."""
    ax = np.linspace(-0.06, 0.0, 13)
    for effort in ("engine", "brakes"):
        swept = held(TEASEL.machine, *(Condition(ax=a, effort=effort) for a in ax))
        found = swept.border("effort") * (1.0 if effort == "engine" else -1.0)
        assert found[0] < 0.0 < found[-1]
        slope = np.diff(found)
        assert slope.min() > 0.5 * slope.max()
        assert least_singular_value(swept).min() > REGULAR
        assert set(swept.result) == {Result.SOLVED, Result.WRONG_EFFORT}


def test_launch_from_standstill():
    """Nothing divides by speed: standstill is the limit of slow, but for the path, which at walking pace curves with
    the least sideslip and at standstill is straight: 0.7 N, most of it as the driven wheels then go their own ways.
    """
    still, slow = held(TEASEL.machine, Condition(ax=0.5, speed=0.0), Condition(ax=0.5, speed=0.5)).wheel("load").T
    assert still == pytest.approx(slow, abs=1.0)
    assert np.isfinite(of("launch from rest").linear[1]).all()
    assert least_singular_value(of("launch from rest"))[0] > REGULAR


def test_no_slip_anywhere_has_finite_slopes():
    """The drawn pose rolling: every slip and, on wheels without toe and camber, every slip angle is exactly zero."""
    machine = TEASEL.machine
    upright = {f"{w}.{name}": 0.0 for w in ("LF", "RF", "LR", "RR") for name in ("toe", "camber")}
    car, demand = packed(machine, [Condition(changes=upright)])
    _, derivative = machine.linearise(car, demand, machine.start)
    at = Solved(machine, car, demand, machine.start, np.zeros(1), np.zeros(1, dtype=int))
    assert np.abs(at.wheel("slip_angle")).max() == 0.0
    assert np.isfinite(derivative).all()


def test_lifted_wheel():
    """The pose is held by links; the load and its slope are exactly zero; the wheel keeps turning at road speed."""
    assert word(TEASEL, "lifted wheel", "LF") == "lifted"
    lifted = of("lifted wheel")
    assert lifted.wheel("load")[0, 0] == 0.0
    assert lifted.wheel("deflection")[0, 0] < -2e-4  # m: beyond the rounded corner
    assert abs(lifted.border("slip LF")[0]) < 1e-3
    assert least_singular_value(lifted)[0] > REGULAR


STIFF_REAR_BAR = {"rear_bar.torsion": 10.0 * float(np.ravel(TEASEL.machine.values["rear_bar.torsion"])[0])}


def test_lifted_driven_wheel():
    """Only bearing drag holds an unloaded wheel behind an open differential: it spins and drive ends, with a sentence.
    Locked together the same two wheels drive on.
    """
    both = held(TEASEL.machine, *(Condition(0.15, 1.15, changes=STIFF_REAR_BAR | diff) for diff in (OPEN, SPOOL)))
    assert list(both.result) == [Result.PAST_POWER, Result.SOLVED]
    assert both.wheel("load")[2, 1] < 500.0  # N, of 2 768 at rest
    assert both.border("slip LR")[0] > 0.1
    assert np.isfinite(both.state).all()
    assert both.error.max() < 1e-6


def test_light_undriven_wheel_ends_nothing():
    """Without the fade of spin-up an inside front with 50 N would need 54 N of drag, with slip far up its curve
    (calculated in the design; -0.037 here); with less load it would end the demand. The true limit is the rear's.
    """
    light = of("light undriven wheel")
    assert light.wheel("load")[0, 0] < 100.0
    found = limit(light)
    assert found.found[0]
    assert found.share[0] > 1.0
    assert found.ran_out[0] == "rear slides"
    assert found.at.wheel("load")[0, 0] < 60.0
    assert abs(found.at.border("slip LF")[0]) < 0.02  # a fifth of the peak's


def test_locked_wheel():
    """Past its peak a braked wheel locks; the others take over, and the demand is met beyond that wheel's own fold."""
    assert word(TEASEL, "locked wheel", "LR") == "locked"
    locked = of("locked wheel")
    assert locked.border("slip LR")[0] == pytest.approx(-1.0, abs=1e-9)
    capacity = locked.border("effort") * locked.wheel_parameter("brake_gain")[2]
    held_by_road = -locked.wheel("longitudinal")[2] * locked.wheel("rolling_radius")[2]
    assert 0.0 < held_by_road[0] < 0.8 * capacity[0]
    share = np.linspace(0.5, 1.0, 11)
    asked = CONDITIONS["locked wheel"]
    on_the_way = [Condition(s * asked.ax, s * asked.ay, effort="brakes", changes=asked.changes) for s in share]
    swept = held(TEASEL.machine, *on_the_way)
    assert (swept.result == Result.SOLVED).all()
    assert {str(w) for w in words(swept)["LR"]} == {"rolling", "locked"}


def test_spool():
    """Both wheels turn together, straight ahead and in a corner, to rounding and without creep."""
    for name in ("spool straight", "spool"):
        speeds = turning(of(name))[2:, 0]
        assert speeds[0] == pytest.approx(speeds[1], rel=1e-12)
        assert least_singular_value(of(name))[0] > REGULAR


def test_plate_differential_sticks_and_slips():
    """Sticking: equal speeds, torque difference within what the plates hold. Slipping: all, off the faster wheel."""
    preload, lock = (float(TEASEL.machine.values[f"driveline.{name}"]) for name in ("preload", "lock_drive"))
    corner = held(TEASEL.machine, Condition(ay=0.6), Condition(ay=-0.6), Condition(ax=0.3))
    difference = corner.border("difference")
    most = preload + lock * np.abs(corner.border("effort"))
    faster_left = np.sign(turning(corner)[2] - turning(corner)[3])
    assert list(faster_left[:2]) == [-1.0, 1.0]  # the outside wheel
    assert difference[:2] == pytest.approx(-faster_left[:2] * most[:2], rel=1e-9)
    assert abs(difference[2]) < most[2]
    assert turning(corner)[2, 2] == pytest.approx(turning(corner)[3, 2], rel=1e-12)


def test_both_torque_links_slack():
    """In the gap the drive-side link's residual rate k_s / 1000 holds the housing, with no more than 12 N over 2 mm."""
    assert word(TEASEL, "torque links slack", "rear.drive_link.drive") == "slack"
    assert word(TEASEL, "torque links slack", "rear.brake_link.brake") == "gas"
    slack = of("torque links slack")
    residual_rate, gap = 6e6 / 1000.0, 2e-3  # N/m, m: of the car file
    assert -1.1 * residual_rate * gap < slack.link(1, "drive_link", "tension")[0, 0] < 0.0
    assert slack.link(1, "brake_link", "tension")[0, 0] == pytest.approx(-180.0, abs=1e-6)  # gas alone
    assert least_singular_value(slack)[0] > REGULAR


@cache
def top_heavy() -> Machine:
    """Spring eyes 0.57 m up on the housing: their load pushes it over more than the slack links' residual rate."""
    return machine_of(
        changed(
            put("rear.spring.moving", [-2.75, 0.46, 0.57]),
            put("rear.spring.chassis", [-2.74, 0.42, 1.04]),
            put("rear.drive_link.seat_rate", "1 kN/mm"),
        )
    )


def test_axle_housing_with_two_rests():
    """Braking a little harder takes the housing from its seat to the bumper in one go. What was reached from rest is
    shown and said so; harder braking than both is held on the bumper as usual.
    """
    ax = (-0.0935, -0.113, -0.5)
    all_three = held(top_heavy(), *(Condition(ax=a, effort="brakes") for a in ax))
    seat, over, bumper = (all_three.take(np.array([i])) for i in range(3))
    assert [int(s.result[0]) for s in (seat, over, bumper)] == [Result.SOLVED, Result.TWO_RESTS, Result.SOLVED]
    assert states(seat, 0)["rear.drive_link.drive"] == "seat"
    assert states(bumper, 0)["rear.brake_link.brake"] == "bumper"
    assert over.link(1, "brake_link", "tension")[0, 0] == pytest.approx(-180.0, abs=1.0)
    assert limit(seat).ran_out[0] == "axle housing turns over"


def test_through_every_corner_of_the_torque_links():
    """From hard braking to the stop of the drive-side link: bumper, gap, seat, preload, spring, stop. Every state is
    found, and wind-up goes one way.
    """
    ax = np.linspace(-0.87, 0.87, 59)
    swept = held(TEASEL.machine, *(Condition(ax=a, effort="brakes" if a < -0.02 else "engine") for a in ax))
    seen = words(swept)
    assert (swept.result[np.abs(ax) > 0.06] == Result.SOLVED).all()
    assert set(map(str, seen["rear.drive_link.drive"])) == {"slack", "seat", "spring", "stop"}
    assert set(map(str, seen["rear.brake_link.brake"])) == {"gas", "bumper"}
    length = swept.link(1, "drive_link", "length")[0]
    assert (np.diff(length) > 0.0).all()
    assert least_singular_value(swept).min() > REGULAR


LOOSE = {
    f"{wheel}.tyre.{name}": value
    for wheels, grip, angle in ((("LF", "RF"), 1.56, 5.0), (("LR", "RR"), 1.28, 9.0))
    for wheel in wheels
    for name, value in (("grip", grip), ("slip_angle_peak", np.radians(angle)))
} | {f"driveline.{name}": 0.0 for name in ("preload", "lock_drive", "lock_coast")}  # plates are no linear law
# Share of the speed; a straight line in V^2 leaves out what downforce and drag add between 25 and 38 m/s.
CRITICAL = 0.05


def test_critical_speed():
    """Regular, but unstable. Of the linear car d(rack)/d(ay) goes as L/V^2 + K, so V^2 times it is a straight line in
    V^2 that crosses zero at the critical speed (any text on vehicle dynamics, from memory).
    """
    speed = np.array([15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0])
    swept = held(TEASEL.machine, *(Condition(ay=0.2, speed=v, changes=LOOSE) for v in speed))
    assert (swept.result == Result.SOLVED).all()
    times = rack_by_acceleration(swept) * speed**2
    slope, start = np.polyfit(speed[:3] ** 2, times[:3], 1)
    critical = np.sqrt(-start / slope)
    crossing = np.interp(0.0, times[::-1], speed[::-1])
    assert crossing == pytest.approx(critical, rel=CRITICAL)
    assert list(words(swept)["car"] == "unstable") == list(speed > crossing)
    assert (words(states_of(TEASEL))["car"][: NAMES.index("lifted wheel")] == "stable").all()


def test_rack_by_acceleration_is_its_difference():
    """Two holds close by, at one speed."""
    near = held(TEASEL.machine, *(Condition(ax=0.1, ay=a) for a in (0.599, 0.6, 0.601)))
    rack, ay = near.border("rack"), 0.002 * GRAVITY
    assert rack_by_acceleration(near)[1] == pytest.approx((rack[2] - rack[0]) / ay, rel=1e-4)  # difference's own error
    assert np.isnan(rack_by_acceleration(TEASEL.rest)[0])


def test_walks_cross_the_differentials_kink():
    """With an inside rear about to lift the plates begin to slip on the way: the curve turns there by 60 degrees."""
    found = limit(held(TEASEL.machine, Condition(ay=1.5, grip=1.6)))
    assert found.found[0]


def test_a_rough_road_is_climbed_first():
    """Newton from rest creeps when the road drops away under a driven wheel; from a shallower hole it does not."""
    assert of("hole").result[0] == Result.SOLVED
    machine, rest = TEASEL.machine, TEASEL.rest
    car, demand = packed(machine, [CONDITIONS["hole"]])
    assert machine.solve(car, demand, rest.state)[1][0] > 1e-3


def test_newton_from_a_neighbour_takes_few_steps():
    """4-6 iterations from a neighbour (calculated in the design); a corner met on the way adds one or two."""
    at = states_of(TEASEL)
    ordinary = [NAMES.index(name) for name in ("mid-corner", "exit", "launch", "entry", "kerb")]
    near = [Condition(**{**vars(CONDITIONS[NAMES[i]]), "grip": 0.99}) for i in ordinary]
    car, demand = packed(TEASEL.machine, near)
    _, error, iterations = TEASEL.machine.solve(car, demand, at.state[:, ordinary])
    assert error.max() < 1e-9
    assert iterations.max() <= 8
