"""Four-bars and Watt's linkage of textbooks, moved by the package's own travel, positions and velocities."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest

from axlewright.readings._modes import bump
from axlewright.readings._velocity import block_motions
from axlewright.solve.machine import Machine
from axlewright.solve.poses import grid
from axlewright.solve.solved import Solved
from axlewright.solve.travel import Travelled, travel
from tests.planar_car import FOUR_BAR, WATT, FourBar, Watt, planar_machine

pytestmark = pytest.mark.slow
INCH, FOOT = 0.0254, 0.3048  # m
CURVE = 1e-11  # of b^6: travel closes to 1e-12 m, and the curve's terms are some times b^5 steep
PRINTED = 2e-3  # three digits are printed
EXACT = 1e-12  # relative, of a velocity whose exact value is a ratio of the printed lengths

# Meriam and Kraige, Engineering Mechanics: Dynamics, sample problems 5/8 and 5/14: CB = 75 mm, OA = 100 mm, OC = 250
# mm; CB turns anticlockwise at a constant 2 rad/s; CB is level and OA upright. All measured from C.
SAMPLE_8 = FourBar(o=(-0.250, -0.050), a=(-0.250, 0.050), b=(-0.075, 0.0))
SAMPLE_8_SPEED = 2.0  # rad/s
# The same, sample problem 5/12: OB = 6 sqrt(2) in at 10 rad/s, and B, A and D are 14 sqrt(2), 14 and 15.23 in from the
# instant centre of AB. Those distances put that centre in line with OB and straight below A, with AB = 14 in level and
# D on it 6 in from A. A's arm points to the centre; 8 in long here. Measured from O.
SAMPLE_12 = FourBar(o=(-8.0 * INCH, -2.0 * INCH), a=(-8.0 * INCH, 6.0 * INCH), b=(6.0 * INCH, 6.0 * INCH))
SAMPLE_12_SPEED = 10.0  # rad/s
WATTS = {WATT[0]: Watt(a=0.30, b=0.28, c=0.10), WATT[1]: Watt(a=0.20, b=0.20 * np.sqrt(2.0), c=0.20)}
TURN = 1e-4  # rad of the crank to either side: differences of exact velocities then err by 1e-8


@cache
def machine() -> Machine:
    return planar_machine(WATTS | {FOUR_BAR[0]: SAMPLE_8, FOUR_BAR[1]: SAMPLE_12})


@dataclass(frozen=True)
class Moving:
    """Velocities of a four-bar at states of a travel, for a speed (B,) of its crank in rad/s, anticlockwise."""

    solved: Solved
    copy: int
    crank: float

    def _motion(self) -> np.ndarray:
        """Speeds of body and rocker, (7, B): the package's motion per rise of the wheel, scaled to the crank's."""
        per_rise = bump(self.solved)[1][:, 0, self.copy]
        return per_rise * (self.crank / per_rise[3])

    @property
    def rocker(self) -> np.ndarray:
        return self._motion()[6]

    def at(self, name: str) -> tuple[np.ndarray, np.ndarray]:
        """Position and velocity, each (2, B) as y and z, of end `a` or `b` of the coupler."""
        topology, placed = self.solved.machine.topology.blocks[1], block_motions(self.solved)[1].placed
        link, end = topology.links.index("coupler"), len(topology.links) * (name == "b")
        points = np.asarray(self.solved.blocks[1].details.points)[:, link + end]
        rows = placed.rows(topology.point_frames[link + end], points)
        return points[1:, self.copy], np.einsum("xnb,nb->xb", rows[1:, :, self.copy], self._motion())

    @property
    def coupler(self) -> np.ndarray:
        """Angular velocity of AB, rad/s: from the speeds of its ends across it."""
        (a, va), (b, vb) = self.at("a"), self.at("b")
        span, speed = b - a, vb - va
        return (span[0] * speed[1] - span[1] * speed[0]) / (span * span).sum(axis=0)


def turned(copy: int, angles: np.ndarray) -> Solved:
    """States with a four-bar's crank turned by `angles` (B,) from its drawn pose."""
    y, z = np.array((SAMPLE_8, SAMPLE_12)[copy].b)
    rise = y * np.sin(angles) + z * np.cos(angles) - z
    found = travel(machine(), grid(**{("LR", "RR")[copy]: rise}))
    assert found.reached.all()
    return found.solved


def test_four_bar_velocities():
    """Meriam and Kraige, sample problem 5/8: AB -6/7 and OA -3/7 rad/s."""
    moving = Moving(turned(0, np.zeros(1)), 0, SAMPLE_8_SPEED)
    assert moving.coupler == pytest.approx([-6.0 / 7.0], rel=EXACT)
    assert moving.rocker == pytest.approx([-3.0 / 7.0], rel=EXACT)


def test_four_bar_accelerations():
    """Meriam and Kraige, sample problem 5/14: AB -0.105 and OA -4.34 rad/s^2."""
    moving = Moving(turned(0, np.array([-TURN, TURN])), 0, SAMPLE_8_SPEED)
    time = 2.0 * TURN / SAMPLE_8_SPEED
    assert np.diff(moving.coupler)[0] / time == pytest.approx(-0.105, rel=PRINTED)
    assert np.diff(moving.rocker)[0] / time == pytest.approx(-4.34, rel=PRINTED)


def test_instant_centre_of_a_four_bar():
    """Meriam and Kraige, sample problem 5/12: AB 4.29 rad/s, A 5.00 ft/s, D 5.44 ft/s (printed answers from memory)."""
    moving = Moving(turned(1, np.zeros(1)), 1, SAMPLE_12_SPEED)
    assert abs(moving.coupler[0]) == pytest.approx(60.0 / 14.0, rel=EXACT)
    assert abs(moving.coupler[0]) == pytest.approx(4.29, rel=PRINTED)
    (_, va), (_, vb) = moving.at("a"), moving.at("b")
    assert np.linalg.norm(va) / FOOT == pytest.approx(5.00, rel=PRINTED)
    assert np.linalg.norm(va + (vb - va) * 6.0 / 14.0) / FOOT == pytest.approx(5.44, rel=PRINTED)


@cache
def traced(copy: int) -> np.ndarray:
    """The coupler's middle from the point halfway between the pivots, (2, B) as y and z."""
    reach = np.linspace(-0.09, 0.09, 31) if copy else np.linspace(-0.12, 0.12, 31)
    found: Travelled = travel(machine(), grid(**{("LF", "RF")[copy]: reach}))
    assert found.reached.all(), found.reasons
    at = found.solved.wheel("centre")[1:, copy]
    return at - at[:, 15:16]


def test_watts_curve():
    """The middle of the coupler stays on Watt's curve, a sextic (everything.explained.today, Watt's curve)."""
    watt, (x, y) = WATTS[WATT[0]], traced(0)
    square = x * x + y * y
    a, b, c = watt.a**2, watt.b**2, watt.c**2
    curve = square * (square - a - b + c) ** 2 + 4.0 * a * y * y * (square - b)
    assert np.abs(curve).max() < CURVE * watt.b**6
    assert np.abs(x).max() > 1e-3  # it is no straight line


def test_watts_curve_as_a_lemniscate():
    """a = c and b = a sqrt(2): Bernoulli's lemniscate r^2 = 2 a^2 cos 2t (the same; the algebra is ours)."""
    watt, (x, y) = WATTS[WATT[1]], traced(1)
    square = x * x + y * y
    curve = square * square - 2.0 * watt.a**2 * (x * x - y * y)  # times r^2
    assert np.abs(curve).max() < CURVE * watt.b**4
