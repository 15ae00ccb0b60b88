"""A real browser for the page: Debian's chromium, cut off from everything but this machine."""

from __future__ import annotations

import json
import os
import shutil
import threading
import time
from pathlib import Path
from typing import Any

import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page, Playwright
from playwright.sync_api import TimeoutError as Late

from axlewright.web.app import application
from axlewright.web.bench import Bench

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
ARGUMENTS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--enable-unsafe-swiftshader",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
]  # fmt: skip
SIZES = {"wide": {"width": 1440, "height": 900}, "phone": {"width": 390, "height": 844}}
# ms; two processes that compile beside each other on a small machine are slow, not wrong
PATIENCE = int(os.environ.get("BENCH_PATIENCE", "60000"))
WARMING = 240.0  # s until the solver is compiled on a cold machine
STARTING = 20.0  # s until the server listens
AXE = Path(__file__).parent / "vendor" / "axe.min.js"
PICTURES = os.environ.get("BENCH_PICTURES")
SERIOUS = ("serious", "critical")  # axe-core's own words for findings that stop somebody


class Served:
    """A bench served on loopback for as long as the tests run."""

    def __init__(self, file: Path, code: str = "") -> None:
        self.file, self.text = file, file.read_text(encoding="utf-8")
        self.bench = Bench(file)
        settings = uvicorn.Config(
            application(self.bench, code=code), port=0, log_level="warning", ws="websockets-sansio"
        )
        self._server = uvicorn.Server(settings)
        self._thread = threading.Thread(target=self._server.run, daemon=True)
        self._thread.start()
        until = time.monotonic() + STARTING
        while not self._server.started and time.monotonic() < until:
            time.sleep(0.02)
        self.address = f"http://127.0.0.1:{self._server.servers[0].sockets[0].getsockname()[1]}"

    def afresh(self) -> None:
        """The car as it was first, nothing moved, once what closed pages had asked for is done."""
        until = time.monotonic() + WARMING
        while self._server.server_state.tasks:  # a move that arrives later would be one of the next test
            assert time.monotonic() < until, "a question of a closed page never ends"
            time.sleep(0.02)
        if self.file.read_text(encoding="utf-8") != self.text or self.bench.text != self.text:
            self.file.write_text(self.text, encoding="utf-8")
            self.bench.open(self.file)
        self.bench.take("the test", {}, "as written")

    def close(self) -> None:
        """End it."""
        self._server.should_exit = True
        self._thread.join(timeout=10)
        for thread in threading.enumerate():  # a process that ends while one compiles ends with a crash
            if thread.name == "warming":
                thread.join(timeout=WARMING)


def launch(playwright: Playwright) -> Browser:
    """The browser."""
    return playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)


def look(browser: Browser, address: str, size: str, faults: list[str]) -> tuple[BrowserContext, Page]:
    """A page of one size, with what went wrong collected in `faults`."""
    touch = size == "phone"
    context = browser.new_context(viewport=SIZES[size], has_touch=touch, is_mobile=touch, base_url=address)  # pyright: ignore[reportArgumentType]
    context.set_default_timeout(PATIENCE)
    page = context.new_page()
    page.on("pageerror", lambda error: faults.append(f"page error: {error}"))
    page.on("console", lambda said: faults.append(f"console: {said.text}") if said.type == "error" else None)
    page.on("request", lambda asked: None if _own(asked.url, address) else faults.append(f"outside: {asked.url}"))
    return context, page


def _own(url: str, address: str) -> bool:
    return url.startswith((address, address.replace("http", "ws"), "data:", "blob:"))


def shown(page: Page, **wanted: Any) -> dict[str, Any]:
    """What the page shows once nothing is in flight, and these entries have these values."""
    try:
        _wait(page, wanted)
    except Late as error:
        now = page.evaluate("JSON.stringify({...window.benchShown(), answer: undefined})")
        raise AssertionError(f"wanted {wanted}, but the page shows {now[:1500]}") from error
    return json.loads(page.evaluate("JSON.stringify(window.benchShown())"))


def _wait(page: Page, wanted: dict[str, Any]) -> None:
    page.wait_for_function(
        """(wanted) => { const s = window.benchShown && window.benchShown();
        const text = (one) => JSON.stringify(one, (key, value) => value && value.constructor === Object
          ? Object.fromEntries(Object.entries(value).sort()) : value);
        const same = ([key, value]) => text(s[key]) === text(value);
        return s && s.settled && Object.entries(wanted).every(same); }""",
        arg=wanted,
    )


def clean(page: Page) -> None:
    """No serious finding of axe-core's accessibility rules, and nothing wider than the screen."""
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    bad = [
        f"{one['id']}: {one['help']}: {[node['target'] for node in one['nodes']][:4]}"
        for one in found["violations"]
        if one["impact"] in SERIOUS
    ]
    assert not bad, bad
    over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    assert over <= 0, f"{over} px wider than the screen"


def picture(page: Page, name: str) -> None:
    """Keep a picture where `BENCH_PICTURES` says."""
    if PICTURES:
        Path(PICTURES).mkdir(parents=True, exist_ok=True)
        page.screenshot(path=str(Path(PICTURES) / f"{name}.png"), full_page=True)
