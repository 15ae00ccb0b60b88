"""Car: the car file as a form and as text, checked as it is typed, and put on disk when it is whole.

A draft lives in the browser. Nothing that a request says reaches the file system but the text itself: files are chosen
by their number in a list that is made here, and a new file is named after its car.
"""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any, NamedTuple

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response, StreamingResponse
from pydantic import BaseModel, ConfigDict, Field

from axlewright.car.check import check_text
from axlewright.car.file import DEMO_CARS, LARGEST, decoded, parse, read
from axlewright.car.starter import FRONT, RANGES, REAR, SIDEWAYS, layouts, starter_text
from axlewright.car.write import car_files, file_name, write_new
from axlewright.errors import CarFileError, RequestError
from axlewright.web.answers import Answers
from axlewright.web.bench import Bench, digest
from axlewright.web.draft import changed, differences, look
from axlewright.web.page import Page
from axlewright.web.streaming import answer, plain

Text = Field(max_length=LARGEST, description="text of a car file")
Opened = Field(default=[], max_length=200, description="tables that are not in the file and are shown all the same")


class Body(BaseModel):
    """What a request says, and nothing else."""

    model_config = ConfigDict(extra="forbid")


class Draft(Body):
    """A text to look at."""

    text: str = Text
    opened: list[str] = Opened


class Change(Draft):
    """One field of the form, as it was typed."""

    path: str = Field(min_length=1, max_length=400)
    said: str = Field(max_length=10_000)


class Save(Body):
    """A text to write. `was`: digest of the text that the draft began from, or of the one that is to be replaced."""

    text: str = Text
    was: str = Field(max_length=64)


class SaveNew(Body):
    """A text to write as a car file of its own."""

    text: str = Text


class New(Body):
    """A starter, as `axlewright new` makes it."""

    name: str = Field(default="my car", min_length=1, max_length=80)
    front: str = Field(default=FRONT, max_length=40)
    rear: str = Field(default=REAR, max_length=40)
    sideways: str | None = Field(default=None, max_length=40)
    wheelbase: str | None = Field(default=None, max_length=40)
    track: str | None = Field(default=None, max_length=40)
    wheel_radius: str | None = Field(default=None, max_length=40)


class Choice(Body):
    """One car of a list that was sent: by its number, and the list's own digest, so that no other is meant."""

    listed: str = Field(max_length=64)
    number: int = Field(ge=0, le=10_000)


class Listed(NamedTuple):
    """A car that can be put on the bench."""

    name: str
    kind: str  # demo car, or car file
    source: str | Path


def page(bench: Bench, answers: Answers) -> Page:
    """The page on one bench."""
    del answers  # a draft is looked at once
    routes = APIRouter(prefix="/car")
    _on_drafts(routes)
    _on_new_drafts(routes, bench)
    _on_files(routes, bench)
    return Page("car", "Car", "What is the car, in its own file?", routes)


def _on_drafts(routes: APIRouter) -> None:
    """Questions about a text, which touch nothing."""

    @routes.post("/look")
    def looked(asked: Draft) -> StreamingResponse:
        return answer(lambda say: look(asked.text, asked.opened))

    @routes.post("/change")
    def change(asked: Change) -> StreamingResponse:
        return answer(lambda say: {"text": changed(asked.text, asked.path, asked.said, asked.opened)})


def _on_new_drafts(routes: APIRouter, bench: Bench) -> None:
    """Where a draft may come from."""

    @routes.post("/stored")
    def stored() -> JSONResponse:
        return _answer(_stored(bench))

    @routes.post("/import")
    async def imported(request: Request) -> JSONResponse:
        return _answer({"text": decoded(await _body(request), "the file")})

    @routes.post("/starters")
    def starters() -> JSONResponse:
        kinds = {kind: layouts(kind) for kind in ("front", "rear", "sideways")}
        usual = {"front": FRONT, "rear": REAR, "sideways": SIDEWAYS}
        sizes = {key.replace(" ", "_"): f"{low} to {high}" for key, (low, high) in RANGES.items()}
        return _answer({"layouts": kinds, "usual": usual, "sizes": sizes})

    @routes.post("/new")
    def new(asked: New) -> JSONResponse:
        sizes = (one or None for one in (asked.wheelbase, asked.track, asked.wheel_radius))
        return _answer({"text": starter_text(asked.name, asked.front, asked.rear, asked.sideways or None, *sizes)})

    @routes.post("/copy")
    def copy(asked: Choice) -> JSONResponse:
        chosen = _chosen(bench, asked)
        return _answer({"text": read(chosen.source), "name": chosen.name})


