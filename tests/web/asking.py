"""Ask the application without a server: requests go straight to it."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

import httpx

Answer = TypeVar("Answer")
HOST = "http://127.0.0.1:8765"


def wait_for(work: Coroutine[Any, Any, Answer]) -> Answer:
    """Run it to its end in a thread of its own: a browser that is open in this process has the main thread's loop."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, work).result()


def ask(app: Any, method: str, path: str, **given: Any) -> httpx.Response:
    """One request, from this machine unless headers say otherwise."""

    async def go() -> httpx.Response:
        transport = httpx.ASGITransport(
            app=app, raise_app_exceptions=False, client=given.pop("client", ("127.0.0.1", 1))
        )
        async with httpx.AsyncClient(transport=transport, base_url=HOST, timeout=None) as client:
            return await client.request(method, path, **given)

    return wait_for(go())
