"""The page of motion in a real browser: a hit of two setups, one moment for all, faults beside fields."""

from __future__ import annotations

import json
from typing import Any

import pytest
from click.testing import CliRunner
from playwright.sync_api import Page, Route

from axlewright.cli.main import cli
from tests.web.browser import Served, clean, picture, shown

pytestmark = [pytest.mark.browser, pytest.mark.slow]

DIGITS = 1e-6  # relative: readings travel with seven digits
LAST = 0.2  # mph: both are rounded to a tenth, and a tenth of a m/s is 0.22 mph
STEP = "drive_preload"
CURSORS = "() => [...document.querySelectorAll('.u-cursor-x')].map((one) => one.style.transform)"
COUNT = """() => { const given = window.requestAnimationFrame; window.asked = {pictures: 0};
window.requestAnimationFrame = (f) => { window.asked.pictures += String(f).includes("clock"); return given(f); }; }"""


def opened(page: Page) -> dict[str, Any]:
    page.goto("/motion")
    return shown(page)


def ran(page: Page) -> dict[str, Any]:
    """Run, and what is shown then."""
    before = shown(page)["pressed"]
    page.get_by_role("button", name="Run", exact=True).click()
    found = shown(page, pressed=before + 1, busy=False, other=False)
    assert found["answer"], found["error"]
    return found


def test_a_hit_side_by_side_is_the_command_lines(page: Page, size: str, served: Served) -> None:
    served.bench.move("somebody else", STEP, -2)
    opened(page)
    found = ran(page)["answer"]
    position = served.bench.positions[STEP]
    line = ["hit", str(served.file), "--json", "--also", f"{STEP}={position:g}"]
    runs = list(json.loads(CliRunner().invoke(cli, line).stdout)["runs"].values())
    assert found["names"] == ["as written", "as it stands now"]
    for i, run in enumerate(runs):
        for key, one in run["readings"].items():
            if one["value"] is not None:
                assert found["readings"][key]["values"][i] == pytest.approx(one["value"], rel=DIGITS, abs=1e-12), key
    cells = page.locator("tr[data-reading=peak_demand] .shown").all_inner_texts()
    assert cells == found["readings"]["peak_demand"]["shown"]
    picture(page, f"motion-{size}")
    clean(page)


def test_one_moment_for_slider_plots_and_drawings(page: Page, size: str) -> None:
    opened(page)
    first = ran(page)
    assert first["time"] == 0.0  # at what was done
    slider = page.get_by_role("slider", name="Moment")
    drawn = page.locator(".view .pinion").first
    before, legend = drawn.get_attribute("y2"), page.locator(".plot .legend").first.inner_text()
    cursors = page.evaluate(CURSORS)
    slider.focus()
    for _ in range(10):
        page.keyboard.press("ArrowRight")
    found = shown(page, moment=first["moment"] + 10)
    assert page.locator(".moment").inner_text() == f"+{1000 * found['time']:.0f} ms"
    assert drawn.get_attribute("y2") != before
    assert page.locator(".plot .legend").first.inner_text() != legend
    after = page.evaluate(CURSORS)
    assert len(after) == len(found["answer"]["panels"])
    assert all(then != now for then, now in zip(cursors, after, strict=True))
    over = page.locator(".plot .u-over").first
    over.scroll_into_view_if_needed()
    box = over.bounding_box()
    assert box
    at = (box["x"] + 0.5 * box["width"], box["y"] + 0.5 * box["height"])
    (page.touchscreen.tap if size == "phone" else page.mouse.move)(*at)
    page.wait_for_function("() => window.benchShown().moment > 150")


def test_it_plays_only_when_asked_and_stops_at_the_end(page: Page, size: str) -> None:
    opened(page)
    assert ran(page)["playing"] is False
    page.get_by_label("Pace").select_option("1")
    page.get_by_role("button", name="Play").click()
    page.wait_for_function("() => window.benchShown().playing")
    picture(page, f"motion-playing-{size}")
    page.wait_for_function("() => !window.benchShown().playing && window.benchShown().moment === 400")
    page.get_by_label("Moves drawn").select_option("1")
    assert shown(page, larger=1)["larger"] == 1
    assert "drawn 1 x" in page.locator(".animation > p").inner_text()


