"""Relay linkage: published four-bars, an independent spatial closure, rates against differences, and toggle."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import root_scalar
from scipy.spatial.transform import Rotation

from axlewright.parts.relay_linkage import RelayLinkage, carried, carried_rate, relay_linkage, relay_pose

PRINTED = 0.002  # relative: the books print three digits
ROUNDING = 1e-12  # m and rad, of points a metre away
STEP = 1e-5  # m; central differences are then good to 1e-8, second ones to 1e-5
DIFFERENCES = 1e-7
SECOND = 1e-3  # relative, of second differences over 20 STEP
UP = np.array([0.0, 0.0, 1.0])


def flat(pitman: tuple[float, float], pitman_end: tuple[float, float], idler: tuple, idler_end: tuple) -> RelayLinkage:
    """A linkage in the plane z = 0, m."""
    points = [np.array([*p, 0.0]) for p in (pitman, pitman_end, idler, idler_end)]
    return relay_linkage((points[0], points[0] + UP), points[1], (points[2], points[2] + UP), points[3])


def test_four_bar_of_a_textbook_turns_and_speeds_up_as_printed():
    """Meriam and Kraige, Dynamics, samples 5/8 and 5/14: OA 100, OC 250, CB 75 mm, CB horizontal, OA vertical, CB at
    2 rad/s anticlockwise. Printed: w_AB -6/7, w_OA -3/7 rad/s; a_AB -0.105, a_OA -4.34 rad/s2.
    """
    linkage = flat((0.250, 0.050), (0.175, 0.050), (0.0, 0.0), (0.0, 0.100))
    sense = float(np.asarray(linkage.pitman_axis)[2])  # axis against the page's normal
    speed = 2.0 * 0.075 * sense  # of the pitman end along its arc, m/s, to the side counted positive
    at = [relay_pose(linkage, np.asarray(k * 20.0 * STEP)) for k in (-1, 0, 1)]
    relay = [sense * np.arctan2(p.turn[1], p.turn[0]) for p in at]
    idler = [sense * p.idler_angle for p in at]
    assert sense * at[1].turn_rate * speed == pytest.approx(-6.0 / 7.0, rel=PRINTED)
    assert (idler[2] - idler[0]) / (40.0 * STEP) * speed == pytest.approx(-3.0 / 7.0, rel=PRINTED)
    bend = [(a[2] - 2.0 * a[1] + a[0]) / (20.0 * STEP) ** 2 * speed**2 for a in (relay, idler)]
    assert bend[0] == pytest.approx(-0.104956, rel=SECOND)
    assert bend[1] == pytest.approx(-4.34, rel=PRINTED)


def test_four_bar_turns_about_its_instant_centre():
    """Meriam and Kraige, sample 5/12: OB 6 sqrt 2 in at 10 rad/s, instant centre 14 sqrt 2 in from B, 14 from A and
    15.23 from D. Printed: w_AB 4.29 rad/s, v_A 5.00 and v_D 5.44 ft/s. The figure is put together again from these
    distances: D lies 6 in from A on AB.
    """
    inch = 0.0254
    b, a, d = (14.0 * inch, 14.0 * inch), (14.0 * inch, 0.0), np.array([14.0 * inch, 6.0 * inch, 0.0])
    linkage = flat((20.0 * inch, 20.0 * inch), b, (6.0 * inch, 0.0), a)
    pose = relay_pose(linkage, np.zeros(()))
    speed = 10.0 * 6.0 * np.sqrt(2.0) * inch
    assert abs(pose.turn_rate) * speed == pytest.approx(4.29, rel=PRINTED)
    for point, printed in ((np.array([*a, 0.0]), 5.00), (d, 5.44)):
        velocity = carried_rate(linkage, pose, point) * speed
        assert np.linalg.norm(velocity) / (12.0 * inch) == pytest.approx(printed, rel=PRINTED)


def inclined() -> RelayLinkage:
    """Arms of ordinary size and unlike lengths, their axes leaning 12 deg back, the ends at unlike heights."""
    lean = np.array([-np.sin(0.2), 0.05, np.cos(0.2)])
    pitman, idler = np.array([-0.12, 0.36, 0.30]), np.array([-0.13, -0.35, 0.31])
    ends = np.array([-0.27, 0.35, 0.28]), np.array([-0.26, -0.33, 0.26])
    return relay_linkage((pitman, pitman + lean), ends[0], (idler - lean, idler), ends[1])


@pytest.mark.parametrize("shift", [-0.07, -0.02, 0.0, 0.03, 0.08])
def test_inclined_linkage_closes_as_solved_apart(shift):
    """Idler angle by bisection on the relay link's length with SciPy's rotations; the relay link as a rigid bar."""
    linkage = inclined()
    pose = relay_pose(linkage, np.asarray(shift))
    axis, crank = np.asarray(linkage.pitman_axis), np.asarray(linkage.pitman_end - linkage.pitman_pivot)
    start = linkage.pitman_pivot + Rotation.from_rotvec(axis * shift / np.linalg.norm(crank)).apply(crank)
    arm = linkage.idler_end - linkage.idler_pivot

    def end(angle: float) -> np.ndarray:
        return linkage.idler_pivot + Rotation.from_rotvec(axis * angle).apply(arm)

    drawn = np.linalg.norm(linkage.idler_end - linkage.pitman_end)
    angle = root_scalar(lambda a: np.linalg.norm(end(a) - start) - drawn, bracket=(-1.0, 1.0), xtol=1e-15).root
    assert pose.idler_angle == pytest.approx(angle, abs=ROUNDING)
    assert start[1] == pytest.approx(linkage.pitman_end[1] + shift, abs=0.2 * abs(shift))  # to the left
    assert carried(linkage, pose, linkage.pitman_end) == pytest.approx(start, abs=ROUNDING)
    assert carried(linkage, pose, linkage.idler_end) == pytest.approx(end(angle), abs=ROUNDING)
    point = np.array([-0.25, 0.1, 0.29])
    near = [carried(linkage, relay_pose(linkage, np.asarray(shift + s * STEP)), point) for s in (-1.0, 1.0)]
    rate = carried_rate(linkage, pose, carried(linkage, pose, point))
    assert rate == pytest.approx((near[1] - near[0]) / (2.0 * STEP), abs=DIFFERENCES)


def test_equal_parallel_arms_only_shift_the_link():
    """A parallelogram: the relay link never turns, so it does what a rack does but for its arc (elementary)."""
    points = [np.array(p) for p in ((0.0, 0.3, 0.3), (-0.15, 0.3, 0.3), (0.0, -0.3, 0.3), (-0.15, -0.3, 0.3))]
    linkage = relay_linkage((points[0], points[0] + UP), points[1], (points[2], points[2] - UP), points[3])
    shift = np.linspace(-0.08, 0.08, 9)
    spread = RelayLinkage(*(np.broadcast_to(np.asarray(x)[..., None], (*np.shape(x), 9)) for x in linkage))
    pose = relay_pose(spread, shift)
    assert pose.turn[1] == pytest.approx(np.zeros(9), abs=ROUNDING)
    assert carried(spread, pose, points[1][:, None] + 0.0 * shift)[1] == pytest.approx(
        0.3 + 0.15 * np.sin(shift / 0.15), abs=ROUNDING
    )


def test_past_toggle_is_said_and_nothing_blows_up():
    linkage = flat((0.0, 0.3), (-0.15, 0.3), (0.0, -0.3), (-0.12, -0.2))
    shift = np.linspace(-0.3, 0.3, 121)
    spread = RelayLinkage(*(np.broadcast_to(np.asarray(x)[..., None], (*np.shape(x), 121)) for x in linkage))
    pose = relay_pose(spread, shift)
    past = np.abs(pose.reach) > 1.0
    assert past.any()
    assert not past[60]
    points = carried(spread, pose, np.array([-0.13, 0.0, 0.0])[:, None] + 0.0 * shift)
    assert np.isfinite(points).all()
    assert np.abs(np.diff(points)).max() < 0.05  # m a step of 5 mm: it stops there and does not jump
