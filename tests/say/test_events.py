"""Inputs of events: defaults are those of the solver's own events, and what can't be read is said beside its field."""

from __future__ import annotations

from inspect import signature

import pytest

from axlewright.errors import RequestError
from axlewright.say.events import EVENTS, asking, read
from axlewright.solve.motion import events
from axlewright.units import parse

SAME = {"drive": events.torque_hit, "brake": events.brake_hit, "steer": events.step_steer, "road": events.over_road}


@pytest.mark.parametrize("event", EVENTS)
def test_defaults_are_the_events_own(event):
    values, problems = read(event, {})
    own = {name: one.default for name, one in signature(SAME[event]).parameters.items()}
    assert not problems
    assert values["seconds"] == own["how"].duration
    for name in set(values) & set(own):
        assert values[name] == own[name], name


@pytest.mark.parametrize(
    ("event", "name", "text", "words"),
    [
        ("drive", "torque", "1500", "with no unit"),
        ("drive", "torque", "0 N m", "expected torque from 1 N m to 20000 N m"),
        ("drive", "speed", "10 kg", "which is a mass; expected a speed"),
        ("brake", "effort", "110 %", "from 1 % to 100 %"),
        ("steer", "ay", "3 g", "from -2 g to 2 g"),
        ("road", "rough", "Z", "A to H"),
        ("road", "rough", "", None),
        ("road", "seed", "one", "a whole number from 0 to 9999"),
        ("road", "seconds", "60 s", "from 0.3 s to 4 s"),
    ],
)
def test_what_is_wrong_is_said_of_its_own_input(event, name, text, words):
    problems = read(event, {name: text}).problems
    assert set(problems) == (set() if words is None else {name})
    assert words is None or words in problems[name]


def test_people_write_their_own_units():
    assert read("drive", {"speed": "40 mph", "torque": "1100 lbf ft"}).values["speed"] == parse("40 mph", "speed").value


def test_an_unknown_event_is_said():
    with pytest.raises(RequestError, match="expected one of drive, brake, steer, road"):
        asking("jump", {})


def test_every_limit_can_be_written_and_holds_the_default():
    for form in EVENTS.values():
        for one in form.inputs:
            for text in {one.least, one.most, one.default} - {""}:
                assert not read(form.id, {one.id: text}).problems, (form.id, one.id, text)
