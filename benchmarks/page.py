"""The page in a real browser: first paint, and from a tap to what it does, at the size of a phone."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from axlewright.car.file import read
from benchmarks.timing import Measurement
from tests.running import Running
from tests.web.browser import CHROMIUM, launch, look, shown

TAPS = 24
PAINT, TAP = 2.0, 0.1  # s, asked of the page


def measure() -> Iterator[Measurement]:
    """Measured in chromium, drawn in software, with the solver of the same machine."""
    if CHROMIUM is None:
        yield Measurement(name="the page", found="no chromium on this machine", times=())
        return
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        file = Path(folder) / "teasel.toml"
        file.write_text(read("teasel"), encoding="utf-8")
        served = Running(str(file))
        browser = launch(playwright)
        faults: list[str] = []
        context, page = look(browser, served.address, "phone", faults)
        page.goto("/adjust")
        shown(page)
        paints = tuple(_paint(page) for _ in range(5))
        yield Measurement(name="page of adjust: address to first paint", times=paints, limit=PAINT)
        taps = tuple(_tap(page, k) for k in range(TAPS))
        late = f"95 % within {sorted(taps)[int(0.95 * TAPS)] * 1e3:.0f} ms"
        yield Measurement(name="a tap to balance, loads and readings shown", times=taps, found=late, limit=TAP)
        yield Measurement(name="a tap to limit and doubt shown too", times=tuple(_settled(page, k) for k in range(8)))
        context.close()
        browser.close()
        served.kill()
        assert not faults, faults


def _paint(page: Page) -> float:
    page.goto("/adjust")
    shown(page)
    return page.evaluate("performance.getEntriesByName('first-contentful-paint')[0].startTime") / 1e3


def _tap(page: Page, k: int) -> float:
    """One more step of one of five adjusters, so that no answer was kept."""
    adjuster = ("perch_LF", "rear_bar_drop_link_left", "perches_rear", "pressure_rear", "perch_RF")[k % 5]
    before = page.evaluate("JSON.stringify(window.benchShown().solved)")
    page.get_by_role("searchbox").fill(adjuster.replace("_", " "))
    page.locator(f"[data-adjuster={adjuster}] button").nth(1).click()
    page.wait_for_function(
        "(before) => { const s = window.benchShown(); return s.fresh && JSON.stringify(s.solved) !== before; }",
        arg=before,
    )
    return page.evaluate("window.benchShown().took") / 1e3


def _settled(page: Page, k: int) -> float:
    began = time.perf_counter()
    page.get_by_role("searchbox").fill("springs rear")
    page.locator("[data-adjuster=springs_rear] button").nth(1).click()
    page.wait_for_function(
        "(stiffer) => window.benchShown().bench.positions.springs_rear === stiffer", arg=44.5 + 2.5 * k
    )
    shown(page)
    return time.perf_counter() - began
