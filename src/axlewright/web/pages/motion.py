"""Motion: a torque hit, a brake hit, a step of steering or a rough road, two or more setups side by side."""

from __future__ import annotations

from typing import Any, Literal

from fastapi import APIRouter
from fastapi.responses import JSONResponse, StreamingResponse
from pydantic import BaseModel, ConfigDict, Field

from axlewright.errors import RequestError
from axlewright.say.events import EVENTS, Input, Read, asking, read
from axlewright.say.motion import ABOUT_HITS, ABOUT_MOTION, notes
from axlewright.say.numbers import US, Units, number
from axlewright.solve.motion.run import member
from axlewright.web.answers import Answers
from axlewright.web.asked import Asked
from axlewright.web.bench import Bench, Mounted
from axlewright.web.motion.animation import animation
from axlewright.web.motion.plots import plots
from axlewright.web.motion.setups import Side, setups_of
from axlewright.web.motion.table import dampers, table
from axlewright.web.motion.ticking import ticking
from axlewright.web.page import Page
from axlewright.web.streaming import Teller, answer

KEPT = 12  # runs
EventName = Literal["drive", "brake", "steer", "road"]
SHOWN = {"speed": "m/s", "torque": "N m", "share": "%", "time": "s", "acceleration": "g"}  # unit of a kind of input


class Given(BaseModel):
    """An event and its inputs as a person wrote them."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    event: EventName
    given: dict[str, str] = Field(default={}, max_length=20)
    units: Literal["metric", "us"] = "metric"


class Moved(Asked):
    """An event that is done to several setups of the car on the bench."""

    event: EventName
    given: dict[str, str] = Field(default={}, max_length=20)
    sides: list[Side] = Field(min_length=1, max_length=50)


def page(bench: Bench, answers: Answers) -> Page:
    """The page on one bench."""
    del answers  # a run is some megabytes while it is kept, so that only the last few are
    last = Answers(KEPT)
    routes = APIRouter(prefix="/motion")

    @routes.get("/events")
    def events() -> JSONResponse:
        return JSONResponse([form(event) for event in EVENTS])

    @routes.post("/read")
    def understood(asked: Given) -> StreamingResponse:
        return answer(lambda say: read_answer(asked.event, asked.given, asked.units))

    @routes.post("/run")
    def run(asked: Moved) -> StreamingResponse:
        return answer(lambda say: last.kept("motion", asked, lambda: run_answer(bench.checked(asked), asked, say)))

    return Page("motion", "Motion", "The throttle, the brakes, the wheel or a road: what does each setup do?", routes)


def form(event: str) -> dict[str, Any]:
    """An event and what it asks for."""
    found = EVENTS[event]
    return {**found._asdict(), "inputs": [one._asdict() for one in found.inputs]}


def read_answer(event: str, given: dict[str, str], units: Units) -> dict[str, Any]:
    """What is wrong with each input, and how each was understood where it was written in another unit."""
    found = read(event, given)
    inputs = {one.id: one for one in EVENTS[event].inputs}
    said = {key: _said(inputs[key], given.get(key, ""), value, units) for key, value in found.values.items()}
    return {"problems": found.problems, "said": {key: words for key, words in said.items() if words}}


def _said(one: Input, text: str, value: float | str, units: Units) -> str:
    if isinstance(value, str) or one.kind not in SHOWN:
        return ""
    unit = US.get(SHOWN[one.kind], SHOWN[one.kind]) if units == "us" else SHOWN[one.kind]
    same = (text.strip() or one.default).endswith(unit)
    return "" if same else f"{number(value, unit)} {unit}"


def run_answer(mounted: Mounted, asked: Moved, say: Teller) -> dict[str, Any]:
    """The event done to every setup, all at once."""
    found = read(asked.event, asked.given)
    _all_read(asked.event, found)
    names, setups = setups_of(mounted.car, asked.sides)
    do = asking(asked.event, found.values)
    with ticking(say, mounted.digest, asked.event, float(found.values["seconds"]), len(names)):
        run = do(mounted.car, setups)
    runs = [(name, member(run, i)) for i, name in enumerate(names)]
    return {
        "event": run.event,
        "kind": run.kind,
        "names": names,
        **plots(runs, asked.units),
        "table": table(runs, asked.units),
        "dampers": dampers(runs),
        "axle": animation(runs),
        "notes": [{"name": name, "words": words, "stopped": stopped} for name, words, stopped in notes(runs)],
        "cautions": [ABOUT_MOTION, ABOUT_HITS],
    }


def _all_read(event: str, found: Read) -> None:
    if found.problems:
        names = {one.id: one.name for one in EVENTS[event].inputs}
        raise RequestError("; ".join(f"{names[key]}: {words}" for key, words in found.problems.items()))
