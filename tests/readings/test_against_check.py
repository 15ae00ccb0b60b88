"""What `check` says of the drawn wheels and what the readings say: two ways through different code, one number.

`check` moves the linkage in numpy without the solver; the readings take the model's own velocities in a solved state.
"""

from __future__ import annotations

import pytest

from axlewright.car.checks.kinematics import wheel_turns
from axlewright.car.describe import describe
from axlewright.readings import readings_of
from axlewright.readings.wheel_travel import BUMP
from tests.cars import DUNNOCK, SORREL, TEASEL

SAME = 1e-9  # rad: rounding of both, far below any printed digit


@pytest.mark.parametrize(
    ("demo", "end", "wheel"),
    [
        (TEASEL, "front", "LF"),
        *((demo, *end) for demo in (DUNNOCK, SORREL) for end in (("front", "LF"), ("rear", "LR"))),
    ],
    ids=lambda x: getattr(x, "name", x),
)
def test_camber_gain_and_bump_steer(demo, end, wheel):
    camber, toe = wheel_turns(*describe(demo.car), end)
    every = readings_of(demo.machine)
    assert camber * BUMP == pytest.approx(every[f"camber_gain_{wheel}"].read(demo.rest)[0], abs=SAME)
    assert toe * BUMP == pytest.approx(every[f"bump_steer_{wheel}"].read(demo.rest)[0], abs=SAME)
