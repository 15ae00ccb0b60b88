"""What the car page is answered: drafts, fields, files written whole or not at all, and none by a path."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest

from axlewright.car.check import check
from axlewright.car.file import DEMO_CARS, LARGEST, read
from axlewright.car.starter import starter_text
from axlewright.car.write import file_name
from axlewright.web.app import application
from axlewright.web.bench import Bench, digest
from tests.web.asking import ask

TEASEL = read("teasel")
HEAVIER = TEASEL.replace('mass = "84 kg"', 'mass = "90 kg"')
TYPED = '[front]\nlayout = "strut"\n'


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def bench(folder):
    (folder / "ours.toml").write_text(TEASEL, encoding="utf-8")
    return Bench(folder / "ours.toml")


@pytest.fixture
def client(bench):
    return application(bench, warm=False)


def said(reply):
    """The last line of a reply: the answer, or what went wrong."""
    return json.loads(reply.text.strip().splitlines()[-1])


def asked(client, question, /, **body):
    return said(ask(client, "POST", f"/car/{question}", json=body))


def groups(group):
    yield group
    for entry in group["entries"]:
        if "entries" in entry:
            yield from groups(entry)


def fields(form):
    return {one["path"]: one for group in groups(form) for one in group["entries"] if "entries" not in one}


def test_a_draft_is_checked_as_the_command_checks_a_file(client, folder):
    draft = TEASEL.replace('rate = "95 N/mm +- 3 %"', 'rate = "95"').replace("diameter", "diamter", 1)
    (folder / "draft.toml").write_text(draft, encoding="utf-8")
    answer = asked(client, "look", text=draft)["answer"]
    told = [(one["path"], one["found"], one["expected"], one["fix"]) for one in answer["problems"]]
    assert told == [(p.path, p.found, p.expected, p.fix) for p in check(folder / "draft.toml").problems]
    rows = draft.splitlines()
    assert ['rate = "95"' in rows[one["line"] - 1] for one in answer["problems"] if one["path"].endswith("rate")] == [
        True
    ]
    assert ["diamter" in rows[one["line"] - 1] for one in answer["problems"] if "diamter" in one["path"]] == [True]


def test_text_that_is_no_toml_says_on_which_line(client):
    answer = asked(client, "look", text=f"{TYPED}camber = \n")["answer"]
    assert (answer["form"], answer["problems"][0]["line"]) == (None, 3)
    assert asked(client, "look", text="name = '''")["answer"]["problems"][0]["line"] == 1


def test_both_systems_are_shown_and_the_text_keeps_its_own(client):
    form = asked(client, "look", text=TEASEL)["answer"]["form"]
    rate = fields(form)["front.spring.rate"]
    assert (rate["value"], rate["us"], rate.get("metric")) == ("95 N/mm +- 3 %", "542.46 lbf/in ± 16 lbf/in", None)
    assert fields(form)["front.wheel_centre[2]"]["us"] == "30.709 in"


def test_a_field_changes_the_text_and_nothing_else(client):
    text = asked(client, "change", text=TEASEL, path="front.spring.rate", said="100 N/mm")["answer"]["text"]
    assert text == TEASEL.replace('rate = "95 N/mm +- 3 %"', 'rate = "100 N/mm"', 1)
    same = asked(client, "change", text=TEASEL, path="front.wheel_centre[2]", said=" 0.780 ")["answer"]["text"]
    assert same == TEASEL
    gone = asked(client, "change", text=TEASEL, path="phases[7]", said="")["answer"]["text"]
    assert len(tomllib.loads(gone)["phases"]) == 6


@pytest.mark.parametrize("path", ["front.no_such", "front", "../../etc/passwd", "a[0]"])
def test_a_field_that_is_none_is_refused_in_a_sentence(client, path):
    error = asked(client, "change", text=TEASEL, path=path, said="1 mm")["error"]
    assert "Likeliest fix" in error["message"]


def test_save_writes_the_text_as_it_is_and_only_when_it_is_a_car(client, bench, folder):
    assert asked(client, "save", text=HEAVIER, was=digest(TEASEL))["answer"]["file"] == "ours.toml"
    assert (folder / "ours.toml").read_text(encoding="utf-8") == HEAVIER == bench.text
    error = asked(client, "save", text=TYPED, was=digest(HEAVIER))["error"]
    assert error["problems"]
    assert (folder / "ours.toml").read_text(encoding="utf-8") == HEAVIER


def test_a_file_that_changed_meanwhile_is_shown_and_not_overwritten(client, bench, folder):
    theirs = TEASEL.replace('volume = "30 l"', 'volume = "31 l"')
    (folder / "ours.toml").write_text(theirs, encoding="utf-8")
    conflict = asked(client, "save", text=HEAVIER, was=digest(TEASEL))["answer"]["conflict"]
    assert (folder / "ours.toml").read_text(encoding="utf-8") == theirs == conflict["text"]
    differing = [(one["who"], one["text"].split("#")[0].strip()) for one in conflict["differences"]]
    assert [one for one in differing if one[0] in ("theirs", "mine")] == [
        ("theirs", 'mass = "84 kg"'), ("mine", 'mass = "90 kg"'),
        ("theirs", 'volume = "31 l"'), ("mine", 'volume = "30 l"'),
    ]  # fmt: skip
    assert "answer" in asked(client, "save", text=HEAVIER, was=conflict["digest"])
    assert (folder / "ours.toml").read_text(encoding="utf-8") == HEAVIER == bench.text


def test_a_changed_demo_car_becomes_a_file_and_never_replaces_one(folder):
    bench = Bench("teasel")
    client = application(bench, warm=False)
    assert asked(client, "stored")["answer"]["becomes"] == "teasel.toml"
    (folder / "teasel.toml").write_text(HEAVIER, encoding="utf-8")
    assert asked(client, "save", text=TEASEL, was=digest(TEASEL))["answer"]["conflict"]["text"] == HEAVIER
    (folder / "teasel.toml").unlink()
    assert asked(client, "save", text=HEAVIER, was=digest(TEASEL))["answer"]["file"] == "teasel.toml"
    assert (folder / "teasel.toml").read_text(encoding="utf-8") == HEAVIER


@pytest.mark.parametrize(
    ("name", "file"),
    [("Übung 7 (wet)", "ubung-7-wet"), ("../../etc/passwd", "etc-passwd"), ("日本", "car"), ("a" * 200, "a" * 60)],
)
def test_a_new_file_is_named_after_its_car(name, file):
    assert file_name(name) == file


def test_save_new_never_overwrites_and_stays_in_the_folder(client, folder):
    evil = TEASEL.replace('name = "teasel"', 'name = "../ours"', 1)
    names = [asked(client, "save-new", text=evil)["answer"]["file"] for _ in range(2)]
    assert names == ["ours-2.toml", "ours-3.toml"]
    assert (folder / "ours.toml").read_text(encoding="utf-8") == TEASEL
    assert sorted(path.name for path in folder.iterdir()) == ["ours-2.toml", "ours-3.toml", "ours.toml"]
    assert "error" in asked(client, "save-new", text=TYPED)
    assert len(list(folder.iterdir())) == 3


def test_cars_are_put_on_by_their_number_in_the_list(client, bench, folder):
    (folder / "other.toml").write_text(HEAVIER, encoding="utf-8")
    (folder / "settings.toml").write_text("[tool]\n", encoding="utf-8")
    listed = asked(client, "list")["answer"]
    assert [one["name"] for one in listed["cars"]] == [*DEMO_CARS, "other.toml", "ours.toml"]
    assert [one["name"] for one in listed["cars"] if one["on"]] == ["ours.toml"]
    chosen = asked(client, "put-on", listed=listed["listed"], number=len(DEMO_CARS))["answer"]
    assert (chosen["name"], bench.file) == ("other.toml", folder / "other.toml")
    (folder / "more.toml").write_text(HEAVIER, encoding="utf-8")
    assert "list of cars has changed" in asked(client, "put-on", listed=listed["listed"], number=0)["error"]["message"]
    for number in (-1, 10_000, "../../etc/passwd"):
        assert (
            ask(client, "POST", "/car/put-on", json={"listed": listed["listed"], "number": number}).status_code == 422
        )


def test_import_takes_a_car_file_and_nothing_else(client):
    def send(data):
        return said(ask(client, "POST", "/car/import", content=data))

    assert send(b"\xef\xbb\xbf" + TEASEL.encode())["answer"]["text"] == TEASEL
    assert "UTF-8" in send(b"\xff\xfe\x00")["error"]["message"]
    assert "binary" in send(b"name\0")["error"]["message"]
    assert "at most 2 MB" in send(b"#" * (LARGEST + 1))["error"]["message"]


def test_export_is_the_stored_text_byte_for_byte(client):
    reply = ask(client, "GET", "/car/export")
    assert reply.content == TEASEL.encode()
    assert reply.headers["content-disposition"] == 'attachment; filename="ours.toml"'


def test_new_is_what_the_command_makes(client):
    chosen = {"name": "moth", "rear": "three-link", "sideways": "panhard", "wheelbase": "2.4 m"}
    assert asked(client, "new", **chosen)["answer"]["text"] == starter_text(**chosen)
    assert "expected a wheelbase" in asked(client, "new", wheelbase="24 m")["error"]["message"]
    assert "found --rear" in asked(client, "new", rear="")["error"]["message"]
    offered = asked(client, "starters")["answer"]["layouts"]
    assert {"front", "rear", "sideways"} == offered.keys()


def test_files_that_are_no_cars_are_left_out_whatever_is_in_them(client, folder):
    (folder / "broken.toml").write_bytes(b"\xff\xfe")
    (folder / "folder.toml").mkdir()
    names = [one["name"] for one in asked(client, "list")["answer"]["cars"]]
    assert "broken.toml" not in names
    assert "folder.toml" not in names
    assert isinstance(Path(names[-1]), Path)
