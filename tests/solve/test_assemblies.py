"""The other way in which a car's parts go together: every link at its length, and never taken unasked."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.errors import RequestError
from axlewright.solve.assemblies import assemblies
from axlewright.solve.poses import grid
from axlewright.solve.travel import travel
from tests.cars import BRAMBLE, TEASEL

CLOSED = 1e-9  # m


def test_a_watts_bellcrank_closes_upside_down_too():
    """Its links are met by hand: each end of the bellcrank turned by the named angle, the axle where it is then."""
    (way,) = assemblies(TEASEL.machine)
    assert way.part == "bellcrank"
    values = TEASEL.machine.values
    found = travel(TEASEL.car, grid(bump=[-0.03, 0.0, 0.03]), assembly={"bellcrank": way.angle})
    assert found.reached.all()
    local = np.asarray(found.solved.unknowns.local[1])[:, 0]
    pivot = np.asarray(values["rear.bellcrank.axis_a"]).ravel()
    points = np.asarray(found.solved.blocks[1].details.points)[:, :, 0]
    names, drawn = found.solved.machine.topology.blocks[1].links, TEASEL.rest
    for side in ("left", "right"):
        arm = np.asarray(values[f"rear.watt_{side}.a"]).ravel() - pivot
        c, s = np.cos(local[6]), np.sin(local[6])
        end = pivot[:, None] + np.stack([arm[0] + 0 * c, c * arm[1] - s * arm[2], s * arm[1] + c * arm[2]])
        outer = points[:, len(names) + names.index(f"watt_{side}")]
        length = drawn.link(1, f"watt_{side}", "length")[0, 0]
        assert np.abs(np.linalg.norm(outer - end, axis=0) - length).max() < CLOSED
    assert np.degrees(local[6, 1]) == pytest.approx(np.degrees(way.angle), abs=0.1)


def test_the_drawn_way_is_taken_unless_another_is_named():
    bellcrank = np.asarray(travel(TEASEL.car, grid()).solved.unknowns.local[1])[6, 0, 0]
    assert bellcrank == pytest.approx(0.0, abs=CLOSED)


def test_links_without_turning_parts_have_no_other_way():
    assert assemblies(BRAMBLE.machine) == ()


@pytest.mark.parametrize(
    ("named", "said"),
    [({"bellcrank": 0.5}, "expected bellcrank=-161"), ({"crank": 1.0}, "no turning part with another assembly")],
)
def test_a_way_that_is_not_there_is_refused(named, said):
    with pytest.raises(RequestError, match=said):
        travel(TEASEL.car, grid(), assembly=named)
