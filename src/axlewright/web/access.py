"""Who may come in, asked at every request and every socket.

On this machine alone (the usual way) nobody else can reach the port, but a page of another site open in the same
browser could try: so Host must name this machine and Origin, where a browser sends it, this very page. Shared on the
local network, a random code is needed as well: typed, or carried by the QR code; it is then remembered in a signed
cookie. A script sends it as `Authorization: Bearer CODE`.
"""

from __future__ import annotations

import hmac
import secrets
import time
from collections import deque
from collections.abc import Iterable
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs, urlsplit

from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LETTERS = "23456789abcdefghjkmnpqrstuvwxyz"  # none that look alike
LENGTH = 10  # letters of a code: 31**10, some 50 bits
LASTS = 7 * 24 * 3600.0  # s that a cookie is good for
GUESSES, WINDOW = 10, 60.0  # wrong codes in so many seconds; then nobody is asked for a while
LARGEST = 3_000_000  # bytes of a request
LOOPBACK = ("127.0.0.1", "localhost", "[::1]")
COOKIE = "bench"
OPEN = ("/static/style/", "/favicon.svg")  # what the page that asks for the code needs


def new_code() -> str:
    """A random code that can be read aloud."""
    return "".join(secrets.choice(LETTERS) for _ in range(LENGTH))


class Access:
    """Pure ASGI middleware: it covers sockets too, which middleware made for requests does not."""

    def __init__(self, app: ASGIApp, *, hosts: Iterable[str] = LOOPBACK, code: str = "") -> None:
        self.app, self.hosts, self.code = app, frozenset(host.lower() for host in hosts), code
        self._secret = secrets.token_bytes(32)
        self._wrong: deque[float] = deque(maxlen=GUESSES)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on what may come in."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        headers = {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]}
        refused = self._refused(scope, headers)
        if refused is None and self.code and not self._known(scope, headers):
            refused = await self._asked(scope, headers, receive)
        if refused is None:
            await self.app(scope, _limited(receive), send)
        elif scope["type"] == "websocket":
            await receive()
            await send({"type": "websocket.close", "code": 4401, "reason": "not let in"})
        else:
            await refused(scope, receive, send)

    def _refused(self, scope: Scope, headers: dict[str, str]) -> Response | None:
        host = headers.get("host", "")
        if _name(host) not in self.hosts:
            return PlainTextResponse("found a request for another host; expected one for this machine", 421)
        origin = headers.get("origin")
        if origin is not None and urlsplit(origin).netloc.lower() != host.lower():
            return PlainTextResponse("found a request from another site; expected one from this page", 403)
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > LARGEST:
            return PlainTextResponse(f"found a request of {length} bytes; expected at most {LARGEST}", 413)
        return None

    def _known(self, scope: Scope, headers: dict[str, str]) -> bool:
        if scope["path"].startswith(OPEN):
            return True
        try:
            cookie = SimpleCookie(headers.get("cookie", "")).get(COOKIE)
        except CookieError:
            cookie = None
        if cookie is not None and self._signed(cookie.value):
            return True
        kind, _, given = headers.get("authorization", "").partition(" ")
        return kind.lower() == "bearer" and self._right(given.strip())

    def _right(self, given: str) -> bool:
        """Whether a code is right; nobody is told while too many were wrong of late."""
        now = time.monotonic()
        if len(self._wrong) == GUESSES and now - self._wrong[0] < WINDOW:
            return False
        if hmac.compare_digest(given.strip().lower().encode(), self.code.encode()):
            return True
        self._wrong.append(now)
        return False

    async def _asked(self, scope: Scope, headers: dict[str, str], receive: Receive) -> Response:
        """The page that asks for the code, or the way in when it is given."""
        if scope["type"] == "websocket":
            return PlainTextResponse("", 401)
        if scope["path"] == "/in":
            given = parse_qs(scope["query_string"].decode("latin-1")).get("code", [""])[0]
            if scope["method"] == "POST":
                body = await _limited_body(Request(scope, receive))
                given = parse_qs(body.decode("latin-1")).get("code", [""])[0]
            if given and self._right(given):
                way_in = RedirectResponse("/adjust", 303, headers={"cache-control": "no-store"})
                way_in.set_cookie(
                    COOKIE, self._sign(time.time() + LASTS), max_age=int(LASTS), httponly=True, samesite="strict"
                )
                return way_in
            return _door("That is not the code." if given else "")
        if scope["method"] == "GET" and "text/html" in headers.get("accept", ""):
            return _door("")
        return PlainTextResponse("found no access code; expected the one that the terminal shows", 401)

    def _sign(self, until: float) -> str:
        text = f"{int(until)}"
        return f"{text}.{hmac.new(self._secret, text.encode(), 'sha256').hexdigest()}"

    def _signed(self, value: str) -> bool:
        text, _, mark = value.partition(".")
        right = hmac.new(self._secret, text.encode(), "sha256").hexdigest()
        return hmac.compare_digest(mark.encode(), right.encode()) and text.isdigit() and float(text) > time.time()


def _name(host: str) -> str:
    """A Host header without its port."""
    name = host.lower().rsplit(":", 1)[0] if not host.endswith("]") and ":" in host else host.lower()
    return name


async def _limited_body(request: Request) -> bytes:
    body = b""
    async for part in request.stream():
        body += part
        if len(body) > 1000:  # a code is ten letters
            return b""
    return body


def _limited(receive: Receive) -> Receive:
    """Ends a request whose body grows too large without having said so."""
    seen = 0

    async def limited() -> Message:
        nonlocal seen
        message = await receive()
        if message["type"] == "http.request":
            seen += len(message.get("body", b""))
            if seen > LARGEST:
                return {"type": "http.disconnect"}
        return message

    return limited


def _door(problem: str) -> Response:
    """The page that asks for the code. Nothing on it comes from the request."""
    said = f'<p class="stop" role="alert">{problem}</p>' if problem else ""
    return Response(
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Axlewright: code</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<link rel="stylesheet" href="/static/style/base.css"></head><body><main class="door"><h1>The bench</h1>'
        f'{said}<form method="post" action="/in"><label for="code">Access code, as the terminal shows it</label>'
        '<input id="code" name="code" autocomplete="off" autocapitalize="none" spellcheck="false" required autofocus>'
        '<button type="submit">Come in</button></form></main></body></html>',
        401,
        media_type="text/html",
    )
