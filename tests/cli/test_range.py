"""The command `range`: the same numbers in every form, marks a person needs, and plain answers to wrong questions."""

from __future__ import annotations

import csv
import io
import json
from functools import cache

import pytest
from click.testing import CliRunner, Result

from axlewright import whole_range
from axlewright.cli.main import cli
from axlewright.tune.export_range import range_data
from tests.cars import TEASEL
from tests.draw.pictures import words_of

INCH = 25.4  # mm: NIST SP 811, exact
HALF_DIGIT = 0.051  # of the last digit that a table shows, mm
MOUNT = ("range", "teasel", "drive_mount_chassis", "--phase", "exit", "--hold", "pinion_angle=drive_length")


@cache
def run(*arguments: str) -> Result:
    return CliRunner().invoke(cli, arguments)


def done(*arguments: str) -> str:
    """Output of a command that must succeed."""
    result = run(*arguments)
    assert result.exit_code == 0, result.output
    return result.stdout


def rows(text: str, first: str) -> list[list[str]]:
    """Columns of the rows that begin so, in the order of the tables."""
    return [line[len(first) :].split() for line in text.splitlines() if line.startswith(first)]


def test_json_is_the_range_and_csv_agrees_with_it():
    data = json.loads(done(*MOUNT, "--json"))
    found = whole_range(TEASEL.car, "drive_mount_chassis", phases=["exit"], hold={"pinion_angle": "drive_length"})
    assert data == json.loads(json.dumps(range_data(found)))
    assert data["adjusters"] == [
        {"id": "drive_mount_chassis", "name": "drive-side link, chassis mount", "unit": "hole",
         "positions": [1.0, 2.0, 3.0, 4.0, 5.0], "now": 3.0},
    ]  # fmt: skip
    assert [(sweep["kind"], sweep["holds"]) for sweep in data["sweeps"]] == [
        ("as-turned", {}), ("kept", {"pinion_angle": "drive_length"}),
    ]  # fmt: skip
    lines = list(csv.DictReader(io.StringIO(done(*MOUNT, "--csv"))))
    told = [
        (sweep["kind"], member, state)
        for sweep in data["sweeps"]
        for member in sweep["members"]
        for state in member["states"]
    ]
    assert len(lines) == len(told) == 2 * 5 * 2
    for line, (kind, member, state) in zip(lines, told, strict=True):
        assert (line["kind"], line["state"], line["reason"]) == (kind, state, "")
        assert float(line["drive_mount_chassis [hole]"]) == member["positions"]["drive_mount_chassis"]
        assert line["drive_length [turn]"] == ("" if not member["reset"] else str(member["reset"]["drive_length"]))
        values = member["states"][state]["readings"]
        assert line["balance [m/s**2]"] == ("" if values["balance"] is None else str(values["balance"]))
        assert line["anti_squat"] == str(values["anti_squat"])
    assert data["sweeps"][0]["members"][0]["states"]["at rest"]["readings"]["balance"] is None


def test_the_table_marks_the_present_position_and_says_what_is_too_small():
    text = done(*MOUNT)
    data = json.loads(done(*MOUNT, "--json"))
    first = data["sweeps"][0]["members"][0]["states"]
    (at_rest, squat, _, balance) = rows(text, "hole 1")[:4]
    assert at_rest[0] == f"{100.0 * first['at rest']['readings']['anti_squat']:.1f}"
    assert float(at_rest[-1]) == pytest.approx(data["sweeps"][1]["members"][0]["reset"]["drive_length"], abs=0.005)
    assert squat[0] == f"{100.0 * first['exit, left']['readings']['anti_squat']:.1f}"
    assert balance[0] == f"{first['exit, left']['readings']['balance'] / 9.81:.3f}"
    assert len(rows(text, "hole 3, now")) == 4
    assert "re-set: pinion angle in the chassis at rest held by drive-side link, length" in text
    assert "no change over the range: pinion angle in the chassis: at rest (re-set)" in text
    assert "too small to feel over the whole range: balance, front minus rear grip left: exit, left" in text
    assert "Predicted by a model of held states" in text
    assert "nobody under a jack" in text


def test_units_of_the_owner():
    asked = ("range", "teasel", "watt_pivot", "--reading", "roll_centre_height_rear")
    metric, us = done(*asked), done(*asked, "--units", "us")
    assert " mm\n" in metric
    assert " in\n" in us
    (mm,), (inch,) = rows(metric, "0 turns, now"), rows(us, "0 turns, now")
    assert float(inch[0]) * INCH == pytest.approx(float(mm[0]), abs=HALF_DIGIT + 0.0051 * INCH)


def test_a_table_for_each_reading_of_two_adjusters():
    text = done(
        "range", "teasel", "front_bar_hole", "front_bar_hole_left", "--phase", "mid-corner", "--reading", "balance"
    )
    assert "balance, front minus rear grip left, g; mid-corner, left" in text
    (row,) = rows(text, "hole 1 ")[:1]
    assert row[:2] == ["-", "-"]
    assert "hole 1 with hole 1: front bar, hole, left side only at -1 hole is outside its range from 1 to 5" in text


