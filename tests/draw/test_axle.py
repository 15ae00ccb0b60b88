"""Where the rear end is drawn: two ways from a run to the same place, and a chassis turned by hand."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.draw.axle import axle_of
from axlewright.draw.moments import quantities, there
from axlewright.solve.motion.events import torque_hit
from axlewright.solve.motion.run import member
from tests.cars import TANSY, TEASEL
from tests.readings.motion.signals import run_of

CLOSE = 2e-4  # m; the axle rolls and moves along by a few mm, which a middle between two ends takes to first order
SHIFT = 5e-4  # rad; the axle moves along by a fraction of a mm, which the wheel centres are drawn without
EXACT = 1e-12  # m, of turns by hand
TIME = np.linspace(0.0, 1.0, 11)


@pytest.fixture(scope="module")
def hit():
    return member(torque_hit(TEASEL.car, [{}, {"drive_preload": 500.0}]), 1)


@pytest.mark.slow
def test_wheel_centre_by_heights_is_that_by_links(hit):
    """From heights and attitude to the road, against the lower links' ends and the wind-up, both on the axle."""
    axle = axle_of(hit)
    ends = 0.5 * (axle.links["rear.lower_left"][:, :, 1] + axle.links["rear.lower_right"][:, :, 1])
    lever = axle.centre[0] - ends[0, [0, 2]]
    turn = axle.wind_up - axle.wind_up[0]
    up = ends[:, 2] + np.sin(turn) * lever[0] + np.cos(turn) * lever[1]
    assert np.ptp(axle.centre[:, 1]) > 10 * CLOSE
    np.testing.assert_allclose(axle.centre[:, 1], up, atol=CLOSE)


@pytest.mark.slow
def test_links_are_in_the_view_that_shows_their_length(hit):
    axle = axle_of(hit)
    assert set(axle.side_view()) == {f"rear.{n}" for n in ("lower_left", "lower_right", "drive_link", "brake_link")}
    assert set(axle.rear_view()) == {"rear.watt_left", "rear.watt_right"}


@pytest.mark.slow
def test_an_arm_turns_with_its_axle(hit):
    """A torque arm is drawn from the wheel centres to its link and keeps its length; a car without one has none."""
    assert axle_of(hit).arms() == {}
    axle = axle_of(member(torque_hit(TANSY.car, [{}]), 0))
    assert set(axle.arms()) == {"rear.arm"}
    assert "rear.arm" in axle.side_view()  # an upright link, which the side view would leave out elsewhere
    from_wheel, end = np.moveaxis(axle.arms()["rear.arm"], -1, 0)
    arm = end - from_wheel
    assert arm[0, 0] > 1.0  # m, towards the front
    turned = np.arctan2(arm[:, 1], arm[:, 0]) - np.arctan2(arm[0, 1], arm[0, 0])
    assert np.ptp(axle.wind_up) > 1e-3
    np.testing.assert_allclose(turned, axle.wind_up - axle.wind_up[0], atol=SHIFT)


@pytest.mark.slow
def test_what_a_car_has_is_shown(hit):
    shown = [one.id for one in there([("one", hit)], quantities("drive"))]
    assert shown[:4] == ["force", "use", "wind_up", "rear_load"]
    assert {"drive_link", "brake_link", "load_2", "load_3", "ax"} <= set(shown)
    assert "torque_arm" not in shown


def test_from_behind_by_hand():
    run = run_of(TIME, "road", heave=np.full(11, 0.1), roll=np.full(11, 0.02), pitch=np.full(11, 0.01))
    y, z = axle_of(run).behind(np.full((11, 3, 1), [[-2.0], [0.5], [0.3]]))[0, :, 0]
    assert y == pytest.approx(
        0.5 * np.cos(0.02) - 0.3 * np.sin(0.02), abs=EXACT
    )  # the right side goes down: to the right
    assert z == pytest.approx(
        0.1 + 2.0 * np.sin(0.01) + np.cos(0.01) * (0.5 * np.sin(0.02) + 0.3 * np.cos(0.02)), abs=EXACT
    )  # the nose goes down, so the rear and the left side go up


def test_without_an_axle_nothing_winds_up():
    run = run_of(TIME, "road")
    run.seen.wind_up.clear()
    assert axle_of(run).body == ""
    assert not np.any(axle_of(run).wind_up)
