"""Universal joints and whirling shafts against textbook answers; UJ-1 and the like: ids in the list of check values."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.linalg import eigh

from axlewright.readings._universal_joint import acceleration, angle_between, fluctuation, joined
from tests.cars import TEASEL
from tests.textbook_car import read

DIGIT = 0.5e-2  # deg and rpm: the answers' second decimal
TWO_IN_A_THOUSAND = 2e-3  # the answer's own rounding of the speed
ROUNDING = 1e-12


def angles(*degrees):
    return np.radians(np.array(degrees))


def line(side, plan=0.0):
    """Unit vector to the rear that falls and turns left by angles in degrees."""
    fall, left = np.radians([side, plan])
    return np.array([-np.cos(fall) * np.cos(left), np.cos(fall) * np.sin(left), -np.sin(fall)])[:, None]


def test_angle_for_a_stated_fluctuation():
    """UJ-1, Khurmi and Gupta Ex 9.4: 12 % of the mean speed at 19.64 deg."""
    assert fluctuation(angles(19.64))[0] == pytest.approx(0.12, rel=5e-4)  # four digits of the angle


def test_speeds_of_the_driven_shaft():
    """UJ-2, Khurmi and Gupta Ex 9.5: 100 rpm of 1200 rpm at 16.42 deg, between 1251 and 1151 rpm."""
    angle = np.radians(16.4229)
    assert 1200.0 * fluctuation(np.array([angle]))[0] == pytest.approx(100.0, abs=DIGIT)
    assert [1200.0 / np.cos(angle), 1200.0 * np.cos(angle)] == pytest.approx([1251.04, 1151.04], abs=DIGIT)


def test_highest_acceleration():
    """UJ-3, Khurmi and Gupta Ex 9.2: 20 deg at 1500 rpm, 3080 rad/s2 with the speed rounded to 157 rad/s."""
    assert acceleration(angles(20.0), np.array([157.0]))[0] == pytest.approx(3080.0, rel=TWO_IN_A_THOUSAND)
    assert acceleration(angles(20.0), np.array([1500.0 * np.pi / 30.0]))[0] == pytest.approx(3083.40, abs=DIGIT)


def test_two_joints_wrongly_phased():
    """UJ-6, Khurmi and Gupta Ex 9.7: 20 deg each at 500 rpm run between 441.5 and 566.2 rpm, and evenly when right.

    Here the forks are in phase and the joints' planes square to each other, which is the same fault.
    """
    shaft = np.array([-1.0, 0.0, 0.0])[:, None]
    wrong = joined(line(-20.0), shaft, line(0.0, 20.0))
    assert 500.0 * fluctuation(wrong)[0] == pytest.approx(566.237 - 441.511, abs=DIGIT)
    for last in (line(20.0), line(-20.0)):  # broken back (W), and parallel (Z)
        assert joined(line(-20.0), shaft, last) == pytest.approx(0.0, abs=1e-7)  # root of rounding


def test_compensated_shaft():
    """UJ-7: residual angle squared is the difference of the squares; 0.0027 of it is the 3 degree rule, 2.977 deg."""
    shaft = np.array([-1.0, 0.0, 0.0])[:, None]
    rest = np.degrees(joined(line(-5.0), shaft, line(4.0)))[0]
    assert rest == pytest.approx(3.0, rel=3e-3)  # the rule takes small angles: b^2 / 6 each
    assert fluctuation(angles(2.977))[0] == pytest.approx(0.0027, rel=5e-4)  # likewise, b^2 / 6


@pytest.mark.parametrize(("first", "last", "out_of_plane"), [(3.0, 2.0, 0.0), (4.0, 1.0, 2.5), (0.0, 2.0, -3.0)])
def test_speeds_by_turning_the_forks(first, last, out_of_plane):
    """Two joints turned step by step: each cross keeps its fork arms square to each other (kinematics)."""
    ends = line(-first), np.array([-1.0, 0.0, 0.0])[:, None], line(last, out_of_plane)
    turned = np.linspace(0.0, np.pi, 20001)
    arm = _about(ends[0], turned)
    for behind in ends[1:]:  # a cross' other arm is square to the arm ahead and to the shaft behind; forks in phase:
        arm = np.cross(behind, arm, axis=0)  # the shaft's far fork is parallel to its near one
        arm = arm / np.linalg.norm(arm, axis=0)
    base = _about(ends[2], np.zeros(1))[:, 0]
    side = np.cross(ends[2][:, 0], base)
    angle = np.unwrap(2.0 * np.arctan2(side @ arm, base @ arm)) / 2.0
    speed = np.gradient(angle, turned)[1:-1]
    found = fluctuation(joined(*ends))[0]
    assert np.ptp(np.abs(speed)) == pytest.approx(found, rel=1e-4, abs=1e-8)  # steps of 0.009 deg


def _about(axis, angle):
    """Unit vectors square to an axis, turned about it."""
    up = np.cross(axis[:, 0], [0.0, 1.0, 0.0])
    up /= np.linalg.norm(up)
    return np.outer(up, np.cos(angle)) + np.outer(np.cross(axis[:, 0], up), np.sin(angle))


def test_angles_between_lines():
    assert np.degrees(angle_between(line(3.0), line(-2.0)))[0] == pytest.approx(5.0, abs=1e-9)
    assert angle_between(line(1.0), line(1.0))[0] == pytest.approx(0.0, abs=ROUNDING)


def tube(solved, **values):
    """The shaft of a car changed to another tube."""
    path = {f"shaft.{key}": value for key, value in values.items()}
    return replace(solved, machine=replace(solved.machine, values={**solved.machine.values, **path}))


def placed(length):
    """Joints of a straight shaft of that length ahead of the pinion's joint of teasel."""
    pinion = np.asarray(TEASEL.machine.values["shaft.pinion.at"])
    return {"gearbox.at": pinion + np.array([length, 0.0, 0.0])}


