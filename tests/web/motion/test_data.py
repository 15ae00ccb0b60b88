"""What the page of motion is sent: few numbers, whole, in a person's units, and the words of the command line."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
import pytest

from axlewright import load
from axlewright.errors import RequestError
from axlewright.web.motion.animation import animation
from axlewright.web.motion.plots import FEWER, MOMENTS, plots
from axlewright.web.motion.setups import MOST, Side, setups_of
from axlewright.web.motion.table import dampers, table
from tests.readings.motion.signals import run_of

LONG = np.linspace(0.0, 4.0, 2001)
LB = 4.4482216152605  # N
LARGEST = 300_000  # bytes of an answer, as asked
CAR = load("teasel")


def run(load=2500.0):
    t, moving = len(LONG), np.zeros((len(LONG), 3, 2, 1))
    moving[:, 0, 1] = -0.5
    moving[:, 2, 1, 0] = 0.012 * np.sin(30.0 * LONG)
    ends = {f"rear.{name}": moving for name in ("lower_left", "lower_right", "drive_link", "brake_link", "upper_link")}
    signal = load + 900.0 * np.sin(70.0 * LONG)
    return run_of(
        LONG, "road", load=np.repeat(signal[:, None], 4, axis=1)[..., None], ends=ends, road_height=0.01 * np.sin(LONG),
        wind_up={"rear.axle": 0.02 * np.sin(30.0 * LONG)}, tension={"rear.drive_link": np.full(t, 2000.0)},

        extension_rate={"rear.spring_left": np.full(t, -0.2), "rear.drive_link": np.zeros(t)},
        damper_push={"rear.spring_left": np.full(t, 100.0)},
    )  # fmt: skip


def panel(found, units, name):
    return next(one for one in plots(found, units)["panels"] if one["id"] == name)


def test_loads_are_in_the_persons_units():
    metric, us = (panel([("one", run())], units, "load_2") for units in ("metric", "us"))
    assert (metric["unit"], us["unit"]) == ("kN", "lbf")
    assert metric["values"][0][0] == pytest.approx(2.5, abs=1e-3)
    assert us["values"][0][0] == pytest.approx(2500.0 / LB, abs=0.1)


@pytest.mark.parametrize(("setups", "most"), [(1, MOMENTS), (3, MOMENTS), (6, FEWER)])
def test_six_setups_are_sent_small(setups, most):
    found = [(f"setup {k}", run(2500.0 + k)) for k in range(setups)]
    sent = {"plots": plots(found, "metric"), "axle": animation(found), "table": table(found, "metric")}
    assert len(sent["plots"]["time"]) == most
    assert all(len(values) == most for one in sent["plots"]["panels"] for values in one["values"])
    assert sent["plots"]["time"][-1] == 4.0
    assert len(json.dumps(sent, allow_nan=False)) < LARGEST


def test_what_moves_is_sent_as_moves_and_what_does_not_is_not():
    car = animation([("one", run())])["cars"][0]
    near, far = car["side"]["links"][0]["ends"]
    assert near["moves"] is None
    assert far["moves"][0] == [0] * FEWER
    assert max(far["moves"][1]) == 120  # tenths of a mm
    assert car["side"]["wind_up"][1] == pytest.approx(1e3 * math.degrees(0.02 * math.sin(30.0 * 0.02)), abs=0.51)


def test_a_run_that_ended_early_has_gaps_and_says_so():
    whole = run()
    stopped = replace(whole, seen=whole.seen._replace(az=np.where(LONG[:, None] > 1.0, np.nan, 1.0),
                      heave=np.where(LONG[:, None] > 1.0, np.nan, 0.0)), ended=np.array([1]))  # fmt: skip
    values = panel([("one", stopped)], "metric", "az")["values"][0]
    assert values[100] is not None
    assert values[101] is None
    assert animation([("one", stopped)])["cars"][0]["moments"] == 51  # of one every 20 ms


def test_lifted_is_said_and_past_the_peak_too():
    one = run(load=0.0)
    past = replace(run(), seen=run().seen._replace(past_peak=np.ones((len(LONG), 4, 1))))
    assert animation([("one", one)])["cars"][0]["states"][0] == "ll"
    assert animation([("one", past)])["cars"][0]["states"][0] == "pp"


def test_changes_are_in_words_against_the_first():
    rows = {row["id"]: row for row in table([("one", run()), ("two", run(2000.0)), ("three", run())], "metric")}
    kept = rows["least_load_rear"]
    assert kept["changes"][0] == kept["changes"][2] == ""
    assert kept["changes"][1].startswith("nearer to lifting 500")
    assert kept["more"] == "kept down"


def test_damper_speeds_only_of_a_road():
    shares = dampers([("one", run())])
    assert shares
    assert shares["cars"][0]["rear spring left"][shares["ranges"].index("compression 100 to 250")] == "100.0"
    assert dampers([("one", replace(run(), kind="drop"))]) is None


def test_one_step_goes_on_top_of_what_is_moved():
    names, setups = setups_of(
        CAR,
        [Side(name="now", positions={"front_bar_hole_left": 3.0}),
         Side(name="now", positions={"front_bar_hole_left": 3.0}, adjuster="front_bar_hole_left", steps=1),
         Side(name="now", positions={"front_bar_hole_left": 3.0})],
    )  # fmt: skip
    assert names[1].startswith("now, front bar, hole, left side only up 1 hole")
    assert names[2] == "now (2)"
    assert setups[1] == {"front_bar_hole_left": 4.0}


def test_a_step_of_both_sides_counts_from_the_file():
    from axlewright.car.adjusters import adjusters_of

    both = adjusters_of(CAR)["front_bar_hole"]
    setup = setups_of(CAR, [Side(name="now", adjuster="front_bar_hole", steps=-1)])[1][0]
    assert setup == {"front_bar_hole": both.position - both.step}


def test_too_many_and_unknown_are_said():
    with pytest.raises(RequestError, match=f"expected 1 to {MOST}"):
        setups_of(CAR, [Side(name=str(k)) for k in range(MOST + 1)])
    with pytest.raises(RequestError, match="no adjuster `wheel`"):
        setups_of(CAR, [Side(name="now", adjuster="wheel", steps=1)])
