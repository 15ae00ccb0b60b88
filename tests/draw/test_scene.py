"""Drawings of states: against lengths that the links keep, places that the car file gives, and the readings."""

from __future__ import annotations

import subprocess
import sys
from functools import cache

import numpy as np
import pytest

from axlewright.car.file import DEMO_CARS, load
from axlewright.draw.scene import Drawing, drawing
from axlewright.readings import readings_of
from axlewright.solve.poses import grid
from axlewright.solve.solved import Solved
from axlewright.solve.travel import Travelled, travel
from tests.cars import TEASEL, Demo, standing_values

SAME = 1e-9  # m: the last digits of a position after a few rotations
CLOSED = 1e-7  # m: how far off its length a link of a moved linkage may be (solve.moved_block)
STOOD = 1e-6  # of a reading: two ways to the same number, velocities solved from poses known to 1e-7 m
NEWTONS = 1e-9  # N: the same numbers
CARS = tuple(DEMO_CARS)


@cache
def moved(name: str) -> Travelled:
    """As drawn, in bump with roll and steer, and in droop with roll the other way."""
    poses = grid(bump=[0.0, 0.02, -0.03])
    roll, steer = np.radians([0.0, 1.0, -1.5]), np.array([0.0, 0.01, -0.005])
    return travel(load(name), type(poses)(poses.bump, roll, steer, poses.wind_up, poses.wheels))


def lengths(solved: Solved) -> dict[str, np.ndarray]:
    """Length of every link, (B,), as the model says."""
    found = {}
    for i, topology in enumerate(solved.machine.topology.blocks):
        for c, copy in enumerate(topology.block.copies):
            for link in topology.links:
                found[f"{copy}.{link}"] = solved.link(i, link, "length")[c]
    return found


def drop_lengths(solved: Solved) -> dict[str, np.ndarray]:
    """Length of every drop link, (B,), as its bar's law has it."""
    found, bars = {}, solved.machine.topology.mechanism.bars
    for topology, p in zip(solved.machine.topology.blocks, solved.parameters.blocks, strict=True):
        for e, ends in enumerate(topology.bar_ends):
            for c, (bar, _) in enumerate(ends):
                found[f"{bars[bar].name}.{topology.bar_sides[e][c]}"] = np.asarray(p.ends.drop_length)[e, c]
    return found


def size(rod: object) -> float:
    return float(np.linalg.norm(rod.b - rod.a))  # type: ignore[attr-defined]


@pytest.mark.parametrize("axes", ["road", "chassis"])
@pytest.mark.parametrize("name", CARS)
def test_links_and_drop_links_are_drawn_as_long_as_they_are(name: str, axes: str) -> None:
    solved = moved(name).solved
    expected = lengths(solved) | drop_lengths(solved)
    for member in range(solved.batch):
        shown = {rod.path: rod for rod in drawing(solved, member, axes=axes).rods}  # type: ignore[arg-type]
        assert shown.keys() == expected.keys()
        for path, rod in shown.items():
            assert size(rod) == pytest.approx(expected[path][member], abs=CLOSED), path


@pytest.mark.parametrize("name", CARS)
def test_the_drawn_pose_is_drawn_where_the_car_file_puts_it(name: str) -> None:
    found, values = drawing(moved(name).solved, axes="chassis"), standing_values(name)
    for rod in found.rods:
        if rod.kind != "drop link":
            for end in "ab":
                assert getattr(rod, end) == pytest.approx(values[f"{rod.path}.{end}"], abs=SAME), rod.path
        else:
            assert rod.a == pytest.approx(values[f"{rod.path}.drop_point"], abs=SAME)
    for wheel in found.wheels:
        assert wheel.centre == pytest.approx(values[f"{wheel.name}.centre"], abs=SAME)


@pytest.mark.parametrize("name", CARS)
def test_bodies_keep_their_shape_as_they_move(name: str) -> None:
    solved = moved(name).solved
    first = {body.path: body for body in drawing(solved, 0).bodies}
    for member in (1, 2):
        for body in drawing(solved, member).bodies:
            if body.kind in ("bar", "shaft", "strut"):  # these twist, slide or change their length
                continue
            if body.path == "relay":  # tie rods hang on it: checked by their lengths
                continue
            for line, drawn in zip(body.lines, first[body.path].lines, strict=True):
                steps, before = (np.linalg.norm(np.diff(x, axis=0), axis=1) for x in (line, drawn))
                assert steps == pytest.approx(before, abs=CLOSED), body.path


@pytest.mark.parametrize("name", CARS)
def test_the_chassis_stands_still_in_its_own_axes_and_nothing_is_loaded(name: str) -> None:
    solved = moved(name).solved
    first, other = (drawing(solved, member, axes="chassis") for member in (0, 2))
    for a, b in zip(first.pickups, other.pickups, strict=True):
        assert a.at == pytest.approx(b.at, abs=SAME), a.path
    assert {rod.tension for rod in other.rods} == {None}


