"""The API tells what the command line prints with --json, and says in words what can't be asked."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner
from pydantic import TypeAdapter

from axlewright.car.adjusters import adjusters_of
from axlewright.car.file import DEMO_CARS, demo_text, load
from axlewright.cli.main import cli
from axlewright.errors import known
from axlewright.tune.torque_link_choice import Choice
from axlewright.web.api import LISTS, QUESTIONS, api, bounds, hit
from axlewright.web.api.serving import WAITING, Workers
from axlewright.web.app import application
from axlewright.web.bench import Bench
from tests.web.asking import ask, wait_for

CHEAP = "sorrel"  # solves and moves fastest of the demo cars
ALIKE = [
    ("check", "", {}),
    ("rest", "--set perch_LF=1 --all", {"setup": {"perch_LF": 1}, "all": True}),
    ("rest", "--reading cross_weight", {"readings": ["cross_weight"]}),
    ("hold", "--phase mid-corner --turn both", {"phases": ["mid-corner"], "turn": "both"}),
    ("hold", "", {}),
    ("limit", "--phase mid-corner --adjuster perch_LF", {"phases": ["mid-corner"], "adjusters": ["perch_LF"]}),
    (
        "effects",
        "--phase mid-corner --turn left --adjuster perch_LF --reading balance",
        {"phases": ["mid-corner"], "turn": "left", "adjusters": ["perch_LF"], "readings": ["balance"]},
    ),
    (
        "effects",
        "--phase exit --place grid --minutes 5 --as-turned --quick",
        {"phases": ["exit"], "place": "grid", "minutes": 5, "as_turned": True, "quick": True},
    ),
    ("travel", "--roll -2..2 --wheel LF=0..9 --points 3", {"roll": "-2..2", "wheels": {"LF": "0..9"}, "points": 3}),
    ("travel", "--against perch_LF=1 --all", {"against": {"perch_LF": 1}, "all": True}),
    ("limits", "--phase mid-corner --turn left --quick", {"phases": ["mid-corner"], "turn": "left", "quick": True}),
    ("range", "perch_LF --reading cross_weight", {"adjusters": ["perch_LF"], "readings": ["cross_weight"]}),
    (
        "hit",
        '--torque "900 N m" --seconds "0.5 s" --also perch_LF=1',
        {"torque": "900 N m", "seconds": "0.5 s", "also": [{"perch_LF": 1}]},
    ),
    (
        "hit",
        '--brake --effort "30 %" --seconds "0.5 s" --patch "2 m,1 m,60 %"',
        {"brake": True, "effort": "30 %", "seconds": "0.5 s", "patch": {"at": "2 m", "length": "1 m", "grip": "60 %"}},
    ),
    ("steer", '--how lift-off --ay "0.4 g" --seconds "0.5 s"', {"how": "lift-off", "ay": "0.4 g", "seconds": "0.5 s"}),
    ("road", '--bump "9 mm,1 m" --seconds "0.4 s"', {"bump": {"height": "9 mm", "length": "1 m"}, "seconds": "0.4 s"}),
    ("road", '--drop "20 mm,0 mm,0 mm,0 mm"', {"drop": ["20 mm", "0 mm", "0 mm", "0 mm"]}),
    ("modes", '--piston-speed "50 mm/s" --phase standing', {"piston_speed": "50 mm/s", "phases": ["standing"]}),
    ("modes", '--ripples "10 mm,3.5 m"', {"ripples": {"height": "10 mm", "wave": "3.5 m"}}),
]  # fmt: skip
TOLD = {question.name: TypeAdapter(question.told) for question in (*QUESTIONS, *LISTS)}
BAD = [
    ("rest", {"car": "nosuch"}, 404, "expected"),
    ("rest", {"car": "../../etc/passwd"}, 404, "expected"),
    ("rest", {"car": CHEAP, "setup": {"nosuch": 1}}, 422, "no adjuster"),
    ("rest", {"car": CHEAP, "readings": ["nosuch"]}, 422, "no reading"),
    ("rest", {"car": CHEAP, "text": "x"}, 422, "one of them"),
    ("rest", {"text": "name = "}, 422, "TOML"),
    ("rest", {"set": {}}, 422, "unknown name"),
    ("hold", {"turn": "up"}, 422, "'left', 'right' or 'both'"),
    ("hit", {"speed": "10 kg"}, 422, "which is a mass"),
    ("hit", {"speed": "999 m/s"}, 422, "from 0 m/s to 120 m/s"),
    ("hit", {"seconds": "20 s", "also": [{}, {}, {}]}, 422, f"at most {bounds.SECONDS:g}"),
    ("hit", {"also": [{}] * bounds.SETUPS}, 422, f"at most {bounds.SETUPS - 1}"),
    ("road", {}, 422, "rough, bump, kerb, ripples or drop"),
    ("travel", {"roll": "-2..2", "bump": "-1..1", "points": 201}, 422, f"at most {bounds.POSES}"),
    ("travel", {"points": 1000}, 422, "201"),
    ("range", {"adjusters": []}, 422, "at least 1"),
    ("range", {"adjusters": ["nosuch"]}, 422, "no adjuster"),
]


@pytest.fixture(scope="module")
def bench():
    return Bench(CHEAP)


@pytest.fixture(scope="module")
def app(bench):
    return application(bench, warm=False)


@pytest.mark.parametrize(("name", "options", "body"), ALIKE, ids=lambda x: x if isinstance(x, str) else "")
def test_the_same_as_the_command_line(app, name, options, body):
    import shlex

    printed = CliRunner().invoke(cli, [name, CHEAP, *shlex.split(options), "--json"])
    told = ask(app, "POST", f"/api/{name}", json={"car": CHEAP, **body})
    assert printed.exit_code == 0, printed.output[-300:]
    assert told.status_code == 200, told.text[:300]
    assert told.json() == json.loads(printed.stdout)
    TOLD[name].validate_python(told.json())  # nothing in it that the description lacks


def test_choices_of_torque_links_are_described(app, monkeypatch):
    found = [
        Choice({"drive_spring": 60.0}, 0.12, 0.9, 0.01, True),
        Choice({"drive_spring": 50.0}, 0.2, 0.8, 0.02, False),
    ]
    monkeypatch.setattr(hit, "choose", lambda car, **asked: found)  # what is chosen is tested beside `choose`
    told = ask(app, "POST", "/api/hit", json={"car": CHEAP, "choose": True})
    assert [one["off_its_stop"] for one in told.json()["choices"]] == ["yes", "no"]
    TOLD["hit"].validate_python(told.json())


@pytest.mark.slow
@pytest.mark.parametrize(
    "ask_for", [{"hop": True}, {"dampers": True}, {"adjuster": "perch_LF", "phases": ["standing"]}], ids=str
)
def test_other_modes_are_described(app, ask_for):
    told = ask(app, "POST", "/api/modes", json={"car": CHEAP, **ask_for})
    assert told.status_code == 200, told.text[:300]
    TOLD["modes"].validate_python(told.json())


def test_the_bench_as_it_stands_now(bench, app):
    before = ask(app, "POST", "/api/rest", json={}).json()
    bench.put("somebody", "perch_LF", 2.0)
    moved = ask(app, "POST", "/api/rest", json={}).json()
    bench.take("somebody", {}, "as written")
    assert (
        moved["rest"]["readings"]
        == ask(app, "POST", "/api/rest", json={"car": CHEAP, "setup": {"perch_LF": 2}}).json()["rest"]["readings"]
    )
    assert moved != before


def test_a_car_file_as_text(app):
    sent = ask(app, "POST", "/api/rest", json={"text": demo_text(CHEAP)}).json()
    assert sent == ask(app, "POST", "/api/rest", json={"car": CHEAP}).json()
    wrong = ask(app, "POST", "/api/check", json={"text": demo_text(CHEAP).replace("[points]", "[pionts]", 1)})
    assert wrong.status_code == 200
    assert not wrong.json()["ok"]


def test_cars_and_schema(app):
    cars = ask(app, "GET", "/api/cars").json()
    TOLD["cars"].validate_python(cars)
    assert [one["name"] for one in cars["cars"]] == ["bench", *DEMO_CARS]
    assert ask(app, "GET", "/api/schema").json() == json.loads(CliRunner().invoke(cli, ["schema"]).stdout)


@pytest.mark.parametrize(("name", "body", "status", "words"), BAD)
def test_what_cannot_be_asked_is_said(app, name, body, status, words):
    told = ask(app, "POST", f"/api/{name}", json=body)
    assert told.status_code == status, told.text[:300]
    assert words in told.json()["error"]["message"]


def test_a_car_with_too_many_phases_is_told_the_most(app):
    text = demo_text(CHEAP)
    phase = '\n[[phases]]\nname = "more {i}"\nax = "0 g"\nay = "0.1 g"\nspeed = "20 m/s"\neffort = "engine"\n'
    more = text + "".join(phase.replace("{i}", str(i)) for i in range(bounds.STATES))
    told = ask(app, "POST", "/api/hold", json={"text": more})
    assert told.status_code == 422
    assert f"at most {bounds.STATES}" in told.json()["error"]["message"]


@pytest.mark.parametrize(("content", "status"), [(b"{", 422), (b"\xff", 400), (b"[" * 100_000, 400), (b"null", 422)])
def test_what_is_no_json_is_said(app, content, status):
    told = ask(app, "POST", "/api/rest", content=content, headers={"content-type": "application/json"})
    assert told.status_code == status
    assert told.json()["error"]["message"]


def test_half_letters_do_no_harm(app):
    told = ask(app, "POST", "/api/rest", content=b'{"car": "\\ud800"}', headers={"content-type": "application/json"})
    assert told.status_code in (404, 422)
    assert told.json()["error"]["message"]


def test_another_method_and_another_address(app):
    assert ask(app, "GET", "/api/rest").status_code == 405
    assert "POST" in ask(app, "GET", "/api/rest").json()["error"]["message"]
    assert ask(app, "GET", "/api/nosuch").json()["error"]["message"].startswith("found no question")


def test_a_full_queue_says_so():
    import asyncio
    from threading import Event

    async def crowd():
        workers, go = Workers(), Event()
        waiting = [asyncio.create_task(workers.answer(lambda: {"done": go.wait()})) for _ in range(WAITING)]
        await asyncio.sleep(0)
        with pytest.raises(Exception, match="expected fewer"):
            await workers.answer(dict)
        go.set()
        return [one.status_code for one in await asyncio.gather(*waiting)]

    assert wait_for(crowd()) == [200] * WAITING


def test_the_description_names_every_question_with_its_units(app):
    told = ask(app, "GET", "/api/openapi.json").json()
    assert set(told["paths"]) == {f"/{q.name}" for q in (*QUESTIONS, *LISTS)}
    assert told["servers"] == [{"url": "/api"}]
    for path, methods in told["paths"].items():
        for method, one in methods.items():
            assert one["summary"], path
            assert {"200", "405", "429"} <= set(one["responses"]), (path, method)
    speed = told["components"]["schemas"]["SteerAsked"]["properties"]["speed"]
    assert "from 0.5 m/s to 120 m/s" in speed["description"]


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.name)
def test_every_example_can_be_asked(question):
    asked = question.asked.model_validate(question.example)
    car = load(asked.car)
    known("phase", getattr(asked, "phases", []), ["standing", *(phase.name for phase in car.phases)])
    setups = [getattr(asked, "setup", {}), *getattr(asked, "also", [])]
    known("adjuster", [*getattr(asked, "adjusters", []), *(key for one in setups for key in one)], adjusters_of(car))


def test_api_alone_needs_no_page():
    assert api(Bench(CHEAP)).title == "Axlewright"
