"""The small drawing of a car file: its points are where the car's own are, twins included."""

from __future__ import annotations

import tomllib

import numpy as np
import pytest

from axlewright.car.edit import with_value
from axlewright.car.file import DEMO_CARS, load, parse, read
from axlewright.car.form import form_of
from axlewright.car.outline import outline_of
from axlewright.units import parse as parsed

SAME = 1e-12  # m; both are sums of the same few numbers


def outline(text):
    table = tomllib.loads(text)
    return outline_of(form_of(text, table), table)


@pytest.mark.parametrize("name", DEMO_CARS)
def test_every_link_and_spring_of_the_car_is_among_the_lines(name):
    car = load(name)
    drawn = {tuple(np.round(end, 9)) for line in outline(read(name)).lines for end in line}
    for end in (car.front, car.rear):
        for rod in end.rods():
            for point in (rod.a, rod.b):
                assert tuple(np.round(point.xyz, 9)) in drawn, rod.path


@pytest.mark.parametrize("name", DEMO_CARS)
def test_four_wheels_stand_where_they_stand(name):
    car = load(name)
    wheels = sorted(outline(read(name)).wheels)
    expected = sorted(
        tuple(end.side(side).wheel_centre.xyz) for end in (car.front, car.rear) for side in ("left", "right")
    )
    np.testing.assert_allclose(wheels, expected, atol=SAME)


def test_units_datum_and_a_point_of_its_own_on_the_right():
    text = with_value(read("teasel"), "rear.links[1].right.axle", [-2.7, -0.51, 0.24])
    dots = [dot for dot in outline(text).dots if dot.path in ("rear.links[1].axle", "rear.links[1].right.axle")]
    assert [(dot.path, dot.twin) for dot in dots] == [
        ("rear.links[1].axle", False),
        ("rear.links[1].right.axle", False),
    ]
    assert [float(dot.at[1]) for dot in dots] == [0.52, -0.51]
    inches = next(dot for dot in outline(read("bramble")).dots if dot.path == "front.wheel_centre")
    assert parse(read("bramble")).points.unit == "in"
    assert inches.at[2] == pytest.approx(parse(read("bramble")).front.wheel_centre.z)
    assert parsed("1 in", "length").value < inches.at[2] < 0.5


def test_a_point_that_cannot_be_read_is_left_out_and_the_rest_is_drawn():
    text = with_value(read("teasel"), "front.wheel_centre[2]", "wide")
    found = outline(text)
    assert len(found.wheels) == 2
    assert len(found.dots) == len(outline(read("teasel")).dots) - 2
