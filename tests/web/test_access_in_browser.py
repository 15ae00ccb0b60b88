"""The way in, text that people enter, and the API's page, in a real browser."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from axlewright.car.file import read
from axlewright.web import pages
from axlewright.web.answers import Answers
from axlewright.web.app import STATIC
from tests.web.browser import Served, clean, look, picture, shown

pytestmark = pytest.mark.browser
CODE = "abcdefghjk"
MARK = "<img src=x onerror=window.hurt=1><script>window.hurt=1</script>&lt;b&gt;"


@pytest.fixture
def marked(tmp_path, browser: Browser, faults: list[str]) -> Iterator[Page]:
    """A bench whose car file has markup wherever people write."""
    text = re.sub(r'(?m)^name = ".*"$', f'name = "{MARK}"', read("sorrel"), count=1)
    text += f'\n[setups."{MARK}"]\nauthor = "{MARK}"\nwhy = "{MARK}"\npositions = {{ perch_LF = 1 }}\n'
    file = tmp_path / "marked.toml"
    file.write_text(text, encoding="utf-8")
    running = Served(file)
    context, page = look(browser, running.address, "wide", faults)
    yield page
    context.close()
    running.close()
    assert not faults


def test_what_people_write_stays_text(marked: Page, served: Served) -> None:
    marked.goto("/adjust")
    shown(marked)
    scripts = {script.stem for script in (STATIC / "pages").glob("*.js")}
    for page in pages.every(served.bench, Answers()):
        if page.address not in scripts:
            continue
        marked.goto(f"/{page.address}")
        shown(marked)
        assert marked.evaluate("window.hurt") is None
        assert marked.locator("img[src=x]").count() == 0
        assert "<img src=x" in marked.locator("header, body").first.inner_text()


def test_the_code_typed_into_the_door_lets_in(tmp_path, browser: Browser, size: str, faults: list[str]) -> None:
    file = tmp_path / "sorrel.toml"
    file.write_text(read("sorrel"), encoding="utf-8")
    running = Served(file, code=CODE)
    context, page = look(browser, running.address, size, faults)
    page.goto("/effects")
    picture(page, f"door-{size}")
    clean(page)
    edges = "[...document.querySelectorAll('input, button')].map((one) => getComputedStyle(one).borderTopWidth)"
    assert page.evaluate(edges) == ["1px", "1px"]  # the box and the button can be seen before a light is chosen
    page.get_by_label("Access code").fill("aaaaaaaaaa")
    page.get_by_role("button", name="Come in").click()
    assert page.get_by_role("alert").inner_text() == "That is not the code."
    page.get_by_label("Access code").fill(CODE)
    page.get_by_role("button", name="Come in").press("Enter")
    shown(page)
    assert page.url.endswith("/adjust")
    assert page.evaluate("document.cookie") == ""
    context.close()
    running.close()
    assert [fault for fault in faults if "401" not in fault] == []  # the browser tells of pages that were refused
    faults.clear()


def test_the_apis_page_is_drawn_from_here(page: Page, size: str) -> None:
    page.goto("/api")
    page.get_by_text("/effects", exact=True).wait_for()
    page.get_by_role("button", name="POST /check", exact=False).first.click()
    page.get_by_text("problems").first.wait_for()
    picture(page, f"api-{size}")
