"""The starter file is a whole car, whatever is asked of it, and what it offers in its comments works."""

from __future__ import annotations

import re

import pytest

from axlewright.car.check import check
from axlewright.car.checks.kinematics import front_end, rear_end, side_view, wheel_turns
from axlewright.car.describe import describe
from axlewright.car.file import checked, parse
from axlewright.car.schema.rear import LiveAxle
from axlewright.car.starter import RANGES, layouts, starter_text
from axlewright.errors import RequestError

LAYOUTS = [
    (front, rear, sideways)
    for front in layouts("front")
    for rear in layouts("rear")
    for sideways in (layouts("sideways") if "\n[rear.watt]" in starter_text(rear=rear) else [None])
]
FRONTS = [(front, "three-link", None) for front in layouts("front")]
REARS = [("double-wishbone", rear, None) for rear in layouts("rear")]
SIZES = [("1.9 m", "1.2 m", "0.24 m"), ("3.1 m", "1.75 m", "0.36 m"), ("96 in", "58 in", "12 in")]
BY_TOE = 0.01  # static toe of 0.1 deg times the camber gained, against the bump steer
STRETCHED = 2e-2  # relative; points are written to the millimetre, and a link's slope is a few of them


@pytest.mark.parametrize(("front", "rear", "sideways"), LAYOUTS)
def test_every_combination_checks_clean(front, rear, sideways, tmp_path):
    path = tmp_path / "car.toml"
    path.write_text(starter_text(front=front, rear=rear, sideways=sideways), encoding="utf-8")
    report = check(path)
    assert not report.problems
    assert not report.warnings


@pytest.mark.parametrize("size", SIZES, ids=" ".join)
@pytest.mark.parametrize(("front", "rear", "sideways"), [*FRONTS, *REARS])
def test_every_layout_has_no_problem_in_other_sizes(front, rear, sideways, size):
    wheelbase, track, wheel_radius = size
    checked(parse(starter_text("car", front, rear, sideways, wheelbase, track, wheel_radius)))


@pytest.mark.parametrize("end", [0, 1])
def test_the_smallest_and_the_largest_car_have_no_problem(end):
    wheelbase, track, wheel_radius = (sizes[end] for sizes in RANGES.values())
    checked(parse(starter_text(wheelbase=wheelbase, track=track, wheel_radius=wheel_radius)))


def test_a_stretched_car_keeps_its_geometry():
    """Of length constraints that hold for a small motion, stretched: v.d = 0 is (v/s).(d s) = 0, coordinate by
    coordinate, and v/s is again a rigid motion. So instant centres are stretched like points; elementary geometry.
    """
    drawn, long = (describe(parse(starter_text(rear="three-link", wheelbase=size))) for size in ("2.65 m", "3.18 m"))
    for end in (front_end, rear_end):
        assert end(*long).roll_centre == pytest.approx(end(*drawn).roll_centre, rel=STRETCHED)
    before, after = side_view(*drawn, "rear"), side_view(*long, "rear")
    assert after.slope == pytest.approx(before.slope / 1.2, rel=STRETCHED)
    assert after.swing_arm == pytest.approx(before.swing_arm * 1.2, rel=STRETCHED)
    # Spin about y and z goes with 1/s; the rest is what spin about x steers through the static toe.
    assert wheel_turns(*long)[1] == pytest.approx(wheel_turns(*drawn)[1] / 1.2, rel=BY_TOE)


def test_wheels_are_where_they_were_asked_for():
    car = parse(starter_text(wheelbase="100 in", track="60 in", wheel_radius="12 in"))
    inch = 0.0254
    assert car.front.wheel_centre.xyz == pytest.approx([0.0, 30 * inch, 12 * inch], abs=5e-4)
    assert car.rear.wheel_centre.xyz == pytest.approx([-100 * inch, 30 * inch, 12 * inch], abs=5e-4)


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (
            {"rear": "three"},
            'found --rear "three"; expected de-dion, .*three-link.* Likeliest fix: write "three-link"',
        ),
        ({"front": "leaf springs"}, 'found --front "leaf springs"; expected double-wishbone'),
        ({"sideways": "watts"}, 'found --sideways "watts"; expected panhard, watt or watt-on-axle'),
        ({"rear": "triangulated-four-link", "sideways": "panhard"}, "leave --sideways out"),
        ({"wheelbase": "2.65"}, "--wheelbase: found .*2.65.* expected a length with its unit|--wheelbase: found"),
        ({"wheelbase": "2650 m"}, 'found --wheelbase "2650 m"; expected a wheelbase from 1.5 m to 4 m'),
        ({"track": "1.5 kg"}, "--track: found"),
        ({"wheel_radius": "wide"}, "--wheel-radius: found"),
        ({"wheel_radius": "-0.3 m"}, "expected a wheel radius from"),
    ],
)
def test_what_cannot_be_made_is_said(asked, says):
    with pytest.raises(RequestError, match=says):
        starter_text(**asked)


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
    text = starter_text()
    for name in ("rear.drive_link", "rear.brake_link", "rear.brake_link.damping"):
        text = without_table(text, name)
    car = checked(parse(switched_on(text, "# [[rear.links]]")))
    assert isinstance(car.rear, LiveAxle)
    assert [link.name for link in car.rear.links] == ["lower", "upper"]


def test_corner_weights_instead_of_masses():
    text = switched_on(starter_text(), "# [scales.corner_weights]")
    text = re.sub(r"(?m)^cross_weight = .*$", "", text)
    text = re.sub(r'(?m)^mass = "950 kg.*\nat = .*$', 'height = "0.48 m"', text)
    assert checked(parse(text)).masses.sprung.mass is None
