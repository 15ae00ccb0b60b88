"""What people do at the bench: move, put, take a setup, take back, keep."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from inspect import Parameter, Signature
from typing import Any

from fastapi import APIRouter
from fastapi.responses import JSONResponse
from pydantic import BaseModel, ConfigDict, Field

from axlewright.car.write import with_setup
from axlewright.errors import AxlewrightError, RequestError
from axlewright.tune.adjust import as_singles
from axlewright.web.asked import Positions
from axlewright.web.bench import Bench
from axlewright.web.live import standing
from axlewright.web.streaming import problem
from axlewright.web.warming import Warming

Who = Field(min_length=1, max_length=40, description="who moves: one name a browser")
Request = Field(default="", max_length=40, description="the same when it is sent again")


class Body(BaseModel):
    """What a person does."""

    model_config = ConfigDict(extra="forbid")
    who: str = Who
    request: str = Request


class OfCar(Body):
    """Something done to one car, by its name: a move may have waited while another was put on the bench."""

    of: str = Field(default="", max_length=80)


class Move(OfCar):
    """Steps of one adjuster."""

    adjuster: str = Field(max_length=80)
    steps: int = Field(ge=-1000, le=1000)


class Put(OfCar):
    """A position of one adjuster."""

    adjuster: str = Field(max_length=80)
    position: float = Field(allow_inf_nan=False)


class Take(Body):
    """A whole setup: what stands elsewhere than written, against which car file."""

    car: str = Field(max_length=64)
    positions: Positions
    words: str = Field(default="", max_length=120)
    first: bool = Field(default=False, description="only while nothing has been moved since the bench was started")


class Keep(Body):
    """A setup to keep by name in the car file."""

    name: str = Field(min_length=1, max_length=80)
    author: str = Field(default="", max_length=80)
    why: str = Field(default="", max_length=500)
    positions: Positions
    car: str = Field(max_length=64)
    on_car: bool = Field(default=True, description="whether this is on the car now")
    replace: bool = Field(default=False, description="whether a setup of that name may be replaced")


def router(bench: Bench, warming: Warming) -> APIRouter:
    """One address a thing to do; each answers with how the bench stands then, and with what went wrong if it did."""
    routes = APIRouter(prefix="/bench", include_in_schema=False)

    def add(path: str, kind: type[Body], do: Callable[[Any], str | None]) -> None:
        def post(body: Body) -> JSONResponse:
            try:
                words = do(body)
            except AxlewrightError as error:
                return JSONResponse({"error": problem(error), **standing(bench, warming, body.who)}, 422)
            return JSONResponse({"words": words or "", **standing(bench, warming, body.who)})

        one = Parameter("body", Parameter.POSITIONAL_OR_KEYWORD, annotation=kind)
        post.__signature__ = Signature([one])  # pyright: ignore[reportFunctionMemberAccess] what the address takes
        routes.add_api_route(path, post, methods=["POST"])

    add("/move", Move, lambda b: bench.move(b.who, b.adjuster, b.steps, b.request, b.of))
    add("/put", Put, lambda b: bench.put(b.who, b.adjuster, b.position, b.request, b.of))
    add("/take", Take, lambda b: _take(bench, b))
    add("/undo", Body, lambda b: bench.undo(b.who))
    add("/redo", Body, lambda b: bench.redo(b.who))
    add("/keep", Keep, lambda b: _kept(bench, b))
    return routes


def _take(bench: Bench, body: Take) -> None:
    if body.car != bench.digest:
        raise RequestError("found another car on the bench; expected the one these positions are for")
    bench.take(body.who, body.positions, body.words or "whole setup", body.request, first=body.first)


def _kept(bench: Bench, body: Keep) -> str:
    """Write a setup into the car file; on disk when this returns."""
    mounted = bench.mounted  # looked at once: somebody may save meanwhile, and `write` then refuses
    if body.name in mounted.car.setups and not body.replace:
        raise RequestError(
            f'found a setup named "{body.name}" in the car file already; expected a new name. '
            "Likeliest fix: choose another name, or replace it"
        )
    if body.car != mounted.digest:
        raise RequestError("found another car on the bench; expected the one this setup is of. Likeliest fix: reload")
    setup = as_singles(mounted.written, body.positions)
    now = datetime.now().astimezone().replace(microsecond=0)
    text = with_setup(mounted.text, body.name, setup, author=body.author, date=now, why=body.why, on_car=body.on_car)
    file = bench.write(text, body.car)
    return f'saved "{body.name}" in {file.name}'
