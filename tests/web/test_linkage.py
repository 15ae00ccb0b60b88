"""The linkage page in a real browser: what is drawn follows the sliders, and its curves are the command line's."""

from __future__ import annotations

import json
import math
import re

import pytest
from click.testing import CliRunner
from playwright.sync_api import Page

from axlewright.cli.main import cli
from tests.web.browser import Served, clean, picture, shown

pytestmark = pytest.mark.browser

PRINTED = 1e-8  # of a value: the command line prints nine digits
TENTH = 100.0  # ms from a slider's key to the drawing of the new pose
LOADED = 4.0  # times that on a machine that compiles something else meanwhile
LEANS = 2e-4  # m: a wheel that leans as it rises stands a little lower on its tyre


def told(*arguments: str) -> dict:
    done = CliRunner().invoke(cli, [*arguments, "--json"])
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def opened(page: Page) -> dict:
    page.goto("/linkage")
    return shown(page)


def choose(page: Page, name: str, value: str) -> None:
    """One of a group: the radio lies under its words."""
    page.locator(f"input[name={name}][value={value}]").check(force=True)


def test_curves_are_the_command_lines(page: Page, size: str) -> None:
    opened(page)
    page.select_option("select[name=reading]", "camber_gain_LF")
    page.fill("input[name=roll]", "1")
    found = shown(page, said="roll +1.00 deg", curve="camber_gain_LF")
    said = told("travel", "teasel", "--bump", "-60..60", "--roll", "1", "--points", "41", "--reading", "camber_gain_LF")
    curve = found["swept"]["curves"][0]
    assert curve["id"] == "camber_gain_LF"
    assert curve["values"] == pytest.approx(said["travel"][0]["readings"]["camber_gain_LF"]["values"], rel=PRINTED)
    assert page.locator(".curve-place canvas").is_visible()
    page.get_by_text("As a table").click()
    middle = page.locator(".through tbody tr").nth(4)
    assert middle.inner_text().split() == ["0.0", f"{math.degrees(curve['values'][20]):.2f}"]
    picture(page, f"linkage-{size}")


def test_the_drawing_and_the_value_follow_the_slider(page: Page) -> None:
    before = opened(page)["seen"]
    page.fill("input[name=bump]", "20")
    found = shown(page, said="bump +20.0 mm")["seen"]
    said = told("travel", "teasel", "--bump", "20", "--reading", "anti_squat")
    expected = said["travel"][0]["readings"]["anti_squat"]["values"][0]
    assert found["values"][0]["value"] == pytest.approx(expected, rel=PRINTED)
    assert page.locator(".at-cursor strong").inner_text() == f"{100 * expected:.1f}%"
    sunk = before["drawing"]["mass"][2] - found["drawing"]["mass"][2]
    assert sunk == pytest.approx(0.020, abs=LEANS)  # the car comes down by its bump
    page.get_by_role("button", name="Bump back to zero").click()
    shown(page, said="as drawn")