@pytest.mark.parametrize("name", CARS)
def test_every_moving_end_belongs_to_something_drawn(name: str) -> None:
    """Each end of a link is a point of a body, of the steering, or mounted to the chassis."""
    found = drawing(moved(name).solved, 1)
    points = [p for body in found.bodies for line in body.lines for p in line] + [p.at for p in found.pickups]
    for rod in found.rods:
        for end in (rod.a, rod.b):
            assert min(np.linalg.norm(end - p) for p in points) < SAME, rod.path


@pytest.mark.parametrize("name", CARS)
def test_side_lines_rise_by_the_anti_squat_that_is_read(name: str) -> None:
    """Where the line meets the other axle, over the height of the centre of mass, is the reading's share."""
    went = moved(name)
    readings = readings_of(went.solved.machine)
    for member in range(went.solved.batch):
        for line in drawing(went.solved, member).centres.side:
            if line.case == "drive":
                met = gradient(line.start, line.centre) * (line.target[0] - line.start[0]) + line.start[2]
                road = along_road(drawing(went.solved, member), line.target[0])
                expected = went.read(readings["anti_squat"].read)[member]
                whole = (met - line.start[2]) / (line.target[2] - road)
                assert whole == pytest.approx(expected, abs=LEVEL), line.case
            expected = went.read(readings[f"side_view_centre_x_{line.case}"].read)[member]
            assert line.centre[0] == pytest.approx(expected, abs=SAME)


LEVEL = 0.004  # of anti-squat: unlike wheels of a rolled car have lines of their own, the drawing shows their middle


def gradient(start: np.ndarray, end: np.ndarray) -> float:
    return float((end - start)[2] / (end - start)[0])


def along_road(found: Drawing, x: float) -> float:
    """Height of the road between the ends' contact centres."""
    front, rear = found.wheels[:2], found.wheels[2:]
    (x0, z0), (x1, z1) = (np.mean([w.contact[[0, 2]] for w in pair], axis=0) for pair in (front, rear))
    return float(z1 + (z0 - z1) * (x - x1) / (x0 - x1))


@pytest.mark.parametrize("end", ["front", "rear"])
def test_roll_centres_stand_as_high_as_they_are_read(end: str) -> None:
    went = moved("teasel")
    read = went.read(readings_of(went.solved.machine)[f"roll_centre_height_{end}"].read)
    for member in range(went.solved.batch):
        found = drawing(went.solved, member)
        pair = found.wheels[:2] if end == "front" else found.wheels[2:]
        middle = np.mean([wheel.contact for wheel in pair], axis=0)
        assert found.centres.roll[end][2] - middle[2] == pytest.approx(read[member], abs=STOOD)


@pytest.mark.parametrize(("wheel", "at"), [("LF", 0), ("RF", 1)])
def test_front_view_lines_run_from_the_contact_centre_to_where_the_wheel_turns(wheel: str, at: int) -> None:
    went = moved("teasel")
    every = readings_of(went.solved.machine)
    arm, height = (went.read(every[f"front_view_{what}_{wheel}"].read) for what in ("arm", "height"))
    for member in range(went.solved.batch):
        found = drawing(went.solved, member)
        line = next(one for one in found.centres.front if one.wheel == wheel)
        assert line.contact == pytest.approx(found.wheels[at].contact)
        across, up = (line.centre - line.contact)[1:]
        assert (-across if at == 0 else across, up) == pytest.approx((arm[member], height[member]), abs=STOOD)


def test_a_rolled_car_stands_on_the_road_with_its_right_side_down() -> None:
    found = drawing(moved("teasel").solved, 1)
    at = {pickup.path: pickup.at for pickup in found.pickups}
    assert at["front.right.spring"][2] < at["front.left.spring"][2]
    for wheel in found.wheels:
        assert abs(wheel.contact[2]) < ON_ROAD
        assert np.linalg.norm(wheel.axis) == pytest.approx(1.0, abs=SAME)
        assert wheel.axis[1] > 0.9  # to the left


ON_ROAD = 2e-3  # m: a plane through four contact centres of a rolled car leaves each a little off it


@pytest.mark.parametrize("demo", [TEASEL], ids=["teasel"])
def test_held_links_carry_what_the_readings_say(demo: Demo) -> None:
    held, readings = demo.held, readings_of(demo.machine)
    for member in (0, held.batch - 1):
        for rod in drawing(held, member).rods:
            if f"tension.{rod.path}" in readings:
                assert rod.tension == pytest.approx(readings[f"tension.{rod.path}"].read(held)[member], abs=NEWTONS)
    found = drawing(held, 0)
    assert [w.centre for w in found.wheels] == pytest.approx(np.moveaxis(held.wheel("centre"), 0, -1)[:, 0], abs=SAME)


def test_a_spring_that_is_compressed_pushes() -> None:
    springs = [rod for rod in drawing(TEASEL.rest).rods if rod.kind == "spring"]
    assert len(springs) == 4
    assert all(rod.tension is not None and rod.tension < 0 for rod in springs)


def test_a_drawing_loads_no_picture_library() -> None:
    code = "import sys, axlewright.draw.scene; sys.exit('matplotlib' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
