"""Adjust in a real browser: what it shows is what the command line says of the same car and setup."""

from __future__ import annotations

import json
import re

import pytest
from click.testing import CliRunner
from playwright.sync_api import Page

from axlewright.car.file import load
from axlewright.cli.main import cli
from tests.web.browser import Served, clean, picture, shown

pytestmark = pytest.mark.browser

DIGITS = 1e-8  # relative; the command line writes nine digits
RESTORED = 1e-4  # relative; restoring moves are solved to 1 um
ONE_HOLE = {"rear_bar_hole_left": 4.0, "rear_bar_hole_right": 4.0}
G = 9.81  # m/s2, the unit g of units.py


def printed(*arguments: str) -> dict:
    """What a command prints as JSON."""
    found = CliRunner().invoke(cli, [*arguments, "--json"])
    assert found.exit_code == 0, found.output
    return json.loads(found.stdout)


def opened(page: Page) -> dict:
    """The page, at the rear of the car."""
    page.goto("/adjust")
    return shown(page)


def place(page: Page, name: str) -> None:
    """Tap a place on the plan of the car."""
    page.get_by_role("group", name="Where on the car").get_by_role(
        "button", name=re.compile(rf"^{name}( \d+ moved)?$")
    ).click()


def tap(page: Page, adjuster: str, *, more: bool = True) -> None:
    """One tap on plus or minus."""
    page.locator(f"[data-adjuster={adjuster}] button").nth(1 if more else 0).click()


def test_a_tap_gives_what_the_command_line_says_of_that_setup(page: Page, served: Served, size: str) -> None:
    opened(page)
    place(page, "rear")
    tap(page, "rear_bar_hole")
    seen = shown(page, bench={"positions": ONE_HOLE, "connected": True, "waiting": 0})
    source = str(served.file)
    before = printed("hold", source, "--phase", "mid-corner", "--turn", "left")["phases"]["mid-corner, left"]
    after = printed("hold", source, "--phase", "mid-corner", "--turn", "left", "--set", "rear_bar_hole=4")
    now = after["phases"]["mid-corner, left"]
    for one in seen["answer"]["readings"]:
        for found, state in zip(one["si"], (before, now), strict=True):
            if state["readings"][one["id"]]["value"] is None:
                assert found is None
                continue
            assert found == pytest.approx(state["readings"][one["id"]]["value"], rel=DIGITS, abs=DIGITS), one["id"]
    limit = printed("limit", source, "--phase", "mid-corner", "--turn", "left", "--set", "rear_bar_hole=4")
    reached = limit["phases"]["mid-corner, left"]
    assert seen["limit"]["runs_out"][1] == reached["runs_out"]
    assert seen["limit"]["margin"]["si"][1] == pytest.approx(reached["margin"], rel=1e-6)  # found by a walk
    shown_now = page.locator(".balance .big output").inner_text()
    assert shown_now == f"{now['readings']['balance']['value'] / G:.3f}"
    picture(page, f"adjust-{size}")


def test_accessible_in_all_lights(page: Page) -> None:
    opened(page)
    place(page, "rear")
    tap(page, "rear_bar_hole")
    shown(page, bench={"positions": ONE_HOLE, "connected": True, "waiting": 0})
    for theme in ("light", "dark", "sun"):
        page.evaluate("(theme) => window.benchTheme.set(theme)", theme)
        clean(page)


def test_undo_redo_and_back(page: Page, served: Served) -> None:
    opened(page)
    place(page, "rear")
    tap(page, "rear_bar_hole")
    shown(page, bench={"positions": ONE_HOLE, "connected": True, "waiting": 0})
    for name, positions in (("Undo", {}), ("Redo", ONE_HOLE), ("Back to as written", {})):
        page.get_by_role("button", name=name).click()
        shown(page, bench={"positions": positions, "connected": True, "waiting": 0})


def test_what_somebody_moved_since_is_not_undone(page: Page, served: Served, faults: list[str]) -> None:
    opened(page)
    place(page, "rear")
    tap(page, "rear_bar_hole")
    shown(page, bench={"positions": ONE_HOLE, "connected": True, "waiting": 0})
    served.bench.put("somebody else", "rear_bar_hole_left", 2.0)
    both = {"rear_bar_hole_left": 2.0, "rear_bar_hole_right": 4.0}
    shown(page, bench={"positions": both, "connected": True, "waiting": 0})
    page.get_by_role("button", name="Undo").click()
    page.get_by_text("somebody has moved the same thing since").wait_for()
    assert len(faults) == 1  # the refusal itself, which the browser logs
    faults.clear()
    assert served.bench.positions == both