def test_whirl_of_a_steel_tube():
    """An exercise on a public page of answers (read): 4 ft, 3 in outside, 1/8 in wall, E 29 Msi, 5800 rpm.

    It puts the whole mass in the middle of the span, 48 E I / L^3; spread along it the first mode is pi^2 / sqrt(48)
    as fast (Euler-Bernoulli, textbook).
    """
    inch, slug = 0.0254, 14.5939
    solved = tube(
        TEASEL.rest, diameter=3 * inch, wall=inch / 8, modulus=29e6 * 6894.757, density=0.00883 * slug / inch**3,
        **placed(48 * inch),
    )  # fmt: skip
    middle = 60.0 * read(solved, "shaft_critical_speed")[0] * np.sqrt(48.0) / np.pi**2
    assert middle == pytest.approx(5800.0, abs=50.0)  # two digits


def test_whirl_against_a_beam_of_finite_elements():
    """First mode of thirty cubic beam elements on pivots (textbook elements); converged to 1e-7."""
    outer, wall, length, modulus, density, n = 0.08, 0.003, 1.2, 207e9, 7850.0, 30
    solved = tube(TEASEL.rest, diameter=outer, wall=wall, modulus=modulus, density=density, **placed(length))
    inner, h = outer - 2 * wall, length / n
    bending = modulus * np.pi / 64 * (outer**4 - inner**4)
    mass = density * np.pi / 4 * (outer**2 - inner**2)
    k = np.array([[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h]])
    k = np.vstack([k, [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]]) * bending / h**3
    m = np.array([[156, 22 * h, 54, -13 * h], [22 * h, 4 * h * h, 13 * h, -3 * h * h]])
    m = np.vstack([m, [54, 13 * h, 156, -22 * h], [-13 * h, -3 * h * h, -22 * h, 4 * h * h]]) * mass * h / 420
    whole = np.zeros((2, 2 * n + 2, 2 * n + 2))
    for e in range(n):
        at = slice(2 * e, 2 * e + 4)
        whole[0, at, at] += k
        whole[1, at, at] += m
    free = [i for i in range(2 * n + 2) if i not in (0, 2 * n)]
    squares = eigh(*(x[np.ix_(free, free)] for x in whole), eigvals_only=True)
    assert read(solved, "shaft_critical_speed")[0] == pytest.approx(np.sqrt(squares[0]) / (2 * np.pi), rel=1e-6)
