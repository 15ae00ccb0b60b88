"""Each reading of a run has an id of its own and units that are known, and a member that stopped has none."""

from __future__ import annotations

from collections import Counter
from typing import get_args

import numpy as np
import pytest

from axlewright.readings.motion import FAMILIES, motion_readings
from axlewright.say.numbers import number, unit_of
from axlewright.solve.motion.run import Kind
from axlewright.units import scale
from tests.readings.motion.signals import run_of

TIME = np.linspace(0.0, 2.0, 401)
LINKS = ("rear.drive_link", "rear.brake_link", "rear.upper", "front.left.upper", "front.right.upper")
DAMPERS = ("front.left.spring", "front.right.spring")


def anything(kind, batch=1, ended=None):
    """A run in which everything moves, each channel and member by a sine of its own; a member that ended breaks off."""
    rng = np.random.default_rng(4)

    def moving(*shape):
        at, rate = rng.uniform(1.0, 2.0, (2, *shape, batch))
        found = 5.0 + at * np.sin(rate * 10.0 * TIME.reshape(-1, *[1] * (len(shape) + 1)))
        if ended is not None:
            found[len(TIME) // 2 :, ..., np.asarray(ended) != 0] = np.nan
        return found

    plain = ("speed", "sideslip", "yaw_rate", "yaw", "ax", "ay", "az", "pitch", "pitch_rate", "roll", "rack")
    wheeled = ("load", "longitudinal", "use", "past_peak")
    by_path = {
        "tension": LINKS, "extension": (*LINKS[:2], *DAMPERS, "rear.spring_left", "rear.spring_right"),
        "extension_rate": (*LINKS[:2], *DAMPERS), "damper_push": DAMPERS,
        "wind_up": ("rear.axle",), "wind_up_rate": ("rear.axle",),
    }  # fmt: skip
    return run_of(
        TIME, kind, begins=0.1, swept=(0.5, 4.0) if kind == "sweep" else None, batch=batch, ended=ended,
        **{name: moving() for name in plain}, **{name: moving(4) for name in wheeled},
        **{name: {path: moving() for path in paths} for name, paths in by_path.items()},
    )  # fmt: skip


@pytest.mark.parametrize("kind", get_args(Kind))
def test_ids_are_there_once_and_units_are_known(kind):
    run = anything(kind)
    ids = Counter(reading.id for family in FAMILIES for reading in family(run))
    assert [name for name, times in ids.items() if times > 1] == []
    for key, reading in motion_readings(run).items():
        assert reading.id == key
        assert all((reading.name, reading.more, reading.less, reading.source))
        if reading.unit:
            assert scale(reading.unit)[1] == scale(reading.shown)[1], key
        for units in ("metric", "us"):
            number(1.0, unit_of(reading, units))


@pytest.mark.parametrize("kind", get_args(Kind))
def test_a_member_that_stopped_has_no_values_and_the_others_keep_theirs(kind):
    stopped, whole = anything(kind, 3, ended=[0, 1, 0]), anything(kind, 3)
    before = {key: reading.read(whole) for key, reading in motion_readings(whole).items()}
    for key, reading in motion_readings(stopped).items():
        found = reading.read(stopped)
        assert found.shape == (3,), key
        assert np.isnan(found[1]), key
        assert found[[0, 2]] == pytest.approx(before[key][[0, 2]], rel=1e-12, nan_ok=True), key


def test_a_corners_upper_link_is_not_an_axles():
    run = anything("drive")
    found = motion_readings(run)
    assert found["upper_peak"].read(run) == pytest.approx(np.abs(run.seen.tension["rear.upper"][20:]).max(axis=0))
