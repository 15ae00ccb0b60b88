"""Who may come in: every request and every socket is asked, and what is sent is measured."""

from __future__ import annotations

import hmac
import inspect
import json
import time
from http.cookies import SimpleCookie

import pytest

from axlewright.web import access, guesses
from axlewright.web.access import COOKIE, LARGEST, Access, new_code
from axlewright.web.app import application
from axlewright.web.bench import Bench
from axlewright.web.guesses import ALL, EACH, WINDOW, Guesses
from axlewright.web.headers import POLICY
from tests.web.asking import ask, wait_for

CODE = "abcdefghjk"
HTML = {"accept": "text/html"}
ADDRESSES = [
    ("GET", "/"), ("GET", "/adjust"), ("GET", "/bench"), ("POST", "/bench/move"), ("POST", "/adjust/state"),
    ("GET", "/api"), ("GET", "/api/openapi.json"), ("POST", "/api/rest"), ("GET", "/static/kit/ask.js"), ("GET", "/x"),
]  # fmt: skip
CHUNK = 100_000  # bytes of a part of a body
OTHERS = ["evil.example", "127.0.0.1.evil.example", "localhost.", "evil.example:8765", "", "user@127.0.0.1", "[::2]"]
OUTSIDE = [
    "/static/access.py",
    "/static/templates/page.html",
    "/static/../access.py", "/static/%2e%2e/access.py", "/static/..%2faccess.py", "/static/%2e%2e%2f%2e%2e%2faccess.py",
    "/static//etc/passwd", "/static/....//access.py", "/static/..%5caccess.py", "/static/%00",
    "/static/style/../../app.py", "/static/%c0%ae%c0%ae/access.py", "/../access.py", "/adjust/../../access.py",
]  # fmt: skip


@pytest.fixture(scope="module")
def alone():
    """The bench on this machine alone."""
    return application(Bench("sorrel"), warm=False)


@pytest.fixture
def shared():
    """The bench shared on a network."""
    return application(Bench("sorrel"), code=CODE, warm=False)


def socket(app, path="/bench/live?who=x", **headers):
    """What a socket is told first."""
    said = []
    given = {"host": "127.0.0.1:8765", **headers}
    scope = {
        "type": "websocket", "path": path.partition("?")[0], "raw_path": b"", "query_string": b"who=x", "scheme": "ws",
        "headers": [(k.encode(), v.encode()) for k, v in given.items()], "client": ("127.0.0.1", 1),
        "subprotocols": [], "root_path": "", "http_version": "1.1", "server": ("127.0.0.1", 8765),
    }  # fmt: skip

    async def go():
        messages = [{"type": "websocket.connect"}, {"type": "websocket.disconnect", "code": 1001}]

        async def receive():
            return messages.pop(0) if messages else {"type": "websocket.disconnect", "code": 1001}

        async def send(message):
            said.append(message)

        await app(scope, receive, send)

    wait_for(go())
    return said[0]["type"]


def come_in(app, code=CODE, **headers):
    return ask(app, "POST", "/in", data={"code": code}, headers=headers)


def cookie_of(response):
    return SimpleCookie(response.headers["set-cookie"])[COOKIE]


@pytest.mark.parametrize(("method", "path"), ADDRESSES)
def test_every_request_is_asked_for_the_code(shared, method, path):
    told = ask(shared, method, path)
    assert told.status_code == 401
    assert "access code" in told.text
    assert ask(shared, method, path, headers={"authorization": f"Bearer {CODE}"}).status_code != 401


def test_every_socket_is_asked_for_the_code(shared, alone):
    assert socket(shared) == "websocket.close"
    assert socket(shared, authorization=f"Bearer {CODE[::-1]}") == "websocket.close"
    assert socket(shared, path="/static/style/base.css") == "websocket.close"
    assert socket(shared, authorization=f"Bearer {CODE}") == "websocket.accept"
    assert socket(shared, cookie=f"{COOKIE}={cookie_of(come_in(shared)).value}") == "websocket.accept"
    assert socket(alone) == "websocket.accept"


