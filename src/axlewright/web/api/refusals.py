"""What went wrong, as data: {"error": {"message", "problems": [{"path", "found", "expected", "fix"}]}}.

422: something asked or written that a person can put right; 404: no such car or question; 405: another method; 413: too
large; 429: busy; 400: no JSON. 500 only for a fault of the program.
"""

from __future__ import annotations

from difflib import get_close_matches
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import Response
from pydantic import Field
from starlette.exceptions import HTTPException

from axlewright.errors import AxlewrightError
from axlewright.web.api.check import Found
from axlewright.web.api.question import Closed
from axlewright.web.api.serving import BusyError, answered
from axlewright.web.api.which_car import UnknownCarError
from axlewright.web.streaming import problem

SHOWN = 80  # letters of what was found
FEW = 12  # names that a sentence can hold
RETRY = "5"  # s, after which somebody who found it busy may ask again


class Refusal(Closed):
    """What went wrong, and what is likely to mend it."""

    message: str = Field(description="what was found, what was expected, likeliest fix")
    problems: list[Found] = Field(description="one by one, where there are several or they have a place")


class Refused(Closed):
    """No answer."""

    error: Refusal


STATUSES = {
    400: "The request's body is not JSON",
    404: "There is no such car or question",
    405: "The question is asked another way: the answer's header `allow` says how",
    413: "The request is too large",
    422: "Something asked or written has to be put right",
    429: "Too many questions are waiting: ask again in some seconds",
}


def install(app: FastAPI) -> None:
    """Tell every failure in the one form."""
    app.add_exception_handler(AxlewrightError, _wrong)
    app.add_exception_handler(RequestValidationError, _unread)
    app.add_exception_handler(HTTPException, _elsewhere)
    app.add_exception_handler(BusyError, _busy)


def _wrong(request: Request, error: Exception) -> Response:
    del request
    assert isinstance(error, AxlewrightError)
    return answered({"error": problem(error)}, 404 if isinstance(error, UnknownCarError) else 422)


def _busy(request: Request, error: Exception) -> Response:
    del request
    return _said(str(error), 429, {"retry-after": RETRY})


def _elsewhere(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    if error.status_code == 404:
        words = f"found no question at {request.url.path[:SHOWN]!r}; expected one that /api/openapi.json lists."
    elif error.status_code == 405:
        words = f"found the method {request.method[:SHOWN]}; expected {(error.headers or {}).get('Allow', 'another')}."
    else:
        words = "found a body that can't be read; expected JSON text in UTF-8. Likeliest fix: check quotes and commas."
    return _said(words, error.status_code, dict(error.headers or {}))


def _said(words: str, status: int, headers: dict[str, str]) -> Response:
    return answered({"error": {"message": words, "problems": []}}, status, headers)


def _unread(request: Request, error: Exception) -> Response:
    """A body that is not what the question takes: every problem of it."""
    del request
    assert isinstance(error, RequestValidationError)
    found = [_problem(detail) for detail in error.errors()]
    words = "; ".join(f"{one['path']}: found {one['found']}, expected {one['expected']}" for one in found[:FEW])
    return answered({"error": {"message": f"can't be asked: {words}", "problems": found}}, 422)


def _problem(detail: dict[str, Any]) -> dict[str, str]:
    place, kind, context = detail["loc"][1:], detail["type"], detail.get("ctx") or {}
    path = ".".join(map(str, place))[:SHOWN] or "(body)"
    found = repr(detail.get("input"))
    found = found if len(found) <= SHOWN else f"{found[: SHOWN - 3]}..."
    if kind == "axlewright":
        return {"path": path, **{key: str(context[key])[:500] for key in ("found", "expected", "fix")}}
    if kind == "extra_forbidden":
        return {"path": path, "found": "an unknown name", "expected": "a name of this question", "fix": "remove it"}
    if kind == "missing":
        return {"path": path, "found": "nothing", "expected": "a value", "fix": f"add `{path}`"}
    if isinstance(detail.get("input"), bytes):
        fix = "send JSON with the header `content-type: application/json`"
        return {"path": "(body)", "found": "a body of another type", "expected": "JSON", "fix": fix}
    if kind == "json_invalid":
        said = f"JSON ({context.get('error', '')})"
        return {"path": "(body)", "found": "other text", "expected": said, "fix": "check quotes and commas"}
    if kind == "literal_error":
        choices = str(context["expected"])
        near = get_close_matches(str(detail.get("input")), choices.replace("'", "").split(", "), n=1)
        fix = f'write "{near[0]}"' if near else "choose one of these"
        return {"path": path, "found": found, "expected": choices, "fix": fix}
    expected = str(detail["msg"]).removeprefix("Input should be ").removeprefix("Value error, ")
    return {"path": path, "found": found, "expected": expected, "fix": "change the value"}
