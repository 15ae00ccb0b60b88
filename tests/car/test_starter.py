"""The starter file is a whole car, and what it offers in its comments works."""

from __future__ import annotations

import re

import pytest

from axlewright.car.check import check
from axlewright.car.file import checked, parse
from axlewright.car.starter import starter_text


def test_it_checks_clean(tmp_path):
    path = tmp_path / "car.toml"
    path.write_text(starter_text(), encoding="utf-8")
    report = check(path)
    assert not report.problems
    assert not report.warnings


@pytest.mark.parametrize("name", ["my car", 'the "old" one', "back\\slash", "Größe 5", "{name}"])
def test_it_takes_any_name(name):
    assert parse(starter_text(name)).name == name


def switched_on(text: str, first_line: str) -> str:
    """The text with one commented table switched on, from its first line to the end of that comment."""
    start = text.index(first_line)
    end = start + re.search(r"\n(?!# )", text[start:]).start()  # pyright: ignore[reportOptionalMemberAccess] found or fail
    return text[:start] + re.sub(r"(?m)^# ", "", text[start:end]) + text[end:]


def without_table(text: str, header: str) -> str:
    return re.sub(rf"(?ms)^\[{re.escape(header)}\].*?(?=^\[|^#)", "", text, count=1)


@pytest.mark.parametrize("line", ["# [[masses.ballast]]", "# [rules]", "# [[phases]]"])
def test_tables_shown_as_comments_can_be_switched_on(line):
    assert checked(parse(switched_on(starter_text(), line))) != checked(parse(starter_text()))


def test_one_solid_upper_link_instead_of_the_torque_links():
    text = without_table(without_table(starter_text(), "rear.drive_link"), "rear.brake_link")
    car = checked(parse(switched_on(text, "# [[rear.links]]")))
    assert [link.name for link in car.rear.links] == ["lower", "upper"]


def test_corner_weights_instead_of_masses():
    text = switched_on(starter_text(), "# [scales.corner_weights]")
    text = re.sub(r"(?m)^cross_weight = .*$", "", text)
    text = re.sub(r'(?m)^mass = "950 kg.*\nat = .*$', 'height = "0.48 m"', text)
    assert checked(parse(text)).masses.sprung.mass is None
