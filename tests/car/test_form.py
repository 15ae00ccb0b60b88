"""The form of a car file: everything that a file says is a field, and what is typed in one is read as it was meant."""

from __future__ import annotations

import tomllib

import pytest

from axlewright import units
from axlewright.car.check import check_text
from axlewright.car.edit import with_value
from axlewright.car.file import DEMO_CARS, parse, read
from axlewright.car.form import Field, Group, fields_of, form_of, typed
from axlewright.car.key_paths import places
from axlewright.car.schema.rear import BeamAxle

TEASEL = read("teasel")
TABLE = tomllib.loads(TEASEL)


def by_path(text, opened=()):
    return {field.path: field for field in fields_of(form_of(text, tomllib.loads(text), opened))}


def groups(group):
    for entry in group.entries:
        if isinstance(entry, Group):
            yield entry
            yield from groups(entry)


@pytest.mark.parametrize("name", DEMO_CARS)
def test_every_value_of_a_file_is_a_field_as_it_is_written(name):
    text = read(name)
    fields = by_path(text)
    written = {path: place.written.strip('"') for path, place in places(text).items() if place.written}
    shown = {path: field.value for path, field in fields.items() if field.value is not None}
    lists = {path for path, field in fields.items() if field.sort == "several" and "," in (field.value or "")}
    inside = {path for path in written if any(path.startswith(f"{one}[") for one in lists)}
    assert {path: text for path, text in written.items() if path not in inside} == {
        path: text for path, text in shown.items() if path not in lists
    }


@pytest.mark.parametrize("name", DEMO_CARS)
def test_what_is_shown_typed_again_changes_nothing(name):
    text = read(name)
    before = tomllib.loads(text)
    for field in fields_of(form_of(text, before)):
        if field.value is not None and field.path.startswith(("rear.", "name", "masses.", "phases[1]")):
            assert typed(field, field.value) == value_at(before, field.path), field.path


def value_at(table, path):
    from axlewright.car.key_paths import steps

    for step in steps(path):
        table = table[step]
    return table


def test_fields_know_what_the_schema_says():
    fields = by_path(TEASEL)
    rate = fields["front.spring.rate"]
    assert (rate.sort, rate.kind, rate.value, rate.required) == ("quantity", "spring rate", "95 N/mm +- 3 %", True)
    assert rate.about == "spring rate at first contact"
    assert rate.example == units.KINDS["spring rate"].example
    assert fields["rear.layout"].words == ("de-dion", "double-wishbone", "live-axle", "multi-link")
    assert fields["tyres.law"].words == ("magic-1987", "similarity")
    assert fields["front.bar.hole"].sort == "count"
    assert fields["front.bar.hole"].least == 1
    assert fields["front.wheel_centre[2]"].title == "y"
    assert fields["front.wheel_centre[2]"].value == "0.780"
    assert fields["phases[7].grip"].default == "dry"
    assert fields["phases[7].grip"].value is None
    assert fields["front.spring.tender_rate"].value is None


def test_optional_tables_are_closed_until_they_are_opened():
    closed = next(g for g in groups(form_of(TEASEL, TABLE)) if g.path == "rear.panhard")
    assert not closed.given
    assert not closed.entries
    opened = by_path(TEASEL, ["rear.panhard"])
    assert opened["rear.panhard.chassis"].value is None
    assert opened["rear.panhard.chassis"].sort == "several"


def test_a_list_ends_with_an_empty_entry():
    phases = next(g for g in groups(form_of(TEASEL, TABLE)) if g.path == "phases")
    assert [entry.title for entry in phases.entries][-2:] == ["kerb", "one more"]
    assert phases.entries[-1].path == "phases[8]"


def test_a_form_can_make_a_panhard_rod_and_the_check_reads_it():
    text = TEASEL
    for path, said in (("rear.panhard.chassis", "-2.9, -0.4, 0.3"), ("rear.panhard.axle", "-2.9, 400 mm, .3")):
        field = by_path(text, ["rear.panhard"])[path]
        text = with_value(text, path, typed(field, said))
    assert tomllib.loads(text)["rear"]["panhard"] == {"chassis": [-2.9, -0.4, 0.3], "axle": [-2.9, "400 mm", 0.3]}
    rear = parse(text).rear
    assert isinstance(rear, BeamAxle)
    assert rear.panhard is not None
    assert rear.panhard.axle.xyz[1] == pytest.approx(0.4)


@pytest.mark.parametrize(
    ("field", "said", "meant"),
    [
        ({"sort": "quantity", "kind": "length"}, "35", "35"),
        ({"sort": "quantity", "kind": "share"}, "0.68", 0.68),
        ({"sort": "quantity", "kind": "share"}, "68 %", "68 %"),
        ({"sort": "coordinate", "kind": "length"}, "\N{MINUS SIGN}1.5", -1.5),
        ({"sort": "coordinate", "kind": "length"}, "12 mm", "12 mm"),
        ({"sort": "text"}, "12", "12"),
        ({"sort": "count"}, "3", 3),
        ({"sort": "count"}, "three", "three"),
        ({"sort": "yes"}, "false", False),
        ({"sort": "several"}, '[0, "1 mm", -2]', [0, "1 mm", -2]),
        ({"sort": "several"}, "y", "y"),
        ({"sort": "number"}, "nan", "nan"),
        ({"sort": "text"}, "  ", None),
    ],
)
def test_what_is_typed_is_read_as_it_was_meant(field, said, meant):
    found = typed(Field(path="a", title="a", about="", **field), said)
    assert found == meant
    assert isinstance(found, bool) == isinstance(meant, bool)


def test_a_kept_setup_with_a_name_of_any_kind_keeps_its_date():
    kept = '[setups."wet, v1.2"]\ndate = 2026-05-01 10:00:00+02:00\npositions = { front_bar_hole = 4 }\n'
    text = f"{TEASEL}\n{kept}"
    fields = by_path(text)
    when = fields['setups."wet, v1.2".date']
    assert when.value == "2026-05-01 10:00:00+02:00"
    later = with_value(text, when.path, typed(when, "2026-05-02T10:00:00+02:00"))
    date = parse(later).setups["wet, v1.2"].date
    assert date is not None
    assert date.day == 2
    bar = fields['setups."wet, v1.2".positions.front_bar_hole']
    assert parse(with_value(later, bar.path, 3)).setups["wet, v1.2"].positions == {"front_bar_hole": 3}


def test_a_slip_in_a_field_is_told_beside_it():
    text = with_value(TEASEL, "front.bar.hole", typed(by_path(TEASEL)["front.bar.hole"], "three"))
    assert [problem.path for problem in check_text(text).problems] == ["front.bar.hole"]


@pytest.mark.parametrize("text", ["", "front = 3", "front = [1]\nrear = {layout = 'x'}", "phases = [1, [2]]\nname = 4"])
def test_a_draft_of_the_wrong_shape_still_has_a_form(text):
    titles = [entry.title for entry in form_of(text, tomllib.loads(text)).entries]
    assert titles[0] == "name"
    assert "rear" in titles