def _on_files(routes: APIRouter, bench: Bench) -> None:
    """What writes, reads or chooses files."""

    @routes.get("/export")
    def export() -> Response:
        return _download(bench)

    @routes.post("/save")
    def save(asked: Save) -> JSONResponse:
        return _answer(_saved(bench, asked))

    @routes.post("/save-new")
    def save_new(asked: SaveNew) -> JSONResponse:
        car = parse(asked.text, "draft")
        return _answer({"file": write_new(bench.folder, file_name(car.name), asked.text).name})

    @routes.post("/list")
    def listing() -> JSONResponse:
        cars = _cars(bench)
        named = [{"name": one.name, "kind": one.kind, "on": _is_on(bench, one)} for one in cars]
        return _answer({"listed": _list_digest(cars), "cars": named})

    @routes.post("/put-on")
    def put_on(asked: Choice) -> JSONResponse:
        chosen = _chosen(bench, asked)
        bench.open(chosen.source)
        return _answer({"name": chosen.name, **_stored(bench)})


def _answer(found: dict[str, Any]) -> JSONResponse:
    return JSONResponse({"answer": plain(found)})


def _stored(bench: Bench) -> dict[str, Any]:
    mounted = bench.mounted
    return {
        "text": mounted.text, "digest": mounted.digest, "file": mounted.file.name if mounted.file else "",
        "becomes": "" if mounted.file else f"{mounted.source}.toml",
    }  # fmt: skip


async def _body(request: Request) -> bytes:
    """A file that was chosen or dropped: no more of it is read than a car file may have."""
    kept = bytearray()
    async for piece in request.stream():
        kept += piece
        if len(kept) > LARGEST:
            break
    return bytes(kept)


def _download(bench: Bench) -> Response:
    """The text exactly as it is stored."""
    name = bench.file.name if bench.file else f"{bench.mounted.source}.toml"
    safe = file_name(name.removesuffix(".toml"))
    headers = {"Content-Disposition": f'attachment; filename="{safe}.toml"'}
    return Response(bench.text.encode(), media_type="application/toml", headers=headers)


def _saved(bench: Bench, asked: Save) -> dict[str, Any]:
    """Written, or what stands in the way: problems, or another text on disk by now with what differs."""
    report = check_text(asked.text, "draft")
    if not report.ok:
        raise CarFileError(report.problems, "draft")
    theirs = bench.on_disk
    if digest(theirs) != asked.was:
        return {
            "conflict": {
                "text": theirs, "digest": digest(theirs), "file": bench.file.name if bench.file else "",
                "differences": differences(theirs, asked.text),
            }
        }  # fmt: skip
    file = bench.write(asked.text, asked.was)
    return {"file": file.name, "digest": bench.digest}


def _cars(bench: Bench) -> list[Listed]:
    demo = [Listed(name, "demo car", name) for name in DEMO_CARS]
    return [*demo, *(Listed(file.name, "car file", file) for file in car_files(bench.folder))]


def _is_on(bench: Bench, one: Listed) -> bool:
    return one.source == bench.file if isinstance(one.source, Path) else one.source == bench.mounted.source


def _list_digest(cars: list[Listed]) -> str:
    return hashlib.sha256("\n".join(str(one.source) for one in cars).encode()).hexdigest()[:16]


def _chosen(bench: Bench, asked: Choice) -> Listed:
    cars = _cars(bench)
    if asked.listed != _list_digest(cars) or asked.number >= len(cars):
        raise RequestError("found that the list of cars has changed meanwhile; expected the one shown. "
                           "Likeliest fix: look at the list again")  # fmt: skip
    return cars[asked.number]
