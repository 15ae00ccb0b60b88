"""What every answer says about itself: nothing from outside, no guessing of types, nothing kept that may change."""

from __future__ import annotations

import base64
import hashlib
import json
from typing import Any

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

IMPORTS = {
    "preact": "/static/vendor/preact.js",
    "preact/hooks": "/static/vendor/preact-hooks.js",
    "htm": "/static/vendor/htm.js",
    "htm/preact": "/static/vendor/htm-preact.js",
    "uplot": "/static/vendor/uplot.js",
    "three": "/static/vendor/three.module.min.js",
    "three/addons/": "/static/vendor/three/",
}
IMPORT_MAP = json.dumps({"imports": IMPORTS}, separators=(",", ":"))
_HASH = base64.b64encode(hashlib.sha256(IMPORT_MAP.encode()).digest()).decode()
POLICY = "; ".join(
    [
        "default-src 'none'",
        f"script-src 'self' 'sha256-{_HASH}'",  # the import map is the one script that stands in the page
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "connect-src 'self'",
        "font-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    ]
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}


class Headers:
    """Pure ASGI middleware; a header that an answer already has is left."""

    def __init__(self, app: ASGIApp, **more: Any) -> None:
        self.app, self.headers = app, {**HEADERS, **more}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Add the headers to an HTTP answer."""

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in self.headers.items():
                    headers.setdefault(name, value)
            await send(message)

        await self.app(scope, receive, with_headers if scope["type"] == "http" else send)
