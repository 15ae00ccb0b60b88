"""What practice knows about cars in motion. Common practice, no source: directions only."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.readings.motion import motion_readings
from axlewright.road import bump, kerb, rough
from axlewright.solve.motion import events
from examples.variants import rigid, sprung, undamped
from tests.motion import cars


def value(run, name: str) -> float:
    return float(motion_readings(run)[name].read(run)[0])


@pytest.mark.parametrize("torque", [1200.0, 1500.0, 2000.0])
def test_a_sprung_drive_side_link_lowers_the_peak_demand(torque):
    hits = {
        name: events.torque_hit(make(), torque=torque, ramp=0.01)
        for name, make in (("rigid", rigid), ("sprung", sprung))
    }
    assert value(hits["sprung"], "peak_demand") < value(hits["rigid"], "peak_demand") - 0.01
    settled = [value(hit, "settled_demand") for hit in hits.values()]
    assert abs(settled[0] - settled[1]) < 0.03  # and not what it settles to: anti-squat differs a little


def test_why_this_car_does_not_hop_in_braking():
    """A rigid upper link doesn't hop either: the rear's swings stay damped up to where the front tyres let go, because
    its brakes do 32 % of the work and its wheel dampers take hop. Where nothing grows there is nothing to stop.
    """
    from axlewright.tune.hop_margin import hop_margin

    for make in (rigid, sprung, undamped):
        margin = hop_margin(make(), effort="brakes", speed=35.0, most=10.0)
        assert margin.margin == np.inf
        assert margin.least > 0.1
        run = events.brake_hit(make(), effort=0.75)
        assert value(run, "rear_hop_count") <= 1.0


def test_a_brake_side_damper_slows_the_winding_up():
    fast = [value(events.brake_hit(make(), effort=0.75, ramp=0.03), "wind_up_rate") for make in (sprung, undamped)]
    assert abs(fast[0]) < abs(fast[1])


AXLE, CORNERS = (0.4, 1.0), (0.0, 0.25)


@pytest.mark.parametrize(("name", "low", "high"), [("teasel", *AXLE), ("sorrel", *CORNERS), ("dunnock", *CORNERS)])
def test_one_wheel_over_a_bump_moves_the_other_of_an_axle(name, low, high):
    """The right rear spring's movement over the left one's: an axle carries both, corners share a bar and a body."""
    road = bump(height=0.02, length=0.8, side="left", at=3.0)
    run = events.over_road(cars.car(name), road, speed=20.0, how=events.Following(duration=1.0, interval=0.0025))
    springs = [path for path in run.seen.extension if path.startswith("rear") and "spring" in path]
    left, right = (
        np.ptp(next(run.seen.extension[path] for path in springs if side in path)) for side in ("left", "right")
    )
    assert low <= right / left <= high


def test_a_rougher_road_takes_more_grip():
    even = [
        value(events.over_road(cars.car(), rough(grade, length=120.0), speed=25.0), "load_variation_rear")
        for grade in "AB"
    ]
    assert even[1] > 1.6 * even[0]  # twice the heights, some of it lost on corners of the laws


def test_a_kerb_lifts_its_own_side():
    run = events.over_road(cars.car(), kerb(height=0.03, side="left"), speed=15.0)
    on_it = (run.time > 0.4) & (run.time < 0.5)
    assert (run.seen.roll[on_it, 0].mean() - run.seen.roll[0, 0]) > np.radians(0.3)


def test_a_dropped_car_comes_back_to_rest():
    run = events.drop(cars.car())
    standing = events.ready(cars.car(), None).held.wheel("load")[:, 0]
    assert run.seen.load[:, 0, 0].min() < 1.0  # off its block
    assert np.abs(run.seen.load[-1, :, 0] / standing - 1.0).max() < 0.01
