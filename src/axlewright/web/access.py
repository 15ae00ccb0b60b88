"""Who may come in, asked at every request and every socket.

On this machine alone (the usual way) nobody else can reach the port, but a page of another site open in the same
browser could try: so Host must name this machine, Origin, where a browser sends it, this very page, and what the
browser itself says another site asks for is refused too. Shared on the local network, a random code is needed as well:
typed, or carried by the QR code; it is then remembered in a signed cookie. A script sends it as
`Authorization: Bearer CODE`.
"""

from __future__ import annotations

import hmac
import secrets
import time
from collections.abc import Iterable
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs, urlsplit

from starlette.requests import ClientDisconnect, Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from axlewright.web.guesses import Guesses

LETTERS = "23456789abcdefghjkmnpqrstuvwxyz"  # none that look alike
LENGTH = 10  # letters of a code: 31**10, some 50 bits
LASTS = 7 * 24 * 3600.0  # s that a cookie is good for
LARGEST = 3_000_000  # bytes of a request
CODE_FORM = 1000  # bytes of the form that a code is typed into
LOOPBACK = ("127.0.0.1", "localhost", "[::1]")
COOKIE = "bench"
OPEN = ("/static/style/", "/favicon.svg")  # what the page that asks for the code needs
CLOSED = 4401  # why a socket was closed: not let in
TOO_LARGE = f"found a request of more than {LARGEST / 1e6:g} MB; expected at most that. Likeliest fix: send a car file."


def new_code() -> str:
    """A random code that can be read aloud."""
    return "".join(secrets.choice(LETTERS) for _ in range(LENGTH))


class Access:
    """Pure ASGI middleware: it covers sockets too, which middleware made for requests does not."""

    def __init__(self, app: ASGIApp, *, hosts: Iterable[str] = LOOPBACK, code: str = "") -> None:
        self.app, self.hosts, self.code = app, frozenset(host.lower() for host in hosts), code
        self._secret = secrets.token_bytes(32)
        self._guesses = Guesses()

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
            await _Measured(receive, send).pass_to(self.app, scope)
        elif scope["type"] == "websocket":
            await receive()
            await send({"type": "websocket.close", "code": CLOSED, "reason": "not let in"})
        else:
            await refused(scope, receive, send)

    def _refused(self, scope: Scope, headers: dict[str, str]) -> Response | None:
        host = headers.get("host", "")
        if _name(host) not in self.hosts:
            return PlainTextResponse("found a request for another host; expected one for this machine", 421)
        origin = headers.get("origin")
        foreign = origin is not None and _site(origin) != host.lower()
        if foreign or (headers.get("sec-fetch-site") == "cross-site" and not _opened(scope, headers)):
            return PlainTextResponse("found a request from another site; expected one from this page", 403)
        length = headers.get("content-length", "0")
        if not (length.isascii() and length.isdecimal()) or int(length[:20]) > LARGEST:
            return PlainTextResponse(TOO_LARGE, 413)
        return None

    def _known(self, scope: Scope, headers: dict[str, str]) -> bool:
        if scope["type"] == "http" and scope["path"].startswith(OPEN):
            return True
        try:
            cookie = SimpleCookie(headers.get("cookie", "")).get(COOKIE)
        except CookieError:
            cookie = None
        if cookie is not None and self._signed(cookie.value):
            return True
        kind, _, given = headers.get("authorization", "").partition(" ")
        return kind.lower() == "bearer" and self._right(scope, given)

    def _right(self, scope: Scope, given: str) -> bool:
        """Whether a code is right; nobody is told while too many of theirs were wrong of late."""
        who = (scope.get("client") or ("", 0))[0]
        if not self._guesses.may(who):
            return False
        if hmac.compare_digest(given.strip().lower().encode("utf-8", "replace"), self.code.encode()):
            return True
        self._guesses.wrong(who)
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
            if given and self._right(scope, given):
                way_in = RedirectResponse("/adjust", 303, headers={"cache-control": "no-store"})
                way_in.set_cookie(
                    COOKIE, self._sign(time.time() + LASTS), max_age=int(LASTS), httponly=True, samesite="strict"
                )
                return way_in
            if not self._guesses.may((scope.get("client") or ("", 0))[0]):
                return _door("Too many wrong codes: wait a minute.", 429)
            return _door("That is not the code." if given else "")
        if scope["method"] == "GET" and "text/html" in headers.get("accept", ""):
            return _door("")
        return PlainTextResponse("found no access code; expected the one that the terminal shows", 401)

    def _sign(self, until: float) -> str:
        text = f"{int(until)}"
        return f"{text}.{hmac.new(self._secret, text.encode(), 'sha256').hexdigest()}"

    def _signed(self, value: str) -> bool:
        text, _, mark = value.partition(".")
        right = hmac.new(self._secret, text.encode("utf-8", "replace"), "sha256").hexdigest()
        return hmac.compare_digest(mark.encode("utf-8", "replace"), right.encode()) and float(text) > time.time()


class _Measured:
    """Ends a request whose body grows too large without having said so."""

    def __init__(self, receive: Receive, send: Send) -> None:
        self._receive, self._send, self._seen, self._started = receive, send, 0, False

    async def pass_to(self, app: ASGIApp, scope: Scope) -> None:
        try:
            await app(scope, self._limited, self._kept_back)
        except ClientDisconnect:
            if self._seen <= LARGEST:
                raise
        if self._seen > LARGEST and not self._started:
            await PlainTextResponse(TOO_LARGE, 413)(scope, self._receive, self._send)

    async def _limited(self) -> Message:
        message = await self._receive()
        if message["type"] == "http.request":
            self._seen += len(message.get("body", b""))
            if self._seen > LARGEST:
                return {"type": "http.disconnect"}
        return message

    async def _kept_back(self, message: Message) -> None:
        """What the application says, unless the request was too large: then it has read half of it."""
        if self._started or self._seen <= LARGEST:
            self._started = True
            await self._send(message)


def _name(host: str) -> str:
    """A Host header without its port."""
    name = host.lower().rsplit(":", 1)[0] if not host.endswith("]") and ":" in host else host.lower()
    return name


def _site(origin: str) -> str:
    """Host and port of an Origin; empty for "null" and for what is none."""
    try:
        return urlsplit(origin).netloc.lower()
    except ValueError:
        return ""


def _opened(scope: Scope, headers: dict[str, str]) -> bool:
    """Whether a person follows a link: the page opens, and the other site sees nothing of it."""
    return scope["type"] == "http" and scope["method"] == "GET" and headers.get("sec-fetch-mode") == "navigate"


async def _limited_body(request: Request) -> bytes:
    body = b""
    async for part in request.stream():
        body += part
        if len(body) > CODE_FORM:
            return b""
    return body


def _door(problem: str, status: int = 401) -> Response:
    """The page that asks for the code. Nothing on it comes from the request."""
    said = f'<p class="stop" role="alert">{problem}</p>' if problem else ""
    return Response(
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Axlewright: code</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<link rel="stylesheet" href="/static/style/base.css"></head><body><main class="door"><h1>The bench</h1>'
        f'{said}<form method="post" action="/in"><label for="code">Access code, as the terminal shows it</label>'
        '<input id="code" name="code" autocomplete="off" autocapitalize="none" spellcheck="false" required autofocus>'
        '<button type="submit">Come in</button></form></main></body></html>',
        status,
        media_type="text/html",
    )
