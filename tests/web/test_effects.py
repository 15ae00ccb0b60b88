"""The effects page in a real browser: its numbers are the command line's, a tap tries a step, keys reach all of it."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

import pytest
from click.testing import CliRunner
from playwright.sync_api import Page, expect

from axlewright.cli.main import cli
from axlewright.say.effects import change_number
from axlewright.tune.choose import within
from axlewright.tune.effects import AS_TURNED, effects
from axlewright.web.asked import Asked
from tests.web.browser import Served, clean, picture, shown

pytestmark = pytest.mark.browser

PHASE = "mid-corner"
SAID = (
    400.0  # ms from a tap until the page says what was tried: a frame, and slack for a machine that compiles beside it
)
REDRAWN = 20_000.0  # ms until the table of the moved setup is there whole: some 3 s alone, on two busy cores much more
COLUMNS = {"wide": 8, "phone": 2}


@cache
def printed(*more: str) -> str:
    """What the command line prints of the same car."""
    done = CliRunner().invoke(cli, ["effects", "teasel", "--phase", PHASE, *more])
    assert done.exit_code == 0, done.output
    return done.stdout


def cell_of(name: str, column: int, side: int, text: str) -> str:
    """A cell of the printed table: column 0 up, 1 down, 2 up and put right; side 0 left, 1 right."""
    line = next(line for line in text.split("\n") if line.startswith((f"{name}, ", name[:40])))
    found = re.findall(r"(\S+ / \S+|(?<=  )-(?=  ))", line[46:])
    return found[column].split(" / ")[side]


def opened(page: Page, **wanted: Any) -> dict[str, Any]:
    page.goto("/effects")
    return shown(page, sure=True, **wanted)


def rows_of(seen: dict[str, Any]) -> dict[str, list[str]]:
    return {row["key"].rsplit("|", 1)[0]: row["cells"] for row in seen["rows"]}


def choice(page: Page, size: str, name: str) -> None:
    """One of the choices of rows; folded on a phone."""
    if size == "phone" and not page.locator("details.more").get_attribute("open"):
        page.get_by_text("Which rows").click()
    page.get_by_role("radio", name=name, exact=True).click()


def test_the_numbers_are_the_command_lines(page: Page, size: str) -> None:
    seen = opened(page)
    picture(page, f"effects-{size}")
    assert len(seen["columns"]) == COLUMNS[size]
    assert seen["columns"][0] == "balance"
    assert f"left: {seen['now'][0]}" in printed()
    names = {"rear_bar_size": "rear bar, size", "wing": "wing: rear downforce", "springs_rear": "rear springs, pair"}
    cells = rows_of(seen)
    for key, name in names.items():
        assert cells[f"{key}|1"][0] == cell_of(name, 0, 0, printed())
    page.get_by_role("radio", name="both").click()
    page.get_by_role("radio", name="right", exact=True).click()
    seen = shown(page, sure=True, dimmed=False)
    cells = rows_of(seen)
    for key, name in {**names, "tyre_size_LR": "left rear tyre size"}.items():
        assert cells[f"{key}|1"][0] == cell_of(name, 0, 1, printed())
        assert cells[f"{key}|-1"][0] == cell_of(name, 1, 1, printed())
    assert cells["tyre_size_LR|1"][0].endswith("??")
    best = seen["sharpen"][0]
    assert best in re.sub(r"\s+", " ", printed())


def test_a_tap_tries_a_step_and_undo_takes_it_back(page: Page, served: Served) -> None:
    before = opened(page)
    cell = page.locator('tr[data-r^="rear_bar_hole|1"] [data-c="balance"]')
    expected = rows_of(before)["rear_bar_hole|1"][0]
    cell.scroll_into_view_if_needed()
    page.evaluate(
        """() => { window.took = {};
        document.addEventListener("click", () => { const at = performance.now();
          const look = () => {
            const s = window.benchShown();
            if (s.tried && !window.took.said) window.took.said = performance.now() - at;
            const moved = s.bench.positions.rear_bar_hole_left;
            if (moved && s.settled && !s.dimmed) window.took.redrawn = performance.now() - at;
            if (!window.took.redrawn) requestAnimationFrame(look); };
          look(); }, {once: true, capture: true}); }"""
    )
    cell.click()
    shown(page, tried="hole 3 to hole 4", sure=True, dimmed=False)
    page.wait_for_function("() => window.took.redrawn")
    took = page.evaluate("window.took")
    assert took["said"] < SAID, took
    assert took["redrawn"] < REDRAWN, took
    assert f"pushes more {expected[1:]} g" in page.locator(".tried").inner_text()
    assert served.bench.positions == {"rear_bar_hole_left": 4.0, "rear_bar_hole_right": 4.0}

    car = served.bench.car(Asked(car=served.bench.digest, positions=served.bench.positions))
    table = effects(car, phases=[PHASE], readings=["balance"], restored=False, confidence=False)
    after = rows_of(shown(page))
    for key in ("wing", "rear_bar_hole", "springs_rear"):
        assert after[f"{key}|1"][0] == change_number(table.readings[0], table.row(key, 1).change[0, 0], "metric")
    clean(page)

    page.get_by_role("button", name="Undo").click()
    shown(page, bench={"positions": {}, "connected": True, "waiting": 0})
    assert rows_of(shown(page, sure=True, dimmed=False)) == rows_of(before)


def test_what_can_be_done_on_the_grid_in_five_minutes(page: Page, size: str, served: Served) -> None:
    opened(page)
    if size == "phone":
        page.get_by_text("Which rows").click()
    page.get_by_role("button", name="On the grid in five minutes").click()
    seen = shown(page, dimmed=False)
    lines = printed("--place", "grid", "--minutes", "5")
    found = {row["key"].split("|")[0] for row in seen["rows"]}
    assert found <= set(within(served.bench.mounted.car, (), "grid", 5.0) or ())
    assert rows_of(seen)["driver|1"][0] == cell_of("driver: another in the seat", 0, 0, lines)
    page.get_by_role("button", name="On the grid in five minutes").click()
    page.get_by_role("searchbox", name="Find an adjuster").fill("sway bar")
    page.wait_for_function(
        "() => window.benchShown().rows.length && window.benchShown().rows.every((r) => r.key.includes('_bar_'))"
    )
    page.get_by_role("searchbox", name="Find an adjuster").fill("nothing like it")
    expect(page.get_by_text("no adjuster fits these choices")).to_be_visible()
    clean(page)


def test_sorted_by_what_makes_it_looser(page: Page, size: str) -> None:
    opened(page)
    page.get_by_role("radio", name="both").click()
    heading = page.locator('thead [data-c="balance"]')
    heading.click()
    seen = shown(page, sort={"by": "balance", "way": "more"})
    numbers = [float(row["cells"][0].rstrip("?")) for row in seen["rows"]]
    assert numbers == sorted(numbers, reverse=True)
    assert "looser first" in heading.inner_text()
    heading.click()
    seen = shown(page, sort={"by": "balance", "way": "less"})
    assert [float(row["cells"][0].rstrip("?")) for row in seen["rows"]] == sorted(numbers)
    assert [row["felt"] for row in seen["rows"]].count(False) == page.locator(".too-small").count()


def test_put_right_with_its_moves(page: Page, size: str, served: Served) -> None:
    opened(page)
    choice(page, size, "put right")
    row = page.locator('tr[data-r^="springs_rear|1"]')
    words = row.locator(".restoring").inner_text()
    assert words.startswith("put right with left rear perch")
    assert words in re.sub(r"\s+", " ", printed())
    assert rows_of(shown(page))["springs_rear|1"][0] == cell_of("rear springs, pair", 2, 0, printed())
    assert "stored energy" in row.inner_text()
    row.locator('[data-c="balance"]').click()
    assert "never undo one under load" in page.locator(".tried").inner_text()
    page.get_by_role("button", name="Restoring moves too").click()
    page.wait_for_function(
        "() => Object.keys(window.benchShown().bench.positions).length === 3 && window.benchShown().settled"
    )
    turns = float(words.split("left rear perch ")[1].split()[0])
    assert served.bench.positions["perch_LR"] == pytest.approx(turns, abs=0.005)  # shown to two decimals


def test_keys_move_in_the_grid_and_enter_tries(page: Page, size: str, served: Served) -> None:
    opened(page)
    page.locator('thead [data-c="minutes"]').focus()
    at = "document.activeElement.closest('tr').dataset.r + ' ' + document.activeElement.dataset.c"
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowRight")
    first = page.evaluate(at)
    assert first.endswith(" balance")
    page.keyboard.press("End")
    page.keyboard.press("PageDown")
    page.keyboard.press("Control+Home")
    assert page.evaluate(at) == " minutes"
    assert page.locator('table.effects [data-c][tabindex="0"]').count() == 1
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowRight")
    assert page.evaluate(at) == first
    page.keyboard.press("Enter")
    key = first.split("|")[0]
    page.wait_for_function(
        "(key) => key in window.benchShown().bench.positions && window.benchShown().settled", arg=key
    )
    assert (
        served.bench.positions[key]
        == served.bench.mounted.written[key].position + served.bench.mounted.written[key].step
    )
    assert page.evaluate(at) == first  # the focus stays on the step, wherever its row goes


def test_one_adjuster_in_every_phase(page: Page, size: str, served: Served) -> None:
    opened(page)
    page.locator('tr[data-r^="rear_bar_hole|1"] .name').click()
    expect(page.get_by_text("hole 1 is nearest the pivot")).to_be_visible()
    clean(page)
    page.get_by_role("button", name="In every phase").click()
    seen = shown(page, sure=True, dimmed=False)
    picture(page, f"effects-phases-{size}")
    car = served.bench.mounted.car
    table = effects(car, adjusters=["rear_bar_hole"], readings=["balance"], restored=False, confidence=False)
    for i, held in enumerate(table.phases):
        for way in (1, -1):
            row = next(row for row in seen["rows"] if row["key"] == f"rear_bar_hole|{way}|{held.name}")
            change = table.row("rear_bar_hole", way, AS_TURNED).change[i, 0]
            assert row["cells"][0].rstrip("?") == change_number(table.readings[0], change, "metric")
    assert "?adjuster=rear_bar_hole" in page.url
    clean(page)


def test_any_reading_can_be_a_column(page: Page, size: str) -> None:
    opened(page)
    page.get_by_text("Columns (").click()
    page.get_by_role("searchbox", name="Find a reading").fill("wedge")
    page.get_by_role("checkbox", name="cross weight, right front + left rear", exact=True).check()
    seen = shown(page, dimmed=False)
    assert seen["columns"][-1] == "cross_weight"
    assert len(seen["columns"]) in (COLUMNS[size], COLUMNS[size] + 1)
    clean(page)


@pytest.mark.parametrize("theme", ["light", "dark", "sun"])
def test_everybody_can_read_it(page: Page, size: str, theme: str) -> None:
    opened(page)
    page.evaluate("(theme) => window.benchTheme.set(theme)", theme)
    picture(page, f"effects-{size}-{theme}")
    clean(page)


def test_a_failure_leaves_the_last_table_dimmed(page: Page, size: str, faults: list[str]) -> None:
    seen = opened(page)
    wrong = '{"error":{"message":"found no power in this socket; expected some","problems":[]}}\n'
    kind = "application/x-ndjson"  # as the bench answers
    page.route("**/effects/table", lambda route: route.fulfill(status=200, body=wrong, content_type=kind))
    page.get_by_role("radio", name="right", exact=True).click()
    after = shown(page, error="found no power in this socket; expected some")
    assert after["dimmed"]
    assert after["rows"] == seen["rows"]
    expect(page.get_by_role("alert")).to_contain_text("found no power in this socket")
    page.unroute("**/effects/table")
    page.get_by_role("button", name="Try again").click()
    assert shown(page, error="", sure=True, dimmed=False)["rows"] != seen["rows"]


def test_somebody_elses_move_is_in_the_table(page: Page, served: Served) -> None:
    before = opened(page)
    served.bench.move("somebody else", "rear_bar_size", 1)
    page.wait_for_function("() => 'rear_bar_size' in window.benchShown().bench.positions")
    after = shown(page, sure=True, dimmed=False)
    assert after["now"] != before["now"]
