"""`axlewright limits`: stop words, what machines can read, and what a person is told who asks wrongly."""

from __future__ import annotations

import csv
import io
import json
import re
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from axlewright.car.file import read
from axlewright.cli.main import cli

QUICK = ("--quick", "--phase", "mid-corner", "--turn", "left")
FIRST = "rear lower left, moving end"


@cache
def run(*arguments: str) -> Result:
    return CliRunner().invoke(cli, ["limits", *arguments])


def done(*arguments: str) -> str:
    result = run(*arguments)
    assert result.exit_code == 0, result.output
    return result.stdout


@pytest.fixture(scope="module")
def tight(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Teasel with lower-link joints of 3 deg: they stand tilted by 4.8 deg, since their bolts are across the car."""
    text = re.sub(r'link = "lower"\nmisalignment = "\d+ deg"', 'link = "lower"\nmisalignment = "3 deg"', read("teasel"))
    file = Path(tmp_path_factory.mktemp("cars")) / "tight.toml"
    file.write_text(text, encoding="utf-8")
    return str(file)


def test_what_is_used_up_stands_first_and_says_stop_in_words(tight):
    said = done(tight, *QUICK)
    lines = said.splitlines()
    assert lines[2].startswith("rear lower")
    assert "STOP: joint binds" in said
    assert "-" in lines[2]
    assert said.index("STOP") < said.index("near")


def test_what_is_near_is_said_without_a_stop():
    said = done("teasel", *QUICK)
    assert "STOP" not in said
    assert "near" in said


def test_it_says_how_to_prove_it():
    said = " ".join(done("teasel", *QUICK).split())
    for words in ("screening", "cycling the car by hand, springs out", "Nobody near a pinch point"):
        assert words in said


def test_json_and_csv_say_the_same_least_first(tight):
    data = json.loads(done(tight, *QUICK, "--json"))
    lines = list(csv.DictReader(io.StringIO(done(tight, *QUICK, "--csv"))))
    limits = data["limits"]
    assert [line["id"] for line in lines] == [entry["id"] for entry in limits]
    assert limits[0]["id"].startswith("misalignment.rear.lower_")
    assert limits[0]["word"] == lines[0]["word"] == "joint binds"
    assert limits[0]["left"] == pytest.approx(float(lines[0]["left"]), rel=1e-6)
    assert [entry["share"] for entry in limits[4:]] == sorted(entry["share"] for entry in limits[4:])
    assert set(data["results"].values()) == {"solved"}


def test_us_units():
    said = done("teasel", *QUICK, "--units", "us")
    assert " in " in said
    assert " mm" not in said


def test_a_setup_to_try_and_one_adjuster():
    said = json.loads(done("teasel", *QUICK[1:], "--set", "perch_LF=1", "--adjuster", "perch_LF", "--json"))
    seat = next(entry for entry in said["limits"] if entry["id"] == "seat.front.left.spring.spring")
    assert {step["adjuster"] for step in seat["steps"]} == {"perch_LF"}


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (("--phase", "middle"), "no phase `middle`"),
        (("--set", "perch_XX=1"), "no adjuster `perch_XX`"),
        (("--set", "perch_LF"), "expected ADJUSTER=POSITION"),
        (("--adjuster", "perches_frnt"), "perches_front"),
    ],
)
def test_a_wrong_question_is_answered_in_one_sentence(wrong, says):
    result = run("teasel", "--quick", *wrong)
    assert result.exit_code == 1
    assert says in result.stderr
    assert "Traceback" not in result.output
