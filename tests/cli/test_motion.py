"""The commands of motion: data that machines can read, pictures, and one clear sentence for what can't be done."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from axlewright.cli.main import cli

BAD = [
    ("hit teasel --speed", "10 kg", "which is a mass; expected a speed"),
    ("hit teasel --torque", "-5 N m", "torque of -5: give a number above 0"),
    ("hit teasel --patch", "10 m", "expected where, how long and the grip"),
    ("hit teasel --also", "foo", 'found --also "foo"; expected ADJUSTER=POSITION'),
    ("hit teasel --seconds", "500 s", "the most is"),
    ("hit teasel --animate", "x.mp4", "must end in .gif"),
    ("hit sorrel --choose --torque", "900 N m", "no torque link to choose for"),
    ("steer teasel --ay", "3 g", "more than the tyres hold; ask for a gentler beginning"),
    ("road teasel --rough", "Z", "expected one of A, B"),
    ("road teasel --bump", "20mm", "expected a height and a length"),
    ("road teasel --drop", "30 mm", "expected four heights"),
    ("road teasel --rough A --speed", "0 m/s", "above 0"),
    ("modes teasel --adjuster", "nosuch", "no adjuster"),
    ("modes teasel --plot", "x.svg", "add --adjuster"),
    ("modes teasel --piston-speed", "0 m/s", "expected more than 0"),
]


def said(line: str, *more: str) -> str:
    result = CliRunner().invoke(cli, [*line.split(), *more])
    assert result.exit_code == 0, result.output[-300:]
    return result.stdout


@pytest.mark.parametrize(("line", "value", "words"), BAD)
def test_what_cannot_be_done_has_a_sentence(line, value, words):
    result = CliRunner().invoke(cli, [*line.split(), value])
    assert result.exit_code == 1
    assert words in " ".join(result.output.split())


def test_no_road_is_no_road():
    result = CliRunner().invoke(cli, ["road", "teasel"])
    assert result.exit_code == 1
    assert "--rough B" in result.output


def test_hits_side_by_side(tmp_path):
    files = [str(tmp_path / name) for name in ("hit.svg", "hit.gif")]
    found = json.loads(said("hit teasel --json --also drive_preload=500 --plot", files[0], "--animate", files[1]))
    runs = list(found["runs"].values())
    assert [run["result"] for run in runs] == ["done", "done"]
    wound = [run["readings"]["wind_up_peak"]["value"] for run in runs]
    assert wound[1] > wound[0]  # less preload: the spring moves earlier
    assert all((tmp_path / name).stat().st_size > 1000 for name in ("hit.svg", "hit.gif"))


def test_every_moment_as_csv():
    lines = said("hit teasel --csv").splitlines()
    assert lines[0].startswith("car,time,speed,ax")
    assert len(lines) == 1 + 401


def test_modes_are_data():
    found = json.loads(said("modes teasel --json --phase standing --piston-speed", "50 mm/s"))
    swings = found["states"]["standing"]
    assert {"heave", "roll", "front hop", "rear hop"} <= swings.keys()
    assert found["ride"]["front"] == pytest.approx(2.07, abs=0.02)  # Hz, the design's demo car


def test_dampers_and_ripples_are_data():
    ends = json.loads(said("modes teasel --dampers --json"))["ends"]
    assert ends["front"]["motion_ratio"] == pytest.approx(0.697, abs=0.001)  # the design's demo car
    assert ends["rear"]["motion_ratio"] == pytest.approx(0.997, abs=0.001)
    assert ends["rear"]["variation_even"] <= ends["rear"]["variation_now"]
    swing = json.loads(said("modes teasel --json --ripples", "10 mm,3.5 m"))["load_swing"]
    assert all(0.0 < v < 2.0 for row in swing.values() for v in row)