def test_a_slider_moves_by_its_keys_within_a_tenth_of_a_second(page: Page) -> None:
    opened(page)
    slider = page.get_by_role("slider", name=re.compile("^Bump"))
    slider.focus()
    for _ in range(3):  # whatever is used for the first time
        page.keyboard.press("ArrowRight")
    shown(page, said="bump +3.0 mm")
    times = []
    for i in range(7):
        said = f"bump {4 + i:+.1f} mm"
        page.evaluate(WATCH, said)
        page.keyboard.press("ArrowRight")
        page.wait_for_function("() => window.took !== undefined")
        times.append(page.evaluate("window.took"))
    assert sorted(times)[len(times) // 2] < LOADED * TENTH


WATCH = """(said) => { delete window.took; let from = 0;
  addEventListener("keydown", () => { from = performance.now(); }, { once: true, capture: true });
  const look = () => document.querySelector(".said strong").textContent === said
    ? requestAnimationFrame(() => { window.took = performance.now() - from; }) : requestAnimationFrame(look);
  look(); }"""


def test_held_links_are_told_apart_by_sign_and_line(page: Page) -> None:
    opened(page)
    assert page.locator("svg.drawn .rod.free").count() > 0
    choose(page, "state", "held")
    page.select_option(".phase-chooser select", "straight braking")
    found = shown(page, said="straight braking")["seen"]
    said = told("hold", "teasel", "--phase", "straight braking", "--reading", "tension.rear.brake_link")
    expected = next(iter(said["phases"].values()))["readings"]["tension.rear.brake_link"]["value"]
    link = next(one for one in found["links"] if one["path"] == "rear.brake_link")
    assert link["tension"] == pytest.approx(expected, rel=PRINTED)
    row = page.locator(".link-row", has_text="rear brake link")
    assert row.locator(".link-said").inner_text().startswith(f"pushes {abs(expected):.0f} N")
    assert "\u2212" in row.inner_text()
    pushing, pulling = (
        page.locator(f"svg.drawn .rod.{how} path:not(.touch)").first.evaluate(
            "(e) => getComputedStyle(e).strokeDasharray"
        )
        for how in ("push", "pull")
    )
    assert pushing != pulling


def test_a_second_setup_is_drawn_over_the_first(page: Page, served: Served, size: str) -> None:
    opened(page)
    assert page.locator("svg.drawn .behind").count() == 0
    served.bench.put("somebody", "watt_pivot", 10.0)
    page.select_option("select[name=reading]", "roll_centre_height_rear")
    page.wait_for_function("() => window.benchShown().seen?.base && window.benchShown().swept?.curves[0].base")
    found = shown(page, reads="roll_centre_height_rear", curve="roll_centre_height_rear")
    assert page.locator("svg.drawn .behind").count() > 0
    curve = found["swept"]["curves"][0]
    said = told("travel", "teasel", "--bump", "0", "--set", "watt_pivot=10", "--against", "watt_pivot=0",
                "--reading", "roll_centre_height_rear")["travel"]  # fmt: skip
    now, before = (one["readings"]["roll_centre_height_rear"]["values"][0] for one in said)
    assert (curve["values"][20], curve["base"][20]) == pytest.approx((now, before), rel=PRINTED)
    assert "second setup" in page.locator(".at-cursor").inner_text()
    picture(page, f"linkage-two-setups-{size}")


def test_a_pose_out_of_reach_says_why_in_words(page: Page) -> None:
    opened(page)
    page.fill("input[name=bump]", "300")
    found = shown(page, said="bump +300.0 mm")["seen"]
    assert found["share"] < 1
    assert "toggle" in page.locator(".said [role=alert]").inner_text()
    assert page.locator("svg.drawn").first.is_visible()
    assert page.locator(".at-cursor strong").inner_text() == "-"


def test_inches_are_another_way_to_say_the_same_pose(page: Page) -> None:
    opened(page)
    page.fill("input[name=bump]", "25.4")
    before = shown(page, said="bump +25.4 mm")["seen"]["drawing"]
    page.locator(".choices summary").click()
    page.locator("input[name=units][value=us]").check()
    found = shown(page, units="us")["seen"]
    assert page.locator("input[name=bump]").input_value() == "1.00"
    assert found["drawing"] == before
    page.locator("input[name=units][value=metric]").check()


def test_every_view_can_be_alone_and_the_turning_one_turns_by_keys(page: Page, size: str) -> None:
    opened(page)
    for view in ("side", "rear", "plan", "front"):
        choose(page, "view", view)
        shown(page)
        assert page.locator("svg.drawn").count() == 1
    choose(page, "view", "turning")
    canvas = page.locator(".turning canvas")
    canvas.wait_for()
    page.wait_for_function("() => window.benchShown().turning")
    before, pixels = shown(page)["turning"], canvas.screenshot()
    canvas.focus()
    page.keyboard.press("ArrowLeft")
    page.wait_for_function(
        "(before) => JSON.stringify(window.benchShown().turning) !== JSON.stringify(before)", arg=before
    )
    assert canvas.screenshot() != pixels
    picture(page, f"linkage-turning-{size}")


def test_what_turns_is_loaded_only_when_it_is_shown(page: Page, size: str) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    opened(page)
    if size == "phone":  # one view at a time, and that is the side
        assert not [url for url in asked if "three" in url]
    choose(page, "view", "turning")
    page.wait_for_function("() => window.benchShown().turning")
    assert [url for url in asked if "three" in url]


def test_nothing_is_drawn_while_nothing_changes(page: Page) -> None:
    opened(page)
    choose(page, "view", "turning")
    page.wait_for_function("() => window.benchShown().turning")
    # what was begun may still end; something that draws for ever is never found still
    assert any(page.evaluate(COUNT_FRAMES) == 0 for _ in range(LOOKS))


LOOKS = 5
# asks for frames of its own, and counts who else does within ten of them
COUNT_FRAMES = """() => new Promise((done) => { const ask = window.requestAnimationFrame; let others = 0; let left = 10;
  window.requestAnimationFrame = (f) => { others += 1; return ask(f); };
  const next = () => { left -= 1; if (left) ask(next); else { window.requestAnimationFrame = ask; done(others); } };
  ask(next); })"""


def test_a_lost_bench_leaves_the_last_drawing_dimmed(page: Page, faults: list[str]) -> None:
    opened(page)
    page.route("**/linkage/seen", lambda route: route.abort())
    page.fill("input[name=bump]", "10")
    page.locator(".board .problem").wait_for()
    assert "stale" in (page.locator(".paper").get_attribute("class") or "")
    assert page.locator(".said strong").inner_text() == "as drawn"
    page.unroute("**/linkage/seen")
    shown(page, said="bump +10.0 mm")
    assert "stale" not in (page.locator(".paper").get_attribute("class") or "")
    faults.clear()  # the browser's own words about the request that was stopped on purpose


@pytest.mark.parametrize("theme", ["light", "dark", "sun"])
def test_nobody_is_kept_out(page: Page, theme: str, size: str) -> None:
    opened(page)
    page.evaluate("(theme) => window.benchTheme.set(theme)", theme)
    clean(page)
    choose(page, "state", "held")
    shown(page, said="mid-corner, left")
    clean(page)
    picture(page, f"linkage-{theme}-{size}")
