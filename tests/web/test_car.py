"""The car page, in a real browser at both sizes: form and text are one draft, and nothing is lost or overwritten."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Page

from axlewright.car.check import check_text
from axlewright.car.file import read
from axlewright.car.key_paths import places
from axlewright.web.bench import digest
from tests.web.browser import Served, clean, look, picture, shown

pytestmark = pytest.mark.browser
TEASEL = read("teasel")
RATE = "front.spring.rate"


def opened(page: Page) -> dict:
    page.goto("/car")
    return shown(page, text=TEASEL, changed=False)


def view(page: Page, size: str, name: str) -> None:
    """On a phone one view is shown at a time."""
    if size == "phone":
        page.locator(".which label", has_text=name).click()


def unfold(page: Page, *paths: str) -> None:
    for path in paths:
        page.locator(f'[id="group-{path}"]').click()


def field(page: Page, path: str):
    return page.locator(f'[id="field-{path}"]')


def edited(page: Page, was: str, now: str) -> str:
    """Change the text as a person would, in the text view."""
    text = TEASEL.replace(was, now, 1)
    assert text != TEASEL
    page.get_by_label("Car file as text").fill(text)
    return text


def test_the_stored_car_is_shown_as_it_is(page: Page, size: str) -> None:
    told = opened(page)
    assert (told["ok"], told["problems"], told["stored"]) == (True, [], digest(TEASEL))
    assert told["warnings"] == [warning.path for warning in check_text(TEASEL).warnings]
    unfold(page, "front", "front.spring")
    assert field(page, RATE).input_value() == "95 N/mm +- 3 %"
    assert field(page, "front.wheel_centre[2]").input_value() == "0.780"
    picture(page, f"car-{size}")
    clean(page)


@pytest.mark.parametrize("theme", ["light", "dark", "sun"])
def test_form_text_and_points_keep_their_contrast(page: Page, size: str, theme: str) -> None:
    opened(page)
    page.evaluate("(theme) => window.benchTheme.set(theme)", theme)
    unfold(page, "masses", "masses.sprung")
    view(page, size, "Text")
    edited(page, 'volume = "30 l"', 'volume = "30"')
    shown(page, ok=False)
    for name in ("Form", "Text", "Points"):
        view(page, size, name)
        picture(page, f"car-{name.lower()}-{theme}-{size}")
        clean(page)


def test_a_field_changes_its_line_and_nothing_else(page: Page, size: str, served: Served) -> None:
    opened(page)
    unfold(page, "front", "front.spring")
    field(page, RATE).fill("550 lbf/in")
    expected = TEASEL.replace('rate = "95 N/mm +- 3 %"', 'rate = "550 lbf/in"', 1)
    told = shown(page, text=expected)
    assert told["changed"]
    assert page.locator(f'[data-of="{RATE}"]').inner_text() == "= 96.32 N/mm"
    assert served.file.read_text(encoding="utf-8") == TEASEL  # nothing is written until it is asked for


def test_the_units_switch_changes_what_is_beside_and_no_value(page: Page) -> None:
    opened(page)
    unfold(page, "front", "front.spring")
    assert page.locator(f'[data-of="{RATE}"]').inner_text() == ""
    page.locator("label", has_text="US beside").click()
    assert page.locator(f'[data-of="{RATE}"]').inner_text() == "= 542.46 lbf/in ± 16 lbf/in"
    assert field(page, RATE).input_value() == "95 N/mm +- 3 %"
    assert shown(page)["text"] == TEASEL
    page.locator("label", has_text="SI beside").click()


def test_a_slip_is_told_beside_the_field_and_beside_the_line(page: Page, size: str) -> None:
    opened(page)
    unfold(page, "front", "front.spring")
    field(page, RATE).fill("95")
    told = shown(page, ok=False)
    line = places(TEASEL)[RATE].line
    assert told["problems"] == [[RATE, line]]
    problem = check_text(TEASEL.replace('"95 N/mm +- 3 %"', '"95"', 1)).problems[0]
    beside = page.locator(f'[id="told-{RATE}"]').inner_text()
    assert problem.found in beside
    assert problem.fix in beside
    assert field(page, RATE).get_attribute("aria-invalid") == "true"
    assert "1 problem" in page.locator('[id="group-front.spring"]').inner_text()
    assert page.get_by_role("button", name="Save in").is_disabled()
    clean(page)
    page.locator(f'[id="told-{RATE}"] button').click()  # to its line
    area = page.get_by_label("Car file as text")
    marked = area.evaluate("(one) => one.value.slice(one.selectionStart, one.selectionEnd)")
    assert marked == 'rate = "95"'
    note = page.locator(".notes p")
    inside, around = note.bounding_box(), page.locator(".text").bounding_box()
    assert inside is not None
    assert around is not None
    assert around["y"] < inside["y"] < around["y"] + around["height"]  # scrolled to, and told beside it
    assert problem.found in page.locator(".notes").inner_text()
    picture(page, f"car-slip-{size}")


def test_broken_text_says_where_and_the_form_waits(page: Page, size: str) -> None:
    opened(page)
    view(page, size, "Text")
    edited(page, 'toe = "-0.10 deg"', "toe = ")
    told = shown(page, broken=True)
    assert told["problems"] == [["(file)", places(TEASEL)["front.toe"].line]]
    view(page, size, "Form")
    assert "mend it there first" in page.locator(".view-form").inner_text()
    assert page.locator("#field-name").is_disabled()
    view(page, size, "Text")
    page.get_by_label("Car file as text").fill(TEASEL)
    shown(page, broken=False, changed=False, ok=True)


def test_a_point_that_is_tapped_leads_to_its_field(page: Page, size: str) -> None:
    opened(page)
    view(page, size, "Points")
    spot = page.evaluate(
        """() => { const svg = document.querySelector('svg[data-view=side]'), m = svg.getScreenCTM();
        svg.scrollIntoView({block: 'center'}); const n = svg.getScreenCTM();
        return [0.030 * n.a + n.e, -0.490 * n.d + n.f]; }"""  # the upper ball joint: x -0.030, z 0.490
    )
    page.mouse.click(*spot)
    shown(page, focus="front.upper_wishbone.ball[1]")
    page.wait_for_function("() => document.activeElement.id === 'field-front.upper_wishbone.ball[1]'")
    view(page, size, "Points")
    assert page.locator("svg[data-view=plan] .mark").count() == 2  # both sides of the car
    picture(page, f"car-points-{size}")
    clean(page)


def test_a_draft_survives_a_reload_and_one_undo_brings_back_what_was_thrown_away(page: Page, size: str) -> None:
    opened(page)
    view(page, size, "Text")
    text = edited(page, 'mass = "84 kg"', 'mass = "90 kg"')
    shown(page, text=text, ok=True)
    page.reload()
    shown(page, text=text, changed=True)
    page.get_by_role("button", name="Throw the draft away").click()
    shown(page, text=TEASEL, changed=False)
    page.reload()
    shown(page, text=TEASEL)
    page.get_by_role("button", name="Undo").click()
    shown(page, text=text, changed=True)


def test_what_is_typed_while_the_bench_cannot_be_reached_is_kept(page: Page, size: str, faults: list[str]) -> None:
    opened(page)
    unfold(page, "front", "front.spring")
    page.context.set_offline(True)
    field(page, RATE).fill("99 N/mm")
    page.get_by_text("What you typed is kept in this browser").wait_for()
    assert field(page, RATE).input_value() == "99 N/mm"
    page.context.set_offline(False)
    shown(page, text=TEASEL.replace('"95 N/mm +- 3 %"', '"99 N/mm"', 1), ok=True)
    faults.clear()  # the browser says that it was cut off


def test_saved_means_on_disk(page: Page, size: str, served: Served) -> None:
    opened(page)
    view(page, size, "Text")
    text = edited(page, 'mass = "84 kg"', 'mass = "90 kg"')
    shown(page, text=text, ok=True)
    page.get_by_role("button", name="Save in teasel.toml").click()
    page.get_by_text("saved in teasel.toml").wait_for()
    assert served.file.read_text(encoding="utf-8") == text == served.bench.text
    shown(page, changed=False, text=text, stored=digest(text))


def test_a_file_that_changed_meanwhile_is_compared_first(page: Page, size: str, served: Served) -> None:
    opened(page)
    view(page, size, "Text")
    mine = edited(page, 'mass = "84 kg"', 'mass = "90 kg"')
    shown(page, text=mine, ok=True)
    theirs = TEASEL.replace('volume = "30 l"', 'volume = "31 l"', 1)
    served.file.write_text(theirs, encoding="utf-8")
    page.get_by_role("button", name="Save in").click()
    page.get_by_role("heading", name="has changed on disk").wait_for()
    told = page.locator(".differ").inner_text()
    assert all(words in told for words in ('"84 kg"', '"90 kg"', '"31 l"', '"30 l"'))
    assert served.file.read_text(encoding="utf-8") == theirs
    picture(page, f"car-conflict-{size}")
    clean(page)
    page.get_by_role("button", name="Write my draft over it").click()
    page.get_by_text("saved in teasel.toml").wait_for()
    assert served.file.read_text(encoding="utf-8") == mine


def test_new_from_a_starter_becomes_a_file_of_its_own(page: Page, size: str, served: Served) -> None:
    opened(page)
    page.get_by_text("New from a starter").click()
    page.get_by_label("Name of the car").fill("moth <b>")
    page.get_by_label("rear suspension").select_option("three-link")
    page.get_by_role("button", name="Make the draft").click()
    told = shown(page, changed=True, ok=True)
    assert 'name = "moth <b>"' in told["text"]
    clean(page)
    page.get_by_role("button", name="Save as a new car file").click()
    page.get_by_text(re.compile(r"saved as a new car file, moth-b.*\.toml")).wait_for()
    assert served.file.read_text(encoding="utf-8") == TEASEL
    page.get_by_text("Cars: copy one").click()
    page.get_by_role("button", name="Draft from bramble").click()
    assert shown(page, text=read("bramble"))["ok"]
    for file in served.file.parent.glob("moth-b*.toml"):
        file.unlink()


def test_a_dropped_file_is_read_and_markup_in_it_stays_text(page: Page, size: str) -> None:
    opened(page)
    evil = TEASEL.replace('notes = "', 'notes = "<img src=x onerror=document.title=1> ', 1)
    chooser = page.locator("input[type=file]")
    chooser.set_input_files({"name": "their.toml", "mimeType": "text/plain", "buffer": evil.encode()})
    shown(page, text=evil, ok=True)
    assert page.locator("main img").count() == 0
    assert field(page, "notes").input_value().startswith("<img")
    chooser.set_input_files({"name": "their.png", "mimeType": "image/png", "buffer": b"\x89PNG"})
    page.get_by_text("expected a car file, NAME.toml").wait_for()
    assert shown(page)["text"] == evil


def test_two_people_keep_their_own_drafts(page: Page, size: str, served: Served, browser: Browser) -> None:
    opened(page)
    view(page, size, "Text")
    mine = edited(page, 'mass = "84 kg"', 'mass = "90 kg"')
    shown(page, text=mine, ok=True)
    others: list[str] = []
    context, other = look(browser, served.address, "wide", others)
    theirs = TEASEL.replace('volume = "30 l"', 'volume = "31 l"', 1)
    other.goto("/car")
    shown(other, text=TEASEL)
    other.get_by_label("Car file as text").fill(theirs)
    shown(other, text=theirs, ok=True)
    other.get_by_role("button", name="Save in").click()
    other.get_by_text("saved in teasel.toml").wait_for()
    told = shown(page, stored=digest(theirs))
    assert told["text"] == mine
    page.get_by_text("changed since this draft began").wait_for()
    context.close()
    assert not others


def test_by_keyboard_alone(page: Page) -> None:
    opened(page)
    page.locator('[id="group-aero"]').focus()
    page.keyboard.press("Enter")
    field(page, "aero.drag_area").focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("1 m^2")
    page.keyboard.press("Tab")
    shown(page, text=TEASEL.replace('drag_area = "0.95 m^2"', 'drag_area = "1 m^2"', 1), ok=True)