def test_sockets_of_another_site_stay_out_even_on_this_machine(alone):
    assert socket(alone, origin="http://evil.example") == "websocket.close"
    assert socket(alone, host="evil.example") == "websocket.close"
    assert socket(alone, origin="http://127.0.0.1:8765") == "websocket.accept"


def test_the_code_opens_with_a_cookie_that_scripts_and_other_sites_never_see(shared):
    told = come_in(shared, f" {CODE.upper()} ")  # as a phone may write it
    assert told.status_code == 303
    assert told.headers["location"] == "/adjust"
    cookie = cookie_of(told)
    assert cookie["httponly"]
    assert cookie["samesite"].lower() == "strict"
    assert CODE not in cookie.value
    assert ask(shared, "GET", "/adjust", headers={"cookie": f"{COOKIE}={cookie.value}"}).status_code == 200


def test_a_wrong_code_a_changed_cookie_and_an_old_one_stay_out(shared, monkeypatch):
    assert come_in(shared, "aaaaaaaaaa").status_code == 401
    assert "not the code" in come_in(shared, "aaaaaaaaaa").text
    good = cookie_of(come_in(shared)).value
    until, _, mark = good.partition(".")
    turned = mark[:-1] + ("0" if mark[-1] != "0" else "1")
    for value in (f"{int(until) + 1}.{mark}", f"{until}.{turned}", until, f"{until}.", "x.y", "", '"\u00ff"'):
        told = ask(shared, "GET", "/adjust", headers={"cookie": f"{COOKIE}={value}".encode("latin-1")})
        assert told.status_code == 401, value
    now = time.time()
    monkeypatch.setattr(access.time, "time", lambda: now + access.LASTS + 1)
    assert ask(shared, "GET", "/adjust", headers={"cookie": f"{COOKIE}={good}"}).status_code == 401


def test_a_cookie_of_another_start_stays_out(shared):
    other = application(Bench("sorrel"), code=CODE, warm=False)
    good = cookie_of(come_in(other)).value
    assert ask(shared, "GET", "/adjust", headers={"cookie": f"{COOKIE}={good}"}).status_code == 401


def test_codes_and_marks_are_compared_in_constant_time():
    source = inspect.getsource(Access)
    assert source.count("hmac.compare_digest") == 2
    assert "== self.code" not in source
    assert hmac.compare_digest(b"a", b"a")


def test_codes_are_random_and_long():
    codes = {new_code() for _ in range(100)}
    assert len(codes) == 100
    assert all(len(code) == 10 and set(code) <= set(access.LETTERS) for code in codes)


def test_guesses_are_limited_for_who_guesses_and_not_for_others(shared):
    for _ in range(EACH):
        assert ask(shared, "GET", "/bench", headers={"authorization": "Bearer wrong"}).status_code == 401
    told = come_in(shared)  # the right code, from the address that guessed
    assert told.status_code == 429
    assert "wait a minute" in told.text
    other = ask(shared, "GET", "/bench", headers={"authorization": f"Bearer {CODE}"}, client=("192.168.0.9", 1))
    assert other.status_code == 200


def test_guesses_are_forgotten_after_a_while_and_bounded_together():
    now = [0.0]
    found = Guesses(clock=lambda: now[0])
    for _ in range(EACH):
        assert found.may("a")
        found.wrong("a")
    assert not found.may("a")
    now[0] = WINDOW
    assert found.may("a")
    for i in range(ALL):
        found.wrong(f"one of many {i}")
    assert not found.may("b")
    assert ALL * guesses.WINDOW < 31**10


@pytest.mark.parametrize("host", OTHERS)
def test_a_name_that_is_not_ours_stays_out(alone, host):
    """So a site whose name is pointed at this machine (DNS rebinding) gets nothing."""
    told = ask(alone, "GET", "/bench", headers={"host": host})
    assert told.status_code == 421
    assert "sorrel" not in told.text


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "http://127.0.0.1:9", "https://evil.example:8765", "http://["]
)
def test_another_site_stays_out(alone, origin):
    told = ask(alone, "POST", "/bench/move", json={}, headers={"origin": origin})
    assert told.status_code == 403


