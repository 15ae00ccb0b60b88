"""Ask the application without a server: requests go straight to it."""

from __future__ import annotations

import asyncio
from typing import Any

import httpx

HOST = "http://127.0.0.1:8765"


def ask(app: Any, method: str, path: str, **given: Any) -> httpx.Response:
    """One request, from this machine unless headers say otherwise."""

    async def go() -> httpx.Response:
        transport = httpx.ASGITransport(
            app=app, raise_app_exceptions=False, client=given.pop("client", ("127.0.0.1", 1))
        )
        async with httpx.AsyncClient(transport=transport, base_url=HOST, timeout=None) as client:
            return await client.request(method, path, **given)

    return asyncio.run(go())
