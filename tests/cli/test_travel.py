"""`axlewright travel`: the same numbers as the library, in tables, data and drawings, and sentences for slips."""

from __future__ import annotations

import csv
import io
import json
from xml.etree import ElementTree

import numpy as np
import pytest
from click.testing import CliRunner

from axlewright.cli.main import cli
from axlewright.readings import readings_of
from axlewright.solve.poses import grid
from axlewright.solve.travel import travel
from tests.cars import TEASEL

NINE_DIGITS = 1e-8  # what data for machines carries


def run(*arguments: str) -> str:
    found = CliRunner().invoke(cli, ["travel", "teasel", *arguments])
    assert found.exit_code == 0, found.output
    return found.stdout


def refused(*arguments: str) -> str:
    found = CliRunner().invoke(cli, ["travel", "teasel", *arguments])
    assert found.exit_code != 0
    return " ".join(found.output.split())


def test_json_carries_what_the_library_says():
    said = json.loads(run("--bump=-40..40", "--points", "3", "--reading", "anti_squat", "--json"))
    ours = travel(TEASEL.car, grid(bump=[-0.04, 0.0, 0.04]))
    one = said["travel"][0]
    assert [pose["bump"] for pose in one["poses"]] == pytest.approx([-0.04, 0.0, 0.04])
    assert all(pose["reached"] for pose in one["poses"])
    expected = readings_of(TEASEL.machine)["anti_squat"].read(ours.solved)
    assert one["readings"]["anti_squat"]["values"] == pytest.approx(expected, rel=NINE_DIGITS)


def test_csv_has_a_line_a_pose_of_the_whole_grid():
    text = run("--bump=-40..40", "--roll=-2..2", "--points", "3", "--reading", "axle_steer", "--csv")
    lines = list(csv.DictReader(io.StringIO(text)))
    assert len(lines) == 9
    rolls = [float(line["roll [rad]"]) for line in lines]
    assert rolls == pytest.approx(np.radians([-2.0, 0.0, 2.0] * 3).tolist())  # the last movement varies fastest
    assert all(float(line["axle_steer"]) for line in lines)


def test_a_table_shows_the_movement_the_reading_and_where_it_stops():
    text = run("--bump=0..300", "--points", "4", "--reading", "pinion_angle")
    assert "bump, mm" in text
    assert "pinion angle in the chassis" in text
    assert "the rear stops at bump +24" in text
    assert "hands between links" in " ".join(text.split())


def test_us_units_read_and_shown():
    said = json.loads(run("--bump", "1", "--units", "us", "--reading", "pinion_angle", "--json"))
    assert said["travel"][0]["poses"][0]["bump"] == pytest.approx(0.0254)
    said = json.loads(run("--bump", "-1..1 in", "--points", "2", "--reading", "pinion_angle", "--json"))
    assert [pose["bump"] for pose in said["travel"][0]["poses"]] == pytest.approx([-0.0254, 0.0254])


def test_two_setups_over_each_other_in_one_drawing(tmp_path):
    file = tmp_path / "curves.svg"
    text = run("--bump=-40..40", "--against", "watt_pivot=8", "--reading", "roll_centre_height_rear",
               "--plot", str(file))  # fmt: skip
    assert "watt_pivot 8" in text
    drawn = " ".join(ElementTree.parse(file).getroot().itertext()).replace("\u00a0", " ")
    for words in ("roll centre height, rear", "watt_pivot 8", "as the car is set", "bump"):
        assert words in drawn


def test_two_movements_in_one_drawing(tmp_path):
    file = tmp_path / "grid.svg"
    run("--bump=-40..40", "--roll=-2..2", "--reading", "roll_centre_height_rear", "--plot", str(file))
    drawn = " ".join(ElementTree.parse(file).getroot().itertext()).replace("\u00a0", " ")
    for words in ("roll centre height, rear", "darker: higher", "up the side: roll", "bump"):
        assert words in drawn


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--bump=-10..x",), "expected FROM..TO or one position"),
        (("--bump", "3 N"), "expected FROM..TO or one position"),
        (("--reading", "balance"), "since nothing is loaded here"),
        (("--reading", "anti_squatt"), "did you mean `anti_squat`"),
        (("--wheel", "LX=3"), "no wheel `LX`"),
        (("--wheel", "LF"), "expected WHEEL=FROM..TO"),
        (("--against", "watt=1"), "no adjuster `watt`"),
        (
            ("--bump=-1..1", "--roll=-1..1", "--against", "watt_pivot=6", "--plot", "x.svg"),
            "expected one movement, or two without --against",
        ),
    ],
)
def test_a_slip_is_answered_with_a_sentence(arguments, said):
    assert said in refused(*arguments)
