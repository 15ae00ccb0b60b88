"""The laptop's bench is ended and started again while a phone stays open."""

from __future__ import annotations

from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser

from axlewright.car.file import read
from tests.running import Running
from tests.web.browser import look, shown

pytestmark = [pytest.mark.browser, pytest.mark.slow]
ONE_HOLE = {"rear_bar_hole_left": 4.0, "rear_bar_hole_right": 4.0}
TWO_HOLES = {"rear_bar_hole_left": 5.0, "rear_bar_hole_right": 5.0}


def test_moves_made_before_and_while_it_was_gone_are_there_again(tmp_path, browser: Browser) -> None:
    file = tmp_path / "teasel.toml"
    file.write_text(read("teasel"), encoding="utf-8")
    first = Running(str(file))
    address, faults = first.address, list[str]()
    context, page = look(browser, address, "phone", faults)
    page.goto("/adjust")
    shown(page)
    more = page.locator("[data-adjuster=rear_bar_hole] button").nth(1)
    more.click()
    shown(page, bench={"positions": ONE_HOLE, "connected": True, "waiting": 0})
    first.end()
    page.get_by_text("not connected").wait_for()
    assert page.locator(".balance .stale").count() == 1
    more.click()
    page.wait_for_function("() => window.benchShown().bench.waiting === 1")
    again = Running(str(file), "--port", str(urlsplit(address).port))
    shown(page, bench={"positions": TWO_HOLES, "connected": True, "waiting": 0})
    again.end()
    context.close()
    assert all(fault.startswith("console: ") and "ERR_" in fault for fault in faults), faults  # it was gone
