"""The commands that solve: exit codes, what machines can read, and what a person is told who asks wrongly."""

from __future__ import annotations

import csv
import io
import json
import re
from functools import cache

import pytest
from click.testing import CliRunner, Result

from axlewright.car.adjusters import PLACES
from axlewright.cli.main import cli
from axlewright.tune.effects import effects
from axlewright.tune.export import effects_data
from tests.cars import TEASEL
from tests.textbook_car import read

POUND, INCH = 4.4482216152605, 0.0254  # N, m: NIST SP 811, exact
ROUNDED = 0.5  # of the last digit that a table shows
PRINTED = 1e-8  # of a number: nine digits are written
CORNER = ("--phase", "mid-corner")
SHORT = ("effects", "teasel", *CORNER, "--turn", "left", "--quick", "--as-turned")
SOLVING = ("rest", "hold", "limit", "effects")


@cache
def run(*arguments: str) -> Result:
    return CliRunner().invoke(cli, arguments)


def done(*arguments: str) -> str:
    """Output of a command that must succeed."""
    result = run(*arguments)
    assert result.exit_code == 0, result.output
    return result.stdout


def row(text: str, name: str) -> list[str]:
    """Last columns of a table's row."""
    (line,) = (line for line in text.splitlines() if line.startswith(name))
    return line[len(name) :].split()


READINGS = ("--reading", "tyre_load_LF", "--reading", "vehicle_roll")


def test_rest_as_json_is_the_car_at_rest():
    data = json.loads(done("rest", "teasel", "--json"))
    assert set(data) == {"version", "car", "rest"}
    assert set(data["rest"]) == {"result", "readings", "states"}
    assert data["rest"]["result"] == "solved"
    load = data["rest"]["readings"]["tyre_load_LF"]
    assert load == {"value": pytest.approx(read(TEASEL.rest, "tyre_load_LF")[0], rel=PRINTED), "unit": "N"}


def test_rest_with_a_setup_moves_weight():
    """Winding up a corner's perch loads it; common practice, no source."""
    loads = [
        json.loads(done("rest", "teasel", *READINGS, *setting, "--json"))["rest"]["readings"]["tyre_load_LF"]["value"]
        for setting in ((), ("--set", "perch_LF=2"))
    ]
    assert loads[1] - loads[0] > 10.0


def test_hold_as_json_and_csv_agree():
    data = json.loads(done("hold", "teasel", *CORNER, "--turn", "both", *READINGS, "--json"))
    lines = list(csv.DictReader(io.StringIO(done("hold", "teasel", *CORNER, "--turn", "both", *READINGS, "--csv"))))
    assert [line["phase"] for line in lines] == list(data["phases"]) == ["mid-corner, left", "mid-corner, right"]
    assert set(data["phases"]["mid-corner, left"]) == {"ax", "ay", "speed", "turn", "result", "readings", "states"}
    for line, phase in zip(lines, data["phases"].values(), strict=True):
        assert line["result"] == phase["result"] == "solved"
        assert list(phase["readings"]) == ["tyre_load_LF", "vehicle_roll"]
        assert float(line["tyre_load_LF [N]"]) == phase["readings"]["tyre_load_LF"]["value"]
        assert float(line["vehicle_roll [rad]"]) == phase["readings"]["vehicle_roll"]["value"]


def test_us_units():
    asked = ("hold", "teasel", *CORNER, "--reading", "tyre_load_LF", "--reading", "spring_rate_front")
    metric, us = done(*asked, "--units", "metric"), done(*asked, "--units", "us")
    assert (row(metric, "tyre load, left front")[0], row(us, "tyre load, left front")[0]) == ("N", "lbf")
    values = json.loads(done(*asked, "--json"))["phases"]["mid-corner, left"]["readings"]
    shown = float(row(us, "tyre load, left front")[1])
    assert shown == pytest.approx(values["tyre_load_LF"]["value"] / POUND, abs=ROUNDED)
    name = next(line for line in us.splitlines() if "lbf/in" in line)
    rate = float(name.split()[-1])
    assert rate == pytest.approx(values["spring_rate_front"]["value"] * INCH / POUND, abs=0.1 * ROUNDED + ROUNDED)
    assert "lbf" not in metric


def test_a_car_file_in_inches_is_shown_in_us_units():
    assert row(done("rest", "bramble", "--reading", "tyre_load_LF"), "tyre load, left front")[0] == "lbf"


LIMIT = ("limit", "teasel", *CORNER, "--adjuster", "perch_LF", "--adjuster", "front_bar_hole")


def test_limit_as_json_csv_and_table_agree():
    phase = json.loads(done(*LIMIT, "--json"))["phases"]["mid-corner, left"]
    assert phase["found"]
    assert phase["runs_out"] == "front pushes"
    assert phase["limit"] == pytest.approx(phase["margin"] + 9.81, abs=1e-6)  # the phase asks for 1 g
    assert {key: one["steps"] for key, one in phase["adjusters"].items()} == {"perch_LF": 1, "front_bar_hole": 1}
    (line,) = csv.DictReader(io.StringIO(done(*LIMIT, "--csv")))
    assert float(line["margin [m/s**2]"]) == pytest.approx(phase["margin"])
    change = float(line["front_bar_hole x +1 [m/s**2]"])
    assert change == pytest.approx(phase["adjusters"]["front_bar_hole"]["change"])
    asked, limit, margin = map(float, row(done(*LIMIT), " mid-corner, left")[:3])
    assert (asked, limit) == (1.0, pytest.approx(phase["limit"] / 9.81, abs=1e-3 * ROUNDED))
    assert margin == pytest.approx(phase["margin"] / 9.81, abs=1e-3 * ROUNDED)


