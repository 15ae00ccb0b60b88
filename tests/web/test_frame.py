"""The frame of every page, in a real browser."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from tests.web.browser import Served, clean, picture, shown

pytestmark = pytest.mark.browser


def test_every_page_opens_by_its_own_address(page: Page, size: str) -> None:
    page.goto("/")
    shown(page)
    links = page.locator("nav[aria-label=Pages] a")
    assert links.first.inner_text() == "Adjust"
    assert page.locator("nav [aria-current=page]").inner_text() == "Adjust"
    picture(page, f"frame-{size}")
    clean(page)


@pytest.mark.parametrize("theme", ["light", "dark", "sun"])
def test_light_dark_and_sun_keep_their_contrast(page: Page, theme: str) -> None:
    page.goto("/adjust")
    shown(page)
    page.evaluate("(theme) => window.benchTheme.set(theme)", theme)
    clean(page)


def test_two_people_see_each_others_moves_and_keep_their_own(page: Page, served: Served) -> None:
    page.goto("/adjust")
    shown(page)
    served.bench.move("somebody else", "watt_pivot", 1)
    shown(page, bench={"positions": {"watt_pivot": 6.0}, "connected": True, "waiting": 0})
