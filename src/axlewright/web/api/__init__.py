"""The HTTP JSON API: what the command line says with --json, for a team's own scripts. One question a file.

`POST /api/NAME` with the command's options as JSON; the answer is the data that `axlewright NAME --json` prints.
`/api/openapi.json` describes all of it, `/api` is a page to read and try it.
"""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Body, FastAPI, Request
from starlette.responses import HTMLResponse, Response

from axlewright.web.api import about, check, effects, hit, hold, limit, limits, modes, rest, road, steer, travel
from axlewright.web.api import range as whole
from axlewright.web.api.page import PAGE
from axlewright.web.api.question import Asked, Question
from axlewright.web.api.refusals import STATUSES, Refused, install
from axlewright.web.api.serving import Workers
from axlewright.web.api.which_car import Cars
from axlewright.web.bench import Bench

QUESTIONS = (
    check.QUESTION, rest.QUESTION, hold.QUESTION, limit.QUESTION, effects.QUESTION, travel.QUESTION, limits.QUESTION,
    whole.QUESTION, hit.QUESTION, steer.QUESTION, road.QUESTION, modes.QUESTION,
)  # fmt: skip
LISTS = (about.CARS, about.SCHEMA)
ABOUT = """What one step of each adjuster does to a race car with a live rear axle: the same answers as the command
line's, as data. Every value is SI in the unit beside it; quantities that are asked with are text with their unit, such
as "28 m/s" or "60 mph". x is forwards, y to the left, z up. Predicted by a model, not tested on this car: a direction
is fairly sure, a size is not.

Shared on a network, every request needs the access code that the terminal shows: `Authorization: Bearer CODE`."""


def api(bench: Bench) -> FastAPI:
    """The API of one bench, to be mounted at /api."""
    app = FastAPI(title="Axlewright", description=ABOUT, version="1", docs_url=None, redoc_url=None)
    install(app)
    cars, workers = Cars(bench), Workers()
    for question in QUESTIONS:
        _add(app, question, cars, workers, "POST")
    for question in LISTS:
        _add(app, question, cars, workers, "GET")
    app.add_api_route("/", _page, methods=["GET"], include_in_schema=False)
    return app


def _add(app: FastAPI, question: Question, cars: Cars, workers: Workers, method: str) -> None:
    async def ask(asked: Any) -> Response:
        def work() -> Any:
            if question.work is not None:
                return question.work(cars.car(asked), asked)
            assert question.plain is not None
            return question.plain(cars, asked)

        return await workers.answer(work)

    async def listed() -> Response:
        return await ask(Asked())

    body = Annotated[question.asked, Body(examples=[dict(question.example)])]
    ask.__annotations__ = {"asked": body, "return": Response}
    app.add_api_route(
        f"/{question.name}",
        ask if method == "POST" else listed,
        methods=[method],
        response_model=question.told,
        responses={code: {"model": Refused, "description": words} for code, words in _statuses(method).items()},
        summary=question.summary,
        description=question.about,
        operation_id=question.name,
    )


def _statuses(method: str) -> dict[int, str]:
    own = (405, 429) if method == "GET" else tuple(STATUSES)
    return {code: STATUSES[code] for code in own}


async def _page(request: Request) -> Response:
    del request
    return HTMLResponse(PAGE)
