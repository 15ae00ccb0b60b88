"""What the page of motion is answered: the command line's readings for the same event and setups."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner
from pydantic import ValidationError

from axlewright.car.file import read as text_of
from axlewright.cli.main import cli
from axlewright.errors import RequestError
from axlewright.say.events import EVENTS
from axlewright.web.bench import Bench
from axlewright.web.motion import ticking
from axlewright.web.motion.setups import Side
from axlewright.web.pages.motion import Given, Moved, form, read_answer, run_answer
from axlewright.web.streaming import Teller, dumps

DIGITS = 1e-6  # relative: readings travel with seven digits
LARGEST = 300_000  # bytes of an answer
COMMANDS = {"drive": "hit", "brake": "hit --brake", "steer": "steer", "road": "road --rough B"}
SOFT = {"drive_preload": 500.0}


@pytest.fixture(scope="module")
def bench(tmp_path_factory):
    file = tmp_path_factory.mktemp("car") / "teasel.toml"
    file.write_text(text_of("teasel"), encoding="utf-8")
    return Bench(file)


def asked(bench, event, sides, **more):
    return Moved(car=bench.digest, event=event, sides=[Side(**side) for side in sides], **more)


def answered(bench, question):
    told = []
    return run_answer(bench.checked(question), question, Teller(told.append)), told


@pytest.mark.slow
@pytest.mark.parametrize("event", EVENTS)
def test_readings_are_the_command_lines(bench, event):
    sides = [{"name": "as saved"}, {"name": "now", "positions": SOFT}]
    page, told = answered(bench, asked(bench, event, sides))
    command = CliRunner().invoke(cli, [*COMMANDS[event].split(), "teasel", "--json", "--also", "drive_preload=500"])
    runs = list(json.loads(command.stdout)["runs"].values())
    rows = {row["id"]: row["values"] for row in page["table"]}
    for i, run in enumerate(runs):
        values = {key: one["value"] for key, one in run["readings"].items() if one["value"] is not None}
        assert values.keys() == {key for key, found in rows.items() if found[i] is not None}
        assert {key: rows[key][i] for key in values} == pytest.approx(values, rel=DIGITS, abs=1e-12)
    assert page["names"] == ["as saved", "now"]
    assert told[0]["progress"]["done"] == 0
    assert len(dumps(page)) < LARGEST


@pytest.mark.slow
def test_digits_are_the_command_lines(bench):
    page, _ = answered(
        bench, asked(bench, "drive", [{"name": "saved"}, {"name": "soft", "positions": SOFT}], units="us")
    )
    printed = CliRunner().invoke(cli, ["hit", "teasel", "--units", "us", "--also", "drive_preload=500"]).stdout
    rows = {tuple(line.split()) for line in printed.splitlines()}
    for row in [row for row in page["table"] if not row["detail"]]:
        words = f"{row['name']} {' '.join(row['shown'])} {row['unit']} {row['more']}"
        assert tuple(words.split()) in rows, words


@pytest.mark.slow
def test_what_cannot_be_begun_is_said_of_its_setup(bench):
    with pytest.raises(RequestError, match="can't be held where this begins"):
        answered(bench, asked(bench, "steer", [{"name": "as saved"}], given={"ay": "1.9 g"}))


def test_inputs_are_answered_beside_their_fields():
    found = read_answer("drive", {"speed": "60 km/h", "torque": "1500"}, "us")
    assert found["said"]["speed"] == "37.3 mph"
    assert "with no unit" in found["problems"]["torque"]
    assert read_answer("drive", {"torque": "1500 N m"}, "metric")["said"] == {}


def test_wrong_inputs_are_named_when_it_is_run_all_the_same(bench):
    with pytest.raises(RequestError, match="torque: found"):
        answered(bench, asked(bench, "drive", [{"name": "now"}], given={"torque": "much"}))


def test_forms_can_be_drawn():
    assert [one["id"] for one in form("drive")["inputs"]] == ["speed", "torque", "ramp", "seconds"]
    json.dumps([form(event) for event in EVENTS])


@pytest.mark.parametrize("more", [{"event": "jump"}, {"given": {str(k): "" for k in range(30)}}, {"else": 1}])
def test_requests_have_a_form(more):
    with pytest.raises(ValidationError):
        Given(**{"event": "drive", **more})


def test_a_first_run_says_that_it_compiles_and_a_later_one_does_not(monkeypatch):
    monkeypatch.setattr(ticking, "_RUN", set())
    told = []

    def run():
        with ticking.ticking(lambda what, done, of: told.append(what), "a car", "drive", 2.0, 2):
            pass

    run()
    run()
    assert [words == ticking.COMPILING for words in told] == [True, False]
