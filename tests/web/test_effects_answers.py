"""What the effects page is told: quick first and then how sure, filtered, for all phases, and what can't be asked."""

from __future__ import annotations

import json
from typing import Any

import pytest
from httpx import ASGITransport, AsyncClient, Response

from axlewright.web.app import application
from axlewright.web.bench import Bench
from axlewright.web.pages.effects import FIRST
from tests.web.asking import wait_for

PHASE = "mid-corner"


class Asking:
    """A bench and what it is asked."""

    def __init__(self) -> None:
        self.bench = Bench("teasel")
        self._page = ASGITransport(application(self.bench, warm=False))

    def post(self, path: str, body: dict[str, Any]) -> Response:
        """What an address answers."""

        async def asked() -> Response:
            async with AsyncClient(transport=self._page, base_url="http://127.0.0.1", timeout=None) as client:
                return await client.post(path, json=body)

        return wait_for(asked())

    def lines(self, **asked: Any) -> list[dict[str, Any]]:
        """All that is told."""
        body = {"car": self.bench.digest, "phase": PHASE, **asked}
        reply = self.post("/effects/table", body)
        assert reply.status_code == 200, reply.text
        return [json.loads(line) for line in reply.text.splitlines()]

    def answer(self, **asked: Any) -> dict[str, Any]:
        """The last that is told."""
        return self.lines(**asked)[-1]["answer"]


@pytest.fixture(scope="module")
def asking() -> Asking:
    return Asking()


def test_the_quick_table_comes_first_and_says_the_same(asking: Asking) -> None:
    lines = asking.lines(turn="right")  # some directions are not known there
    parts = [line["part"] for line in lines if "part" in line]
    whole = lines[-1]["answer"]
    assert [part["sure"] for part in parts] == [False]
    assert whole["sure"]
    assert [c["id"] for c in whole["columns"]] == list(FIRST)

    def texts(data: dict[str, Any]) -> dict[tuple[str, int, str], list[str]]:
        rows = data["rows"]
        return {(r["adjuster"], r["steps"], r["kind"]): [c and c["text"] for c in r["cells"]] for r in rows}

    assert texts(parts[0]) == texts(whole)
    assert {c["mark"] for r in parts[0]["rows"] for c in r["cells"] if c} == {""}
    assert {c["mark"] for r in whole["rows"] for c in r["cells"] if c} >= {"", "??"}
    assert whole["sharpen"]
    assert {line["progress"]["what"] for line in lines if "progress" in line} >= {"putting right"}


def test_another_look_at_a_table_is_not_made_again(asking: Asking) -> None:
    asking.answer()
    lines = asking.lines(turn="right", units="us", readings=["anti_squat"], place="grid", minutes=5)
    assert [next(iter(line)) for line in lines] == ["answer"]
    grid = lines[0]["answer"]
    assert {grid["adjusters"][key]["place"] for key in grid["adjusters"]} == {"grid"}
    assert {row["phase"] for row in grid["rows"]} == {f"{PHASE}, right"}


def test_the_table_is_of_the_setup_as_it_stands(asking: Asking) -> None:
    moved = asking.answer(positions={"wing": 0.4}, readings=["balance"])
    assert moved["adjusters"]["wing"]["moves"] == {"1": "0.4 m^2 to 0.45 m^2", "-1": "0.4 m^2 to 0.35 m^2"}
    now = asking.answer(readings=["balance"])
    assert now["phases"][0]["base"] != moved["phases"][0]["base"]


def test_one_adjuster_in_all_phases(asking: Asking) -> None:
    one = asking.answer(adjuster="rear_bar_hole", readings=["balance", "inside_rear_load"], place="grid", minutes=1)
    names = [phase.name for phase in asking.bench.mounted.car.phases]
    assert [p["called"] for p in one["phases"]][:4] == [
        names[0],
        f"{names[1]}, left",
        f"{names[1]}, right",
        f"{names[2]}, left",
    ]
    assert {row["adjuster"] for row in one["rows"]} == {"rear_bar_hole"}
    here = asking.answer(readings=["balance", "inside_rear_load"])
    key = ("rear_bar_hole", 1, "as-turned")
    same = [
        next(
            r for r in data["rows"] if (r["adjuster"], r["steps"], r["kind"]) == key and r["phase"] == f"{PHASE}, left"
        )
        for data in (one, here)
    ]
    assert [c["text"] for c in same[0]["cells"]] == [c["text"] for c in same[1]["cells"]]


def test_a_column_that_takes_longer_is_there_when_asked_for(asking: Asking) -> None:
    usual = asking.answer(adjuster="rear_bar_hole")
    more = asking.answer(adjuster="rear_bar_hole", readings=["balance", "understeer_gradient"])
    assert [c["id"] for c in more["columns"]] == ["balance", "understeer_gradient"]
    assert [r["cells"][0] and r["cells"][0]["text"] for r in more["rows"]] == [
        r["cells"][0] and r["cells"][0]["text"] for r in usual["rows"]
    ]


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"phase": "mid-cornr"}, "this car has no phase `mid-cornr`"),
        ({"readings": ["balanse"]}, "did you mean `balance`"),
        ({"adjuster": "rear_bar"}, "this car has no adjuster `rear_bar`"),
        ({"place": "grid", "minutes": 0.5}, "no adjuster of this car can be moved at the grid within 0.5 minutes"),
        ({"car": "another"}, "found another car on the bench"),
        ({"positions": {"wing": 9.0}}, "outside its range"),
    ],
)
def test_what_cannot_be_asked_is_said(asking: Asking, asked: dict[str, Any], says: str) -> None:
    assert says in asking.lines(**asked)[-1]["error"]["message"]


def test_every_reading_can_be_found_by_other_words(asking: Asking) -> None:
    reply = asking.post("/effects/readings", {"car": asking.bench.digest})
    listed = reply.json()["answer"]
    assert {one["id"] for one in listed[: len(FIRST)]} == set(FIRST)
    assert "wedge" in next(one for one in listed if one["id"] == "cross_weight")["search"]
    after = [(one["detail"], one["costly"]) for one in listed[len(FIRST) :]]
    assert after == sorted(after)  # detail later, and what takes longer last of each
