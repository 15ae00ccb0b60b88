"""One value changed in a car file's text: it says the new value, and not a character more is different."""

from __future__ import annotations

import difflib
import re
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tomlkit.items import Float

from axlewright.car.edit import literal, with_value
from axlewright.car.file import DEMO_CARS, parse, read
from axlewright.car.form import fields_of, form_of
from axlewright.errors import RequestError

TEASEL = read("teasel")
EVERY = {name: list(fields_of(form_of(read(name), tomllib.loads(read(name))))) for name in DEMO_CARS}


def changed(old, new):
    """Lines taken out and put in."""
    return [line for line in difflib.ndiff(old.splitlines(), new.splitlines()) if line[0] in "+-"]


@given(st.data())
@settings(max_examples=40)
def test_any_value_of_any_car_changes_alone(data):
    name = data.draw(st.sampled_from(DEMO_CARS))
    field = data.draw(st.sampled_from([field for field in EVERY[name] if field.value is not None]))
    text = read(name)
    written = with_value(text, field.path, "7.5 mm")
    assert re.findall(r"#.*", written) == re.findall(r"#.*", text)
    assert len(changed(text, written)) in (0, 2)
    assert with_value(written, field.path, "7.5 mm") == written


def test_spelling_and_comment_stay():
    assert changed(TEASEL, with_value(TEASEL, "front.wheel_centre[2]", literal("0.7900"))) == [
        "- wheel_centre = [0.0, 0.780, 0.330]",
        "+ wheel_centre = [0.0, 0.7900, 0.330]",
    ]
    assert '+ unit = "mm"' in changed(TEASEL, with_value(TEASEL, "points.unit", "mm"))
    hole = changed(TEASEL, with_value(TEASEL, "front.bar.hole", 4))[-1]
    assert hole.startswith("+ hole = 4 ")
    assert hole.endswith("# hole 1 is nearest the pivot: stiffest")


def test_what_is_missing_is_added():
    rod = with_value(TEASEL, "rear.panhard.chassis", [-2.9, 0.5, 0.3])
    assert tomllib.loads(rod)["rear"]["panhard"] == {"chassis": [-2.9, 0.5, 0.3]}
    least = parse(with_value(TEASEL, "rules.least_mass", "1000 kg")).rules.least_mass
    assert least is not None
    assert least.value == 1000.0
    right = with_value(TEASEL, "front.right.spring.rate", "90 N/mm")
    assert parse(right).front.side("right").spring.rate.value == 90e3
    links = tomllib.loads(with_value(TEASEL, "rear.links[2].name", "upper"))["rear"]["links"]
    assert links[1] == {"name": "upper"}
    assert links[0] == tomllib.loads(TEASEL)["rear"]["links"][0]
    holes = tomllib.loads(with_value(TEASEL, "rear.links[1].chassis.holes[4]", [1, 2, 3]))["rear"]["links"][0]
    assert holes["chassis"]["holes"][3] == [1, 2, 3]
    curve = tomllib.loads(with_value(TEASEL, "rear.damper.damping.curves[3].clicks", 30))
    assert curve["rear"]["damper"]["damping"]["curves"][2] == {"clicks": 30}


def test_what_is_taken_out_takes_an_empty_list_along():
    assert "perch_thread" not in tomllib.loads(with_value(TEASEL, "front.spring.perch_thread", None))["front"]["spring"]
    assert "ballast" not in tomllib.loads(with_value(TEASEL, "masses.ballast[1]", None))["masses"]
    assert len(tomllib.loads(with_value(TEASEL, "phases[3]", None))["phases"]) == 6


@pytest.mark.parametrize(
    "path", ["front.wheel_centre[9]", "front.camber.x", "no.such[3].key", "phases[99].name", "a[0]", "phases.name"]
)
def test_a_place_that_is_none_is_refused_in_a_sentence(path):
    with pytest.raises(RequestError, match="Likeliest fix: change it in the text"):
        with_value(TEASEL, path, "1 mm")


def test_a_text_that_is_no_toml_is_left_alone():
    with pytest.raises(RequestError, match="expected a car file"):
        with_value("name = ", "name", "x")
    with pytest.raises(RequestError, match="no place"):
        with_value("a = 1\n", "b", None)


def test_lines_end_as_they_did():
    windows = TEASEL.replace("\n", "\r\n")
    written = with_value(windows, "chassis.torsion_stiffness", "12 kN m/deg")
    assert "\n" not in written.replace("\r\n", "")


@given(st.text(max_size=30))
@settings(max_examples=20)
def test_any_text_becomes_the_name(name):
    assert tomllib.loads(with_value(TEASEL, "name", name))["name"] == name


def test_a_number_keeps_its_spelling_and_words_are_no_number():
    kept = literal("0.100")
    assert isinstance(kept, Float)
    assert kept.as_string() == "0.100"
    assert literal(".5") == 0.5
    for said in ("35 N/mm", "true", "[1]", "1 2", '"1"', "inf"):
        with pytest.raises(ValueError, match=re.escape(said)):
            literal(said)


def test_what_could_not_be_written_in_its_own_style_is_left_alone():
    dotted = "front.x = 1\nfront.y = 2\n[rear]\n"  # a new table in there would swallow the keys after it
    with pytest.raises(RequestError, match="no place for front"):
        with_value(dotted, "front.spring.rate", "1 N/mm")
    assert with_value(dotted, "front.x", 3) == dotted.replace("1", "3")
