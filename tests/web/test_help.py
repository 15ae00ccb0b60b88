"""The help page, in a real browser at both sizes."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from axlewright.readings import READINGS
from axlewright.say.help import help_of
from axlewright.web import pages
from tests.cars import TEASEL
from tests.web.browser import clean, picture, shown

pytestmark = pytest.mark.browser


def test_every_section_of_help_is_on_the_page(page: Page, size: str) -> None:
    page.goto("/help")
    told = shown(page)
    assert told["sections"] == ["pages", *(section.anchor for section in help_of(TEASEL.car))]
    assert page.locator("nav[aria-label=Pages] [aria-current=page]").inner_text() == "Help"
    assert len(pages.MADE) == int(page.locator("#pages summary .quiet").inner_text())
    picture(page, f"help-{size}")
    clean(page)


def test_an_address_opens_its_entry_and_says_what_the_reading_says(page: Page, size: str) -> None:
    page.goto("/help#reading-balance")
    shown(page, anchor="reading-balance")
    entry = page.locator("#reading-balance")
    entry.wait_for()
    page.wait_for_function("() => document.activeElement && document.activeElement.id === 'reading-balance'")
    text = entry.inner_text()
    for words in (READINGS["balance"].name, READINGS["balance"].more, READINGS["balance"].less):
        assert words in text
    box = entry.bounding_box()
    assert box is not None
    assert page.viewport_size is not None
    assert 0 <= box["y"] < page.viewport_size["height"]
    picture(page, f"help-entry-{size}")
    clean(page)
    page.evaluate("location.hash = '#recheck-PA'")
    page.wait_for_function("() => document.activeElement && document.activeElement.id === 'recheck-PA'")


def test_slang_finds_the_standards_term_and_what_is_typed_is_never_markup(page: Page, size: str) -> None:
    page.goto("/help")
    shown(page)
    page.get_by_label("Search").fill("sway bar")
    told = shown(page, asked="sway bar")
    assert "adjuster-front_bar_hole" in told["found"]
    assert page.locator("#adjuster-front_bar_hole").is_visible()
    assert "found" in page.locator(".count").inner_text()
    picture(page, f"help-search-{size}")
    clean(page)
    page.get_by_label("Search").fill("<img src=x onerror=alert(1)>")
    assert shown(page, asked="<img src=x onerror=alert(1)>")["found"] == []


def test_sections_open_by_keyboard(page: Page) -> None:
    page.goto("/help")
    shown(page)
    page.locator("#cautions summary").focus()
    page.keyboard.press("Enter")
    shown(page, open=["cautions"])
    assert page.locator("#caution-stored-energy").is_visible()
