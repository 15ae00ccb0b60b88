"""The effects grid against what the command line prints and writes for the same car."""

from __future__ import annotations

import json
import re

import pytest
from click.testing import CliRunner

from axlewright.cli.main import cli
from axlewright.tune.effects import AS_TURNED, PUT_RIGHT, Effects, effects
from axlewright.web.effects_grid import FULL_BAR, Data, grid
from tests.cars import TEASEL

PHASE = "mid-corner"
ADJUSTERS = ["front_bar_hole", "rear_bar_hole", "perch_LF", "pressure_LF", "spacers_rear", "damper_front_rebound"]
COLUMNS = ["balance", "margin", "vehicle_roll", "inside_rear_load", "inside_front_load", "anti_squat"]
LEFT, RIGHT = 0, 1
NINE_DIGITS = 2e-9  # of a change: the command line writes nine digits, and two solves of one state differ in the last


def said(*more: str) -> str:
    """What the command line says of the same table."""
    named = [arg for key in ADJUSTERS for arg in ("--adjuster", key)]
    done = CliRunner().invoke(cli, ["effects", "teasel", "--phase", PHASE, *named, *more])
    assert done.exit_code == 0, done.output
    return done.stdout


@pytest.fixture(scope="module")
def table() -> Effects:
    return effects(TEASEL.car, phases=[PHASE], adjusters=ADJUSTERS)


@pytest.fixture(scope="module")
def left(table) -> Data:
    return grid(table, [LEFT], COLUMNS, ADJUSTERS, "metric")


def rows(data: Data) -> dict[tuple[str, int, str], dict]:
    return {(row["adjuster"], row["steps"], row["kind"]): row for row in data["rows"]}


def test_every_change_is_the_command_lines(table):
    listed = json.loads(said("--json"))["effects"]
    assert len(listed) == 2 * len(table.rows)
    checked = 0
    for turn, place in (("left", LEFT), ("right", RIGHT)):
        shown = rows(grid(table, [place], COLUMNS, ADJUSTERS, "metric"))
        for one in (row for row in listed if row["phase"] == f"{PHASE}, {turn}"):
            row = shown[one["adjuster"], one["steps"], one["kind"]]
            for name, cell in zip(COLUMNS, row["cells"], strict=True):
                if cell is None:
                    assert name not in one["readings"]
                    continue
                assert cell["value"] == pytest.approx(one["readings"][name]["change"], rel=NINE_DIGITS)
                marks = {None: "", "sure": "", "likely": "?", "unknown": "??"}
                assert cell["mark"] == marks[one["readings"][name]["sure"]]
                checked += 1
    assert checked > 50  # most steps change most of these


def test_the_texts_are_those_that_are_printed(table, left):
    right = grid(table, [RIGHT], COLUMNS, ADJUSTERS, "metric")
    printed = said()
    for key in ("front_bar_hole", "rear_bar_hole", "perch_LF"):
        name = left["adjusters"][key]["name"]
        line = next(line for line in printed.split("\n") if line.startswith(f"{name}, "))
        for way, kind in ((1, AS_TURNED), (-1, AS_TURNED), (1, PUT_RIGHT)):
            cells = [rows(side)[key, way, kind]["cells"][0] or side["none"] for side in (left, right)]
            assert " / ".join(cell["text"] + cell["mark"] for cell in cells) in line
        minutes, place = left["adjusters"][key]["minutes_words"], left["adjusters"][key]["place"]
        assert line.endswith(f"{minutes}, {place}")
    assert f"({left['phases'][0]['held']})" in printed
    assert f"left: {'; '.join(left['phases'][0]['now'])}" in printed
    restoring = rows(left)["perch_LF", 1, PUT_RIGHT]["restoring"]
    assert restoring
    assert restoring in re.sub(r"\s+", " ", printed)


def test_words_say_the_direction(left):
    cell = rows(left)["front_bar_hole", 1, AS_TURNED]["cells"][0]
    assert cell["text"].startswith("+")
    assert cell["words"] == f"looser {cell['text'][1:]} g"
    other = rows(left)["front_bar_hole", -1, AS_TURNED]["cells"][0]
    assert other["words"] == f"pushes more {other['text'][1:]} g"


def test_what_is_too_small_to_feel(table, left):
    felt = next(r.felt for r in table.readings if r.id == "balance")
    found = [row["cells"][0] for row in left["rows"]]
    assert any(cell is None for cell in found)
    assert all(cell["felt"] == (abs(cell["value"]) >= felt) for cell in found if cell)
    assert left["columns"][0]["felt_words"] == "felt from 0.004 g, a rule of thumb"
    load = [row["cells"][3] for row in left["rows"] if row["cells"][3]]
    assert all(cell["felt"] for cell in load)  # no rule of thumb: every change counts


def test_bars_are_filled_by_the_third_largest(table, left):
    place = [r.id for r in table.readings].index("inside_rear_load")
    sizes = [
        max(abs(row.change[LEFT, place]) for row in table.rows if row.adjuster == key and row.kind == AS_TURNED)
        for key in {row.adjuster for row in table.rows}
    ]
    full = left["columns"][3]["full"]
    assert sorted(sizes)[-FULL_BAR] == full
    assert left["columns"][0]["full"] >= 2 * table.readings[[r.id for r in table.readings].index("balance")].felt


def test_why_a_step_is_not_there(table, left):
    assert left["absent"] == [
        {"adjuster": "spacers_rear", "steps": -1, "reason": "rear wheel spacers, both sides is at its lowest, 0 mm"},
        {"adjuster": "damper_front_rebound", "steps": 0, "reason": "front dampers, rebound clicks acts only in motion"},
    ]
    assert [one["reason"] for one in left["absent"]] == [text for texts in table.ends.values() for text in texts]
    assert left["adjusters"]["front_bar_hole"]["moves"]["1"] == "hole 3 to hole 4"


def test_other_units_change_words_and_no_value(table, left):
    us = grid(table, [LEFT], COLUMNS, ADJUSTERS, "us")
    metric, other = (rows(side)["perch_LF", 1, AS_TURNED]["cells"][3] for side in (left, us))
    assert metric["value"] == other["value"]
    assert (left["columns"][3]["unit"], us["columns"][3]["unit"]) == ("N", "lbf")
    newton, pound = float(metric["text"]), float(other["text"])
    assert pound == pytest.approx(newton / 4.448, abs=0.5 / 4.448 + 0.05)  # both rounded as they are printed