def test_what_the_browser_says_another_site_asks_for_stays_out_but_a_link_may_be_followed(alone):
    asked = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors"}
    assert ask(alone, "GET", "/bench", headers=asked).status_code == 403
    followed = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate"}
    assert ask(alone, "GET", "/adjust", headers=followed).status_code == 200
    assert ask(alone, "POST", "/bench/move", json={}, headers=followed).status_code == 403


def test_no_code_is_needed_on_this_machine_alone(alone):
    assert ask(alone, "GET", "/bench", headers={"origin": "http://127.0.0.1:8765"}).status_code == 200
    assert ask(alone, "GET", "/bench", headers={"host": "localhost:8765"}).status_code == 200


@pytest.mark.parametrize("said", ["", "-1", "1e9", "\u00b2", str(LARGEST + 1), "9" * 5000])
def test_a_large_or_odd_length_stays_out(alone, said):
    told = ask(alone, "POST", "/api/check", content=b"{}", headers={"content-length": said.encode("latin-1")})
    assert told.status_code == 413
    assert "at most" in told.text


@pytest.mark.parametrize("path", ["/api/check", "/adjust/state"])
def test_a_body_that_grows_without_having_said_so_is_ended(alone, path):
    sent = []

    async def growing():
        for _ in range(10 * LARGEST // CHUNK):
            sent.append(CHUNK)
            yield b" " * CHUNK

    told = ask(alone, "POST", path, content=growing(), headers={"content-type": "application/json"})
    assert told.status_code == 413
    assert sum(sent) <= LARGEST + 2 * CHUNK  # the rest is not read


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "text/html"]
)
@pytest.mark.parametrize("path", ["/api/check", "/bench/move", "/adjust/work"])
def test_a_body_of_another_type_is_not_read(alone, path, kind):
    """Another site's form can send these without the browser asking first."""
    content = json.dumps({"who": "x", "adjuster": "perch_LF", "steps": 1, "car": "sorrel", "positions": {}})
    told = ask(alone, "POST", path, content=content, headers={"content-type": kind})
    assert told.status_code == 422


@pytest.mark.parametrize("path", OUTSIDE)
def test_no_address_reaches_a_file_outside(alone, path):
    told = ask(alone, "GET", path)
    assert told.status_code in (400, 404, 405), (path, told.status_code)
    assert "import" not in told.text
    assert "root:" not in told.text


@pytest.mark.parametrize(
    "name", ["../../etc/passwd", "/etc/passwd", "teasel.toml", "C:\\x", "file:///etc/passwd", "teasel\0"]
)
def test_no_name_in_a_question_becomes_a_path(alone, name):
    told = ask(alone, "POST", "/api/rest", json={"car": name})
    assert told.status_code == 404
    assert "expected" in told.json()["error"]["message"]


@pytest.mark.parametrize(
    ("method", "path"),
    [("GET", "/adjust"), ("GET", "/bench"), ("GET", "/nosuch"), ("POST", "/api/rest"), ("GET", "/api")],
)
def test_every_answer_says_what_it_may_do(alone, method, path):
    told = ask(alone, method, path)
    policy = dict(part.split(" ", 1) for part in told.headers["content-security-policy"].split("; "))
    assert told.headers["content-security-policy"] == POLICY
    assert policy["default-src"] == "'none'"
    assert "unsafe" not in POLICY
    assert "http" not in POLICY.replace("https", "http").replace("http-", "")  # no other host is named
    assert policy["frame-ancestors"] == "'none'"
    assert told.headers["x-content-type-options"] == "nosniff"
    assert told.headers["referrer-policy"] in ("no-referrer", "same-origin")
    assert told.headers["cache-control"] == "no-store"
    assert "access-control-allow-origin" not in told.headers


def test_the_door_tells_nothing_of_the_bench_and_repeats_nothing(shared):
    told = ask(shared, "GET", "/in?code=<script>alert(1)</script>", headers=HTML)
    assert told.status_code == 401
    assert "<script" not in told.text
    assert "sorrel" not in told.text.lower()
    assert told.headers["content-security-policy"] == POLICY


def test_the_code_is_never_in_an_answer(shared):
    bearer = {"authorization": f"Bearer {CODE}"}
    for method, path in ADDRESSES:
        told = ask(shared, method, path, headers=bearer)
        assert CODE not in told.text
        assert CODE not in str(told.headers)
