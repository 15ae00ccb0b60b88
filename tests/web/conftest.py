"""One bench and one browser for all page tests of a process."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from axlewright.car.file import read
from tests.web.browser import CHROMIUM, SIZES, Served, launch, look


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Without chromium the browser tests are left out, and say so."""
    for item in items:
        if CHROMIUM is None and item.get_closest_marker("browser"):
            item.add_marker(pytest.mark.skip(reason="no chromium on this machine: install the package chromium"))


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    file = tmp_path_factory.mktemp("bench") / "teasel.toml"
    file.write_text(read("teasel"), encoding="utf-8")
    running = Served(file)
    yield running
    running.close()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        chromium = launch(playwright)
        yield chromium
        chromium.close()


@pytest.fixture
def faults() -> list[str]:
    """What went wrong in the browser; a test that makes a fault on purpose clears it."""
    return []


@pytest.fixture(params=list(SIZES))
def size(request: pytest.FixtureRequest) -> str:
    return request.param


@pytest.fixture
def page(served: Served, browser: Browser, size: str, faults: list[str]) -> Iterator[Page]:
    """A page at desktop and at phone size; fails on any page error, console error or request outside."""
    served.afresh()
    context, opened = look(browser, served.address, size, faults)
    yield opened
    context.close()
    assert not faults