def test_a_setup_is_on_disk_before_the_page_says_saved(page: Page, served: Served) -> None:
    opened(page)
    place(page, "rear")
    tap(page, "rear_bar_hole")
    shown(page, bench={"positions": ONE_HOLE, "connected": True, "waiting": 0})
    page.get_by_role("button", name="Save as...").click()
    page.get_by_role("textbox", name="Name").fill("<b>wet</b> card")
    page.get_by_role("textbox", name="Who").fill("Bea")
    page.get_by_role("textbox", name="Why").fill('rain & "wind"')
    page.get_by_role("button", name="Save", exact=True).click()
    page.get_by_text('saved "<b>wet</b> card" in teasel.toml').wait_for()
    kept = load(served.file).setups["<b>wet</b> card"]
    assert (kept.author, kept.why, kept.positions) == ("Bea", 'rain & "wind"', ONE_HOLE)
    assert dict(load(served.file).setup) == ONE_HOLE
    seen = shown(page, bench={"positions": {}, "connected": True, "waiting": 0})
    assert seen["answer"]["readings"][0]["si"][0] == seen["answer"]["readings"][0]["si"][1]
    assert page.locator("main b").filter(has_text="wet").count() == 0  # what people enter is text
    page.get_by_label("Compare with").select_option("as measured")
    page.wait_for_function("() => window.benchShown().answer.readings[0].change !== '0'")


def test_put_right_lists_the_restoring_moves_of_the_effects_table(page: Page, served: Served) -> None:
    opened(page)
    place(page, "front")
    tap(page, "springs_front")
    page.get_by_label("put right").check()
    seen = shown(page, bench={"positions": {"springs_front": 100.0}, "connected": True, "waiting": 0})
    table = printed(
        "effects", str(served.file), "--phase", "mid-corner", "--turn", "left", "--adjuster", "springs_front", "--quick"
    )
    row = next(one for one in table["effects"] if one["kind"] == "put-right" and one["steps"] == 1)
    moves = {one["adjuster"]: one["counts"] for one in row["moves"] if abs(one["counts"]) >= 0.02}
    found = {one["adjuster"]: one["counts"] for one in seen["answer"]["restoring"]}
    assert found == pytest.approx(moves, rel=1e-6)
    by = {one["id"]: one["si"] for one in seen["answer"]["readings"]}
    change = row["readings"]["vehicle_roll"]["change"]
    assert by["vehicle_roll"][1] - by["vehicle_roll"][0] == pytest.approx(change, rel=RESTORED)


def test_work_is_merged_and_in_order(page: Page) -> None:
    opened(page)
    place(page, "rear")
    tap(page, "rear_bar_hole")
    tap(page, "pressure_rear")
    jobs = page.locator("#work ol").first.locator("li")
    page.wait_for_function("() => document.querySelectorAll('#work ol li').length >= 2")
    jobs.nth(1).wait_for()
    assert "rear tyre pressures" in jobs.nth(0).inner_text()  # pressures before bars
    assert "rear bar, hole, both sides: hole 3 to hole 4" in jobs.nth(1).inner_text()  # one move, not two


def test_moves_made_out_of_reach_wait_and_are_sent(page: Page, served: Served, faults: list[str]) -> None:
    opened(page)
    place(page, "rear")
    page.route("**/bench/move", lambda route: route.abort())
    tap(page, "rear_bar_hole")
    page.get_by_text("waits").first.wait_for()
    assert page.locator(".balance .stale").count() == 1  # an old result beside a new position is dimmed
    assert served.bench.positions == {}
    page.unroute("**/bench/move")
    shown(page, bench={"positions": ONE_HOLE, "connected": True, "waiting": 0})
    assert faults
    assert all("ERR_FAILED" in fault for fault in faults)
    faults.clear()


def test_by_keyboard(page: Page) -> None:
    opened(page)
    place(page, "rear")
    page.locator("[data-adjuster=rear_bar_hole] button").first.focus()
    page.keyboard.press("+")
    shown(page, bench={"positions": ONE_HOLE, "connected": True, "waiting": 0})
    page.keyboard.press("Control+z")
    shown(page, bench={"positions": {}, "connected": True, "waiting": 0})
