"""The application: pages, the bench everybody shares, the API, static files; who may come in is asked before all."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse
from fastapi.staticfiles import StaticFiles
from fastapi.templating import Jinja2Templates
from starlette.types import ASGIApp

from axlewright.errors import AxlewrightError
from axlewright.web import live, moves, pages
from axlewright.web.access import LOOPBACK, Access
from axlewright.web.answers import Answers
from axlewright.web.api import api
from axlewright.web.api.page import PAGE as API_PAGE
from axlewright.web.bench import Bench
from axlewright.web.headers import IMPORT_MAP, Headers
from axlewright.web.page import Page
from axlewright.web.streaming import problem
from axlewright.web.warming import Warming

HERE = Path(__file__).parent
STATIC = HERE / "static"


def application(bench: Bench, *, hosts: Iterable[str] = LOOPBACK, code: str = "", warm: bool = True) -> ASGIApp:
    """The page of one bench. With a `code` everybody has to know it; `hosts` are names that this machine goes by."""
    app = FastAPI(title="Axlewright", docs_url=None, redoc_url=None, openapi_url=None)
    templates = Jinja2Templates(HERE / "templates")
    every = pages.every(bench, Answers())
    for page in every:
        _serve(app, templates, page, every)
        app.include_router(page.router, include_in_schema=False)
    warming = Warming(bench)
    app.include_router(live.router(bench, warming))
    app.include_router(moves.router(bench, warming))
    app.add_api_route("/api", lambda: HTMLResponse(API_PAGE), include_in_schema=False)
    app.mount("/api", api(bench))
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    app.add_api_route("/", lambda: RedirectResponse(f"/{every[0].address}"), include_in_schema=False)
    app.add_api_route("/in", lambda: RedirectResponse("/"), include_in_schema=False)
    app.add_api_route("/favicon.svg", lambda: _file("favicon.svg", "image/svg+xml"), include_in_schema=False)
    app.add_exception_handler(AxlewrightError, _told)
    app.add_exception_handler(RequestValidationError, _unread)
    _build(app)
    if warm:
        warming.start()
    return Headers(Access(app, hosts=hosts, code=code))


def _build(app: FastAPI) -> None:
    """Have every route built now, in one thread; the first requests would do it, all at once, each waiting for it."""
    nowhere = {"type": "http", "method": "GET", "path": "/", "root_path": "", "headers": [], "query_string": b""}
    for route in app.router.routes:
        route.matches(dict(nowhere))


def _serve(app: FastAPI, templates: Jinja2Templates, page: Page, every: tuple[Page, ...]) -> None:
    style = STATIC / "style" / f"{page.address}.css"

    def show(request: Request) -> HTMLResponse:
        seen = {"page": page, "pages": every, "own_style": style.is_file(), "import_map": IMPORT_MAP}
        return templates.TemplateResponse(request, "page.html", seen)

    app.add_api_route(f"/{page.address}", show, methods=["GET"], include_in_schema=False)


def _file(name: str, kind: str) -> HTMLResponse:
    return HTMLResponse((STATIC / name).read_text(encoding="utf-8"), media_type=kind)


def _told(request: Request, error: Exception) -> JSONResponse:
    """What a person can put right."""
    del request
    assert isinstance(error, AxlewrightError)
    return JSONResponse({"error": problem(error)}, 422)


def _unread(request: Request, error: Exception) -> JSONResponse:
    """A request that is not what the address takes."""
    del request
    assert isinstance(error, RequestValidationError)
    found = [
        {"path": ".".join(str(p) for p in e["loc"][1:]), "found": e["msg"], "expected": "", "fix": ""}
        for e in error.errors()
    ]
    words = "; ".join(f"{one['path'] or 'the request'}: {one['found']}" for one in found)
    return JSONResponse({"error": {"message": f"found a request that can't be read: {words}", "problems": found}}, 422)
