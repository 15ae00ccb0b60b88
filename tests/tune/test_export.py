"""The effects table as data: the form that is written at the top of `tune.export`, valid JSON (RFC 8259) and CSV."""

from __future__ import annotations

import csv
import io
import json
import re

import numpy as np
import pytest

from axlewright.readings.margin import MARGIN
from axlewright.tune import export
from axlewright.tune.export import effects_csv, effects_data
from tests.tune.conftest import ADJUSTERS, PHASES

PRINTED = 1e-8  # of a number: nine digits are written
ADJUSTER = {
    "name", "unit", "step", "position", "range", "reference", "direction", "minutes", "place", "recheck", "cautions",
    "ends",
}  # fmt: skip


@pytest.fixture(scope="module")
def data(teasel_table):
    """Written and read again by a reader that takes no NaN."""

    def refuse(word):
        raise ValueError(word)

    return json.loads(json.dumps(effects_data(teasel_table), allow_nan=False), parse_constant=refuse)


def test_keys_are_as_documented(data):
    assert list(data) == ["version", "car", "phases", "adjusters", "effects", "sharpen"]
    assert (data["version"], data["car"]) == (1, "teasel")
    for phase in data["phases"].values():
        assert set(phase) == {"ax", "ay", "speed", "turn", "result", "runs_out", "readings"}
        assert all(set(one) == {"value", "unit"} for one in phase["readings"].values())
    assert all(set(one) == ADJUSTER for one in data["adjusters"].values())
    for effect in data["effects"]:
        assert set(effect) == {"phase", "adjuster", "steps", "kind", "result", "readings", "moves", "note"}
        assert all(set(one) == {"change", "unit", "sure"} for one in effect["readings"].values())
        assert all(set(one) == {"adjuster", "counts"} for one in effect["moves"])
    assert data["sharpen"]
    assert all(set(one) == {"source", "measure", "share"} for one in data["sharpen"])


def test_every_key_of_an_adjuster_and_an_effect_is_in_the_text():
    """The documented form is what a reader of the data goes by, so it must not leave one out."""
    told = set(re.findall(r'"(\w+)"', export.__doc__ or ""))
    assert told >= ADJUSTER


def test_names_are_those_of_the_table(data):
    assert list(data["phases"]) == ["straight braking", "mid-corner, left"]
    assert data["phases"]["mid-corner, left"]["ay"] == pytest.approx(9.81)
    assert list(data["adjusters"]) == ADJUSTERS
    assert data["adjusters"]["front_bar_hole"]["range"] == [1.0, 5.0]
    assert {effect["kind"] for effect in data["effects"]} == {"as-turned", "put-right"}
    assert {effect["steps"] for effect in data["effects"]} == {1, -1}
    assert {effect["result"] for effect in data["effects"]} == {"solved"}


def test_a_change_that_is_no_change_is_left_out(data, teasel_table):
    left_out = 0
    effects = iter(data["effects"])
    for row in teasel_table.rows:
        for p in range(len(PHASES)):
            found = next(effects)["readings"]
            for reading, change in zip(teasel_table.readings, row.change[p], strict=True):
                if not np.isfinite(change):
                    assert found[reading.id]["change"] is None
                elif abs(change) < reading.smallest or change == 0.0:
                    left_out += 1
                    assert reading.id not in found
                else:
                    assert found[reading.id]["change"] == pytest.approx(change, rel=PRINTED)
                    assert found[reading.id]["unit"] == reading.unit
    assert left_out
    assert next(effects, None) is None


def test_what_does_not_exist_is_null(data):
    """There is no understeer angle in a straight line."""
    assert data["phases"]["straight braking"]["readings"]["understeer_angle"]["value"] is None
    assert data["phases"]["mid-corner, left"]["readings"]["understeer_angle"]["value"] > 0.0


def test_confidence_is_null_where_it_was_not_worked_out(data):
    for effect in data["effects"]:
        for name, one in effect["readings"].items():
            asked = effect["kind"] == "as-turned" and name != MARGIN.id
            assert (one["sure"] in ("sure", "likely", "unknown")) if asked else (one["sure"] is None)


def test_csv_has_one_line_a_phase_and_row(teasel_table):
    heads, *lines = csv.reader(io.StringIO(effects_csv(teasel_table)))
    assert heads[:6] == ["phase", "adjuster", "steps", "kind", "result", "moves"]
    assert [head.split(" [")[0] for head in heads[6:]] == [reading.id for reading in teasel_table.readings]
    asked = [
        (held.name, row.adjuster, str(row.steps), row.kind) for row in teasel_table.rows for held in teasel_table.phases
    ]
    assert [tuple(line[:4]) for line in lines] == asked
    assert {len(line) for line in lines} == {len(heads)}
    numbers = np.array([[float(x) if x else np.nan for x in line[6:]] for line in lines])
    whole = np.concatenate([row.change for row in teasel_table.rows])
    np.testing.assert_allclose(numbers, whole, rtol=PRINTED)
