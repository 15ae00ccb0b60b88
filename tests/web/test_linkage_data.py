"""What the linkage page is told: against the command line, for every demo car, and where the linkage can't follow."""

from __future__ import annotations

import json
from functools import cache

import numpy as np
import pytest
from click.testing import CliRunner

from axlewright.car.file import DEMO_CARS, load
from axlewright.cli.main import cli
from axlewright.errors import RequestError
from axlewright.web.linkage.answers import POINTS, seen_answer, swept_answer
from axlewright.web.linkage.asked import Posed, Seen, Swept
from axlewright.web.linkage.choices import RANGES, choices
from axlewright.web.linkage.state import Ready, ready
from axlewright.web.streaming import dumps

PRINTED = 1e-8  # of a value: the command line prints nine digits
SAME = 1e-12  # SI: the same function asked the same thing


@cache
def car(name: str, **setup: float) -> Ready:
    return ready(load(name).model_copy(update={"setup": setup}))


def told(*arguments: str) -> dict:
    """What `axlewright ... --json` prints."""
    done = CliRunner().invoke(cli, [*arguments, "--json"])
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


@pytest.mark.parametrize(
    ("movement", "option", "reading"),
    [
        ("bump", "-60..60", "anti_squat"),
        ("roll", "-4..4", "roll_centre_height_rear"),
        ("wind_up", "-5..5", "pinion_angle"),
    ],
)
def test_curves_are_the_command_lines(movement: str, option: str, reading: str) -> None:
    found = swept_answer(car("teasel"), None, Swept(car="", movement=movement, readings=[reading]))  # type: ignore[arg-type]
    name = movement.replace("_", "-")
    said = told("travel", "teasel", f"--{name}", option, "--points", str(POINTS), "--reading", reading)["travel"][0]
    assert found["places"] == pytest.approx(np.array(said["axes"][movement]), rel=PRINTED)
    assert found["curves"][0]["values"] == pytest.approx(np.array(said["readings"][reading]["values"]), rel=PRINTED)


def test_the_value_at_the_slider_lies_on_its_curve() -> None:
    asked = {"car": "", "readings": ["camber_gain_LF"], "roll": 0.01}
    curve = swept_answer(car("teasel"), None, Swept(**asked, movement="bump"))  # type: ignore[arg-type]
    at = 30
    here = seen_answer(car("teasel"), None, Seen(**asked, bump=float(curve["places"][at])))  # type: ignore[arg-type]
    assert here["values"][0]["value"] == pytest.approx(curve["curves"][0]["values"][at], abs=SAME)


def test_two_setups_are_drawn_and_told_apart() -> None:
    asked = Seen(car="", readings=["roll_centre_height_rear"])
    found = seen_answer(car("teasel", watt_pivot=8.0), car("teasel"), asked)
    value = found["values"][0]
    assert (value["text"], value["base"]) != ("", "")
    assert value["change"].startswith("higher rear roll centre") == (value["value"] > 0.2587)
    assert found["base"]["rods"] != found["drawing"]["rods"]
    said = told("travel", "teasel", "--bump", "0", "--set", "watt_pivot=8", "--reading", "roll_centre_height_rear")
    expected = said["travel"][0]["readings"]["roll_centre_height_rear"]["values"][0]
    assert value["value"] == pytest.approx(expected, rel=PRINTED)


def test_a_front_wheels_instant_centre_is_told_as_the_command_line_reads_it() -> None:
    found = seen_answer(car("teasel"), None, Seen(car=""))
    said = told("travel", "teasel", "--bump", "0", "--reading", "front_view_arm_LF")["travel"][0]["readings"]
    expected = said["front_view_arm_LF"]["values"][0]
    line = next(one for one in found["drawing"]["front"] if one["wheel"] == "LF")
    assert line["contact"][1] - line["centre"][1] == pytest.approx(expected, rel=1e-4)  # drawn to 10 um
    assert found["centres"]["front_LF"]["text"] == f"{expected:.2f} m"


def test_a_pose_out_of_reach_is_drawn_as_far_as_it_goes_with_the_reason() -> None:
    found = seen_answer(car("teasel"), None, Seen(car="", bump=0.3, readings=["anti_squat"]))
    assert 0.0 < found["share"] < 1.0
    assert "come into line (toggle)" in found["short"]
    assert found["values"][0]["text"] == ""
    assert found["drawing"]["rods"]


def test_held_links_say_which_way_they_are_loaded() -> None:
    found = seen_answer(car("teasel"), None, Seen(car="", state="held", phase="mid-corner", readings=["anti_squat"]))
    said = told("hold", "teasel", "--phase", "mid-corner", "--reading", "tension.rear.watt_left")
    expected = said["phases"]["mid-corner, left"]["readings"]["tension.rear.watt_left"]["value"]
    link = next(one for one in found["links"] if one["path"] == "rear.watt_left")
    assert link["tension"] == pytest.approx(expected, rel=PRINTED)
    assert link["said"] == f"{'pulls' if expected > 0 else 'pushes'} {abs(expected):.0f} N"
    assert link["sense"] == np.sign(expected)
    assert found["cautions"][0].startswith("Loads are screening values")


def test_moved_links_carry_no_force_and_say_so() -> None:
    found = seen_answer(car("teasel"), None, Seen(car=""))
    assert {link["said"] for link in found["links"]} == {None}
    assert "no force" in choices(car("teasel").machine, "metric")["unloaded"]


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMO_CARS)
def test_every_demo_car_can_be_moved_drawn_and_held(name: str) -> None:
    one = car(name)
    offered = choices(one.machine, "us")
    assert {m["id"] for m in offered["movements"]} <= set(RANGES)
    assert offered["first"] in {r["id"] for r in offered["readings"]}
    states = [Seen(car="", bump=0.01, steer=0.005, units="us"), Seen(car="", state="rest")]
    for asked in states:
        found = seen_answer(one, None, asked)
        json.loads(dumps(found))
        assert not found["short"]
    asked = Swept(car="", movement="roll", readings=[r["id"] for r in offered["readings"][:4]])
    assert np.isfinite(swept_answer(one, None, asked)["curves"][0]["values"][POINTS // 2])


def test_wind_up_is_not_offered_where_the_links_hold_the_axle() -> None:
    assert "wind_up" not in {m["id"] for m in choices(car("tansy").machine, "metric")["movements"]}
    with pytest.raises(RequestError, match="wind-up"):
        swept_answer(car("tansy"), None, Swept(car="", movement="wind_up", readings=["anti_squat"]))


def test_a_reading_of_loads_is_refused_through_travel() -> None:
    with pytest.raises(RequestError, match="balance"):
        seen_answer(car("teasel"), None, Seen(car="", readings=["balance"]))


@pytest.mark.parametrize("far", [float("nan"), float("inf"), 5.0])
def test_a_pose_that_is_no_pose_is_refused(far: float) -> None:
    with pytest.raises(ValueError, match="bump"):
        Posed(car="", bump=far)