def test_effects_as_json_csv_and_table():
    asked = (*SHORT, "--adjuster", "perch_LF", "--adjuster", "damper_front_rebound", "--reading", "tyre_load_LF")
    table = effects(
        TEASEL.car, phases=["mid-corner"], adjusters=["perch_LF", "damper_front_rebound"], readings=["tyre_load_LF"],
        turns=("left",), restored=False, confidence=False,
    )  # fmt: skip
    assert json.loads(done(*asked, "--json")) == json.loads(json.dumps(effects_data(table)))
    lines = list(csv.DictReader(io.StringIO(done(*asked, "--csv"))))
    assert [(line["adjuster"], line["steps"]) for line in lines] == [("perch_LF", "1"), ("perch_LF", "-1")]
    text = done(*asked)
    assert "left front perch, 1 turn" in text
    assert "acts only in motion" in text


@pytest.mark.parametrize(("place", "minutes"), [("grid", None), ("pits", 1.0), (None, 1.0)])
def test_only_what_can_be_done_there_and_then(place, minutes):
    options = [*(("--place", place) if place else ()), *(("--minutes", str(minutes)) if minutes else ())]
    asked = (*SHORT, "--reading", "vehicle_roll", "--json", *options)
    found = json.loads(done(*asked))["adjusters"]
    assert "pressure_LF" in found  # a minute on the grid
    for adjuster in found.values():
        assert minutes is None or adjuster["minutes"] <= minutes
        assert place is None or [*PLACES].index(adjuster["place"]) <= [*PLACES].index(place)
    assert "perch_LF" not in found  # three minutes, and scales to read


def test_filters_choose_among_the_asked():
    asked = (*SHORT, "--reading", "vehicle_roll", "--json", "--adjuster", "perch_LF", "--adjuster", "pressure_LF")
    assert list(json.loads(done(*asked, "--minutes", "2"))["adjusters"]) == ["pressure_LF"]
    result = run(*SHORT, "--adjuster", "perch_LF", "--place", "grid", "--minutes", "2")
    assert result.exit_code == 1
    assert "no adjuster of this car can be moved at the grid within 2 minutes" in result.stderr


WRONG = [
    (("hold", "teasel", "--phase", "mid-corer"), "no phase `mid-corer`: did you mean `mid-corner`"),
    (("limit", "teasel", "--phase", "launcg"), "no phase `launcg`: did you mean `launch`"),
    (("limit", "teasel", "--adjuster", "perch_LFF"), "no adjuster `perch_LFF`: did you mean `perch_LF`"),
    (("effects", "teasel", "--adjuster", "watt_pivt"), "no adjuster `watt_pivt`: did you mean `watt_pivot`"),
    (("effects", "teasel", "--reading", "balanse"), "no reading `balanse`: did you mean `balance`"),
    (("rest", "teasel", "--reading", "vehicle_rol"), "no reading `vehicle_rol`: did you mean `vehicle_roll`"),
    (("rest", "teasel", "--set", "front_bar_hol=4"), "no adjuster `front_bar_hol`: did you mean `front_bar_hole`"),
    (("rest", "teasel", "--set", "front_bar_hole"), 'found --set "front_bar_hole"; expected ADJUSTER=POSITION'),
    (("rest", "teasel", "--set", "front_bar_hole=four"), 'found --set "front_bar_hole=four"; expected ADJUSTER=POSIT'),
    (("hold", "teasel", "--set", "=4"), "no adjuster ``"),
    (("hold", "teasel", "--set", "front_bar_hole=9"), "at 9 hole is outside its range from 1 to 5"),
    (("rest", "teasel", "--set", "perch_LF=nan"), "at nan turn is outside its range"),
    (("hold", "tiesel"), "no such file"),
]


@pytest.mark.parametrize(("arguments", "says"), WRONG)
def test_what_is_not_there_is_told_in_a_sentence(arguments, says):
    result = run(*arguments)
    assert result.exit_code == 1
    assert result.stderr.startswith("Error: ")
    assert says in result.stderr
    assert "Traceback" not in result.output
    assert result.stdout == ""
    assert len(result.stderr) < 300


@pytest.mark.parametrize("command", SOLVING)
def test_a_command_line_that_cannot_be_read_exits_with_2(command):
    assert run(command).exit_code == 2
    assert run(command, "teasel", "--frobnicate").exit_code == 2


@pytest.mark.parametrize(
    "wrong",
    [
        ("hold", "--turn", "up"),
        ("rest", "--units", "furlongs"),
        ("effects", "--place", "moon"),
        ("effects", "--minutes", "few"),
    ],
)
def test_a_choice_that_there_is_not_exits_with_2(wrong):
    command, option, value = wrong
    result = run(command, "teasel", option, value)
    assert result.exit_code == 2
    assert re.search(rf"Invalid value for '{option}'", result.stderr)
