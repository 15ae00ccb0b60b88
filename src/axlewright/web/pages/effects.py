"""Effects: what one usable step of each adjuster changes, as a grid; or of one adjuster in every phase.

A whole table of all readings is made once a setup and kept, so that another column, turn direction, place or unit is
only another look at it. The quick table comes first, then the same with how sure each direction is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, Literal

from fastapi import APIRouter
from fastapi.responses import JSONResponse, StreamingResponse
from pydantic import BaseModel, ConfigDict, Field

from axlewright.car.schema import Car
from axlewright.errors import known
from axlewright.readings import Reading, readings_of
from axlewright.readings.margin import MARGIN
from axlewright.say.cautions import ABOUT_NUMBERS, BY_DEGREES
from axlewright.say.effects import adjusters_cautions, sharpen_words
from axlewright.say.search_words import search_text
from axlewright.solve.verbs import machine_of
from axlewright.tune.choose import within
from axlewright.tune.effects import PUT_RIGHT, Effects, effects
from axlewright.web.answers import Answers
from axlewright.web.asked import Asked
from axlewright.web.bench import Bench
from axlewright.web.effects_grid import grid
from axlewright.web.page import Page
from axlewright.web.streaming import Teller, answer, plain

FIRST = (
    "balance", "margin", "grip_left_front", "grip_left_rear", "vehicle_roll", "inside_rear_load", "inside_front_load",
    "anti_squat",
)  # fmt: skip
"""Columns until a person chooses: what is felt, what runs out, and what the axle's links change."""
MOST_COLUMNS = 24


class EffectsAsked(Asked):
    """A question about one phase, or about one adjuster in all phases."""

    phase: str = Field(default="", max_length=80)
    turn: Literal["left", "right", "straight"] = "left"
    adjuster: str = Field(default="", max_length=80, description="this one in all phases, instead of one phase")
    readings: list[str] = Field(default=[], max_length=MOST_COLUMNS, description="columns; none for the usual ones")
    place: Literal["grid", "pits", "scales", "workshop"] | None = None
    minutes: float | None = Field(default=None, ge=0.0, le=10_000.0)


class Whole(BaseModel):
    """What a whole table depends on."""

    model_config = ConfigDict(frozen=True)

    car: str
    positions: dict[str, float]
    phases: list[str]
    adjusters: list[str]
    costly: list[str]


def page(bench: Bench, answers: Answers) -> Page:
    """The page on one bench."""
    routes = APIRouter(prefix="/effects")

    @routes.post("/table")
    def table(asked: EffectsAsked) -> StreamingResponse:
        return answer(lambda say: table_answer(bench.car(asked), asked, answers, say))

    @routes.post("/readings")
    def readings(asked: Asked) -> JSONResponse:
        return JSONResponse({"answer": plain(readings_answer(bench.car(asked)))})

    return Page("effects", "Effects", "What does one step of each adjuster change?", routes)


def table_answer(car: Car, asked: EffectsAsked, answers: Answers, say: Teller) -> Mapping[str, Any]:
    """The grid that is asked for; the quick one is told on the way."""
    whole = _whole(car, asked)
    if not answers.has("effects, sure", whole):
        quick = answers.kept("effects", whole, lambda: _quick(car, whole, say))
        say.part({**shown_of(car, quick, asked), "sure": False})
    sure = answers.kept("effects, sure", whole, lambda: _sure(car, whole, answers, say))
    return {**shown_of(car, sure, asked), "sure": True}


def shown_of(car: Car, table: Effects, asked: EffectsAsked) -> dict[str, Any]:
    """What is shown of a whole table."""
    place, minutes = (None, None) if asked.adjuster else (asked.place, asked.minutes)
    adjusters = within(car, (), place, minutes) or [*table.adjusters]
    phases = range(len(table.phases)) if asked.adjuster else [_turned(table, asked.turn)]
    who = adjusters_cautions({key: table.adjusters[key] for key in adjusters})
    return {
        **grid(table, phases, asked.readings or FIRST, adjusters, asked.units),
        "sharpen": sharpen_words(table.sharpen),
        "cautions": [ABOUT_NUMBERS, BY_DEGREES],
        "own_cautions": [{"text": text, "adjusters": ids} for text, ids in who.items()],
    }


def readings_answer(car: Car) -> list[dict[str, Any]]:
    """What can be a column: what is felt or printed first, then detail, then what takes longer."""
    every = _readings(car)
    order = sorted(every.values(), key=lambda r: (r.id not in FIRST, r.detail, r.costly))
    return [
        {"id": r.id, "name": r.name, "detail": r.detail, "costly": r.costly, "search": search_text(r.name, r.id)}
        for r in order
    ]


def _readings(car: Car) -> dict[str, Reading]:
    every = {MARGIN.id: MARGIN} | readings_of(machine_of(car))
    return {key: r for key, r in every.items() if r.held}


def _whole(car: Car, asked: EffectsAsked) -> Whole:
    every = _readings(car)
    known("reading", asked.readings, every)
    return Whole(
        car=asked.car,
        positions=asked.positions,
        phases=[] if asked.adjuster else [asked.phase],
        adjusters=[asked.adjuster] if asked.adjuster else [],
        costly=sorted(r for r in asked.readings if every[r].costly),
    )


def _quick(car: Car, whole: Whole, say: Teller) -> Effects:
    return effects(**_request(car, whole), confidence=False, progress=say)


def _sure(car: Car, whole: Whole, answers: Answers, say: Teller) -> Effects:
    """The quick table's rows that are put right stand beside the others with how sure they are: they get no words."""
    quick = answers.kept("effects", whole, lambda: _quick(car, whole, say))
    sure = effects(**_request(car, whole), restored=False, confidence=True, progress=say)
    return replace(sure, rows=(*sure.rows, *(row for row in quick.rows if row.kind == PUT_RIGHT)))


def _request(car: Car, whole: Whole) -> dict[str, Any]:
    usual = [r.id for r in _readings(car).values() if not r.costly]
    readings: Sequence[str] | None = [*usual, *whole.costly] if whole.costly else None
    return {"car": car, "phases": whole.phases, "adjusters": whole.adjusters, "readings": readings}


def _turned(table: Effects, turn: str) -> int:
    """Place of the asked turn direction among the table's; the only one where the phase has no direction."""
    turns = [held.turn for held in table.phases]
    return turns.index(turn) if turn in turns else 0
