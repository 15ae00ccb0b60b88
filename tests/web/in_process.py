"""Requests to the application in this process, as a browser on this machine would send them."""

from __future__ import annotations

import asyncio
import json
from typing import Any

import httpx

from axlewright.web.app import application
from axlewright.web.bench import Bench


class Asking:
    """One bench, asked without a server."""

    def __init__(self, bench: Bench) -> None:
        self._app = application(bench, warm=False)

    def send(self, method: str, path: str, **body: Any) -> httpx.Response:
        """One request."""

        async def sent() -> httpx.Response:
            transport = httpx.ASGITransport(app=self._app)
            async with httpx.AsyncClient(transport=transport, base_url="http://127.0.0.1") as client:
                return await client.request(method, path, **body)

        return asyncio.run(sent())

    def post(self, path: str, **body: Any) -> httpx.Response:
        """One question."""
        return self.send("POST", path, **body)

    def get(self, path: str) -> httpx.Response:
        """One address looked at."""
        return self.send("GET", path)


def said(reply: httpx.Response) -> dict[str, Any]:
    """The last line of a reply: the answer, or what went wrong."""
    return json.loads(reply.text.strip().splitlines()[-1])