def test_what_was_not_reached_has_its_reason():
    text = done("range", "teasel", "tyre_set_front", "--phase", "mid-corner", "--turn", "right")
    assert rows(text, "70 %")[0] == ["-"]
    assert "70 %" in text.split("(mid-corner, right): more than the tyres hold")[0].splitlines()[-1]


def test_a_setup_to_try_first():
    text = done("range", "teasel", "watt_pivot", "--set", "watt_pivot=6", "--reading", "roll_centre_height_rear")
    assert "now 6 turns" in text
    assert len(rows(text, "6 turns, now")) == 1


@pytest.mark.parametrize("adjusters", [("watt_pivot",), ("watt_pivot", "front_bar_hole")])
def test_a_plot_beside_the_table(tmp_path, adjusters):
    path = tmp_path / "plot.svg"
    text = done("range", "teasel", *adjusters, "--phase", "mid-corner", "--reading", "balance", "--plot", str(path))
    assert "balance" in text
    words = " ".join(words_of(path))
    for said in ("teasel: Watt's pivot height", "mid-corner, left: balance, front minus rear grip left, g", "looser",
                 "pushes more", "→ pivot up", "○ present position"):  # fmt: skip
        assert said in words, said


def test_two_setups_over_each_other(tmp_path):
    path = tmp_path / "plot.svg"
    asked = ("range", "teasel", "watt_pivot", "--reading", "roll_centre_height_rear")
    text = done(*asked, "--against", "rear_bar_hole=1", "--plot", str(path))
    assert text.count("0 turns, now") == 2
    assert "now 0 turns: rear_bar_hole 1" in " ".join(text.split())
    assert {"as the car is set", "rear_bar_hole 1", "at rest: roll centre height, rear, mm"} <= set(words_of(path))


def test_the_plot_of_all_phases_shows_changes_and_one_band_of_what_cant_be_felt(tmp_path):
    path = tmp_path / "plot.svg"
    done("range", "teasel", "watt_pivot", "--plot", str(path))
    words = words_of(path)
    assert "at rest: roll centre height, rear, mm" in words
    assert "change of balance, front minus rear grip left, g" in words
    assert {phase.name for phase in TEASEL.car.phases} <= {word.removesuffix(", left") for word in words}
    assert "grey band: too small to feel (a rule of thumb)" in " ".join(words)


def test_what_is_re_set_is_told_below_a_plot(tmp_path):
    path = tmp_path / "plot.svg"
    done(*MOUNT, "--reading", "anti_squat", "--plot", str(path))
    words = words_of(path)
    assert {"as turned", "re-set", "at rest: anti-squat, geometric, %", "exit, left: anti-squat, geometric, %"} <= set(
        words
    )
    assert "re-set: pinion angle in the chassis at rest held by drive-side link, length" in " ".join(words)


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("watt_pivo",), "this car has no adjuster `watt_pivo`: did you mean `watt_pivot`"),
        (("watt_pivot", "watt_pivot"), "`watt_pivot` was named twice"),
        (("watt_pivot", "fuel", "wing"), "found 3 adjusters; expected one, or two for a grid"),
        (("brake_rebound",), "acts only in motion"),
        (("watt_pivot", "--plot", "x.pdf"), 'its name must end in .svg or .png'),
        (("watt_pivot", "--plot", "no/such/place/x.svg", "--reading", "roll_centre_height_rear"), "No such file"),
        (("watt_pivot", "--hold", "pinion_angle"), 'found --hold "pinion_angle"; expected READING=ADJUSTER, such as'),
        (("watt_pivot", "--hold", "a=b", "--hold", "a=c"), "a is to be held twice"),
        (("watt_pivot", "--hold", "pinion_angle=drive_len"), "no adjuster `drive_len`: did you mean `drive_length`"),
        (("watt_pivot", "--against", "fuel=20", "--json"), "--against shows two setups of one adjuster"),
        (("watt_pivot", "fuel", "--against", "wing=0.4"), "--against shows two setups of one adjuster"),
        (("watt_pivot", "--set", "fuel=lots"), 'found --set "fuel=lots"'),
        (("watt_pivot", "--phase", "exti"), "this car has no phase `exti`"),
        (("watt_pivot", "--reading", "balanc"), "this car has no reading `balanc`: did you mean `balance`"),
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_one_sentence_and_exit_code_1(arguments, sentence):
    result = run("range", "teasel", *arguments)
    assert result.exit_code == 1
    assert sentence in result.output
    assert "Traceback" not in result.output


def test_a_command_line_that_cant_be_read_is_exit_code_2():
    assert run("range", "teasel").exit_code == 2
    assert run("range", "teasel", "watt_pivot", "--units", "imperial").exit_code == 2