def test_little_motion_is_respected(page: Page) -> None:
    page.emulate_media(reduced_motion="reduce")
    opened(page)
    ran(page)
    page.evaluate(COUNT)
    page.get_by_label("Pace").select_option("1")
    page.get_by_role("button", name="Play").click()
    page.wait_for_function("() => window.benchShown().moment === 400 && !window.benchShown().playing")
    assert page.evaluate("window.asked.pictures") == 0  # it goes in steps, not in a picture a frame


def test_what_is_wrong_is_said_beside_its_field_and_stays_unasked(page: Page) -> None:
    opened(page)
    field = page.get_by_label("torque", exact=True)
    field.fill("1500")
    page.wait_for_function("() => Object.keys(window.benchShown().problems).join() === 'torque'")
    assert "with no unit" in page.locator("#input-torque-words").inner_text()
    page.get_by_role("button", name="Run", exact=True).click()
    assert field.evaluate("(one) => one === document.activeElement")
    assert shown(page)["answer"] is None
    clean(page)
    field.fill("1100 lbf ft")
    page.wait_for_function("() => window.benchShown().said.torque")
    assert page.locator("#input-torque-words b").inner_text() == "1491.4 N m"


def test_an_answer_of_before_says_so_and_a_step_is_put_beside(page: Page) -> None:
    opened(page)
    ran(page)
    page.locator("#step-adjuster").select_option("damper_rear_rebound")
    page.get_by_role("button", name="+ up").click()
    page.wait_for_function("() => window.benchShown().other && window.benchShown().sides === 3")
    assert page.locator(".results.stale").count() == 1
    found = ran(page)["answer"]
    assert found["names"][2] == "as it stands now, rear dampers, rebound clicks up 2 clicks"


def test_what_cannot_be_begun_leaves_the_last_answer(page: Page) -> None:
    opened(page)
    ran(page)
    page.get_by_role("radio", name="Step steer").check()
    page.get_by_label("to", exact=True).fill("1.9 g")
    page.wait_for_function("() => window.benchShown().event === 'steer'")
    page.get_by_role("button", name="Run", exact=True).click()
    page.locator(".problem").wait_for()
    assert "can't be held where this begins" in page.locator(".problem").inner_text()
    assert page.locator(".results.stale").count() == 1


def test_csv_is_what_is_shown(page: Page) -> None:
    opened(page)
    found = ran(page)["answer"]
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Plots as CSV").click()
    lines = waiting.value.path().read_text(encoding="utf-8").splitlines()
    assert len(lines) == 1 + found["moments"]
    assert len(lines[1].split(",")) == 1 + 2 * len(found["panels"])
    assert lines[0].startswith('"time since it was done, s"')


def test_a_setup_that_stopped_early_says_when_and_why(page: Page) -> None:
    why = "too violent to follow: the steps became too small at 0.2500 s"

    def stopped(route: Route) -> None:
        *lines, last = route.fetch().text().splitlines()
        answer = json.loads(last)["answer"]
        answer["notes"] = [{"name": answer["names"][1], "words": why, "stopped": True}]
        for panel in answer["panels"]:
            panel["values"][1][50:] = [None] * len(panel["values"][1][50:])
        answer["axle"]["cars"][1]["moments"] = 25
        route.fulfill(body="\n".join([*lines, json.dumps({"answer": answer})]), content_type="application/x-ndjson")

    page.route("**/motion/run", stopped)
    opened(page)
    ran(page)
    assert page.locator(".results p.stop").inner_text() == f"as it stands now: {why}"
    page.get_by_role("slider", name="Moment").focus()
    page.keyboard.press("End")
    shown(page, moment=400)
    assert "stopped here" in page.locator(".rear-end .now").nth(1).inner_text()
    assert page.locator(".plot .legend").first.locator("li").nth(1).inner_text().strip().endswith("-")


def test_units_are_switched_without_asking(page: Page) -> None:
    opened(page)
    metric = ran(page)["answer"]["readings"]["speed_change"]
    page.locator(".choices summary").click()
    page.get_by_role("radio", name="US").check()
    page.wait_for_function("() => window.benchShown().answer.readings.speed_change.unit === 'mph'")
    found = shown(page, other=False)["answer"]["readings"]["speed_change"]
    assert found["values"] == metric["values"]
    assert float(found["shown"][0]) == pytest.approx(float(metric["shown"][0]) / 0.44704, abs=LAST)
