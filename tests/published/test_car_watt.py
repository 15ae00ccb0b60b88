"""The axle's path under a whole car against Watt's curve. WA-1 and the like: ids in the list of check values."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.readings._frames import axle_blocks
from axlewright.readings._velocity import block_motions
from tests.textbook_car import G, Textbook, read

# Level trailing links, 10 m long, pull the axle 0.05 to 0.5 mm forward as it rises 30 mm or goes 100 mm sideways. The
# Watt's links, 0.3 to 0.6 m long, then reach out of their plane: 1e-8 and 1e-6 of their length.
CURVE, LEMNISCATE = 5e-8, 5e-5


def watt(arm, ends, drop):
    """A car on soft springs whose bellcrank has arms of `arm` m and its links' outer ends at +-(`ends`, `drop`)."""
    pivot = np.array([-2.5, 0.0, 0.3])
    points = {}
    for side, y in (("left", 1.0), ("right", -1.0)):
        points[f"rear.watt_{side}.a"] = pivot + np.array([0.0, 0.0, arm * y])
        points[f"rear.watt_{side}.b"] = pivot + np.array([0.0, ends * y, drop * y])
    return Textbook(spring=(60e3, 25e3), cornering=(1e6, 1e6), more=points)


def tracer(solved):
    """The bellcrank's pivot as seen from the axle, (2, B) m: the middle of Watt's coupler between his fixed pivots."""
    block = axle_blocks(solved)["rear"]
    placed = block_motions(solved)[block].placed
    turn = placed.rotation[:, :, 0, 0]
    centre = np.array([-2.5, 0.0, 0.3])
    moved = placed.point(1, centre[:, None, None])[:, 0]  # where the axle's own point there has gone
    return np.einsum("ijb,ib->jb", turn, centre[:, None] - moved)[1:]


def bounced(car):
    """Held over crests and dips, straight and in a turn: the axle 80 mm up and down and rolled."""
    return car.hold(an=np.array([-0.4, -0.2, 0.2, 0.4, -0.3, 0.3]) * G, ay=np.array([0, 0, 0, 0, 0.2, 0.2]) * G)


def test_watts_curve():
    """WA-1: the sextic (x^2+y^2)(x^2+y^2-a^2-b^2+c^2)^2 + 4 a^2 y^2 (x^2+y^2-b^2) = 0 of the coupler's middle."""
    c, ends, drop = 0.09, 0.55, 0.09
    car = watt(c, ends, drop)
    y, z = tracer(bounced(car))
    a, b = np.hypot(ends, drop), ends
    x, y = (ends * y + drop * z) / a, (ends * z - drop * y) / a  # x along the line of the fixed pivots
    r = x**2 + y**2
    assert np.abs(z).max() > 0.03
    terms = r * (r - a**2 - b**2 + c**2) ** 2, 4.0 * a**2 * y**2 * (r - b**2)
    assert np.abs(sum(terms)).max() < CURVE * np.abs(terms[0]).max()


def test_bernoullis_lemniscate():
    """WA-2: a = c, b = sqrt 2 a gives r^2 = 2 a^2 cos 2t, so the axle leaves the centre at 45 deg."""
    a = 0.3
    y, z = tracer(bounced(watt(a, a, 0.0)))
    assert (y**2 + z**2) ** 2 == pytest.approx(2.0 * a**2 * (y**2 - z**2), rel=LEMNISCATE)
    assert np.abs(z).max() > 0.03


def test_sideways_error():
    """WA-3, own algebra: equal arms b level at ride, coupler 2c upright: x = h^5 / (8 b^3 c) + ..."""
    b, c = 0.55, 0.09
    y, z = tracer(bounced(watt(c, b, c)))[:, :4]
    assert np.abs(y) == pytest.approx(np.abs(z) ** 5 / (8.0 * b**3 * c), rel=0.05)  # next term: (h/c)^2 of a sixteenth
    assert np.abs(read(bounced(watt(c, b, c)), "axle_sideways")[:4]).max() < 1e-4
