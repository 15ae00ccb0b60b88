"""Adjust: every adjuster by where it sits on the car, and what the setup as it stands now does in one phase.

Three questions, so that what is wanted first comes first: the state (a tenth of a second), the way to the limit, and
how sure the balance is. Each has its own address under `/adjust`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cached_property, lru_cache
from typing import Any, Literal

import numpy as np
from fastapi import APIRouter
from fastapi.responses import JSONResponse, StreamingResponse
from pydantic import Field

from axlewright.car.adjusters import CAUTIONS, Adjuster
from axlewright.car.adjusters.hand import said
from axlewright.car.describe import describe
from axlewright.car.describe.room import Room, room_of
from axlewright.readings import Reading, readings_of, states
from axlewright.readings.clearances import margins
from axlewright.readings.margin import MARGIN
from axlewright.say.cautions import ABOUT_NUMBERS, BY_DEGREES
from axlewright.say.numbers import Units, direction, number, unit_of
from axlewright.say.states import worth_a_line
from axlewright.solve.limit import limit
from axlewright.solve.machine import Machine
from axlewright.solve.phases import HeldPhase
from axlewright.solve.results import Result
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import machine_of
from axlewright.tune.beside import Doubts, hold_beside
from axlewright.tune.choose import chosen_phases
from axlewright.tune.export import is_change, sentence
from axlewright.tune.put_right import put_right
from axlewright.tune.runs_out import NEAR, SMALLEST
from axlewright.tune.work_order import Work, work_order
from axlewright.units import GRAVITY
from axlewright.web.answers import Answers
from axlewright.web.asked import Asked
from axlewright.web.bench import Bench, Mounted
from axlewright.web.page import Page
from axlewright.web.streaming import Teller, answer, plain

BALANCE = "balance"
SAVED, NOW = 0, 1  # members of every batch
WHEELS = ("LF", "RF", "LR", "RR")
LEAST_TURNS = 0.02  # counts of a restoring move; less is not a move that a hand can make


class Phased(Asked):
    """A question about one phase."""

    phase: str = Field(max_length=80)
    turn: Literal["left", "right", "straight"] = "left"
    right: bool = Field(default=False, description="put right: the restoring moves are made too")


def page(bench: Bench, answers: Answers) -> Page:
    """The page on one bench."""
    routes = APIRouter(prefix="/adjust")

    @routes.post("/state")
    def state(asked: Phased) -> StreamingResponse:
        return answer(lambda say: answers.kept("state", asked, lambda: state_answer(bench.checked(asked), asked)))

    @routes.post("/limit")
    def limits(asked: Phased) -> StreamingResponse:
        return answer(lambda say: answers.kept("limit", asked, lambda: limit_answer(bench.checked(asked), asked, say)))

    @routes.post("/sure")
    def sure(asked: Phased) -> StreamingResponse:
        return answer(lambda say: answers.kept("sure", asked, lambda: sure_answer(bench.checked(asked), asked)))

    @routes.post("/work")
    def work(asked: Asked) -> JSONResponse:
        return JSONResponse(plain(work_answer(bench.checked(asked), asked)))

    return Page("adjust", "Adjust", "One step of this: what changes, and what else?", routes)


class Look:
    """Two setups beside each other in one phase: the one compared with, and the one that stands now."""

    def __init__(self, mounted: Mounted, asked: Phased) -> None:
        self.machine: Machine = machine_of(mounted.car)
        self.asked, self.mounted = asked, mounted
        self.base = mounted.standing(asked.base)
        self.now = mounted.standing(asked.positions)
        self.phase: HeldPhase = chosen_phases(mounted.car, [asked.phase], (asked.turn,))[0]
        moved = {
            key: a.position for key, a in self.now.items() if not a.made_of and a.position != self.base[key].position
        }
        self.moves: Mapping[str, float] = {}
        self.note = ""
        if asked.right and moved:
            codes = tuple(dict.fromkeys(c for job in self.work.jobs for c in self.base[job.adjuster].rezero))
            done = put_right(self.machine, self.base, [moved], [codes])
            self.moves = {key: counts for key, counts in done.moves[0].items() if abs(counts) >= LEAST_TURNS}
            self.note = "" if done.settled[0] else "the restoring moves do not bring everything back"
            free = {key: _free(a) if key in done.moves[0] else a for key, a in self.base.items()}
            self.setups, self.adjusters = [{}, done.setups[0]], free
        else:
            self.setups, self.adjusters = [{}, moved], self.base

    @cached_property
    def work(self) -> Work:
        """What there is to do from the one to the other."""
        return work_order(self.base, self.now)

    @cached_property
    def held(self) -> Solved:
        """Both, held."""
        return hold_beside(self.machine, self.adjusters, self.setups, self.phase)


def _free(adjuster: Adjuster) -> Adjuster:
    """Restoring moves are told even where they would leave the range, with a note."""
    return replace(adjuster, lo=-np.inf, hi=np.inf)


def state_answer(mounted: Mounted, asked: Phased) -> dict[str, Any]:
    """The state now beside the one compared with."""
    look = Look(mounted, asked)
    held, units, phase = look.held, asked.units, look.phase.phase
    every = [r for r in readings_of(look.machine).values() if r.held and not r.costly and not r.detail]
    values = {r.id: np.asarray(r.read(held), dtype=float) for r in every}
    words, others = worth_a_line(states(held, NOW))
    before = states(held, SAVED)
    return {
        "phase": look.phase.name,
        "words": f"ax {phase.ax}, ay {phase.ay}, {phase.speed}, {phase.effort}",
        "problems": [sentence(held.result[i]) if held.result[i] != Result.SOLVED else "" for i in (SAVED, NOW)],
        "readings": [row(r, values[r.id], units) for r in every],
        "tyres": [
            {"wheel": w, **{f"{k}": row(by, values[by.id], units) for k, by in _of_wheel(every, w).items()},
             "word": states(held, NOW).get(w, "")}
            for w in WHEELS
        ],
        "states": [one._asdict() for one in words],
        "changed": [
            {"part": path.replace(".", " ").replace("_", " "), "before": before[path], "now": now}
            for path, now in states(held, NOW).items()
            if before.get(path, now) != now
        ],
        "others": others,

        "restoring": [_restoring(look.base[key], counts) for key, counts in look.moves.items()],
        "note": look.note,
        "cautions": [ABOUT_NUMBERS, BY_DEGREES],
    }  # fmt: skip


def _of_wheel(readings: list[Reading], wheel: str) -> dict[str, Reading]:
    by = {r.id: r for r in readings}
    wanted = {"load": f"tyre_load_{wheel}", "use": f"longitudinal_use_{wheel}"}
    return {key: by[name] for key, name in wanted.items() if name in by}


def _restoring(adjuster: Adjuster, counts: float) -> dict[str, Any]:
    a, to = adjuster, adjuster.position + counts
    outside = not a.lo <= to <= a.hi
    return {
        "adjuster": a.id,
        "name": a.name,
        "counts": counts,
        "unit": a.unit,
        "position": to,
        "to": said(round(to, 2), a.unit),
        "outside": outside,
    }


def row(reading: Reading, value: np.ndarray, units: Units) -> dict[str, Any]:
    """One reading of both setups: texts in the person's units, SI beside them for what is drawn."""
    unit = unit_of(reading, units)
    change = float(value[NOW] - value[SAVED])
    moved = is_change(reading, change) and np.isfinite(change)
    return {
        "id": reading.id, "name": reading.name, "unit": unit, "si": value.tolist(),
        "saved": number(value[SAVED], unit), "now": number(value[NOW], unit),
        "change": number(change, unit, change=True) if moved else "0" if np.isfinite(change) else "-",
        "words": direction(reading, change, units) if moved else "",
        "felt": bool(reading.felt == 0.0 or abs(change) >= reading.felt), "feel": reading.felt > 0.0,
    }  # fmt: skip


def near(mounted: Mounted, held: Solved, units: Units) -> list[dict[str, Any]]:
    """What is near its end or used up in this state, least left first."""
    assert held.rest is not None
    found, room = [], _room(mounted)
    for margin, at_rest in zip(margins(held, room), margins(held.rest, room), strict=True):
        value = np.asarray(margin.value, dtype=float)
        left, was = float(value[NOW]), float(value[SAVED])
        whole = float(at_rest.value[NOW]) if margin.whole is None else float(margin.whole)
        share = left / max(whole, SMALLEST[margin.unit])
        if left < 0.0 or share < NEAR:
            unit = ("in" if units == "us" else "mm") if margin.unit == "m" else "deg"
            word = margin.used_up if left < 0.0 else "near"
            found.append({"name": margin.name, "word": word, "left": f"{number(left, unit)} {unit}",
                          "was": f"{number(was, unit)} {unit}", "bad": left < 0.0, "share": share})  # fmt: skip
    return sorted(found, key=lambda one: one["share"])


@lru_cache(maxsize=4)
def _room(mounted: Mounted) -> Room:
    return room_of(mounted.car, *describe(mounted.car))


def limit_answer(mounted: Mounted, asked: Phased, say: Teller) -> dict[str, Any]:
    """How far both can be pushed along the phase's own direction, what runs out there, and what is near its end."""
    say("walking to the limit", 0, 1)
    look = Look(mounted, asked)
    found = limit(look.held)
    return {
        "margin": row(MARGIN, found.margin, asked.units),
        "runs_out": [str(word) for word in found.ran_out],
        "near": near(mounted, look.held, asked.units),
    }


def sure_answer(mounted: Mounted, asked: Phased) -> dict[str, Any]:
    """How well the balance and its change are known, in g: one tolerance of all that is not well known."""
    look = Look(mounted, asked)
    reading = readings_of(look.machine)[BALANCE]
    value = np.asarray(reading.read(look.held), dtype=float)
    doubts = _doubts(mounted)
    alone, between, measure = doubts.between(look.adjusters, look.setups, look.phase, reading, value)
    change = abs(float(value[NOW] - value[SAVED]))
    known = bool(doubts.known)
    word = "sure" if change > 2.0 * between else "likely" if change > between else "not known"
    return {
        "range": alone[NOW] / GRAVITY if known else None,
        "range_text": number(float(alone[NOW]), "g") if known else "",
        "change_range": number(between, "g") if known else "",
        "direction": word if known and is_change(reading, change) else "",
        "measure": measure,
        "known": known,
    }


@lru_cache(maxsize=4)
def _doubts(mounted: Mounted) -> Doubts:
    return Doubts(mounted.car, machine_of(mounted.car))


def work_answer(mounted: Mounted, asked: Asked) -> dict[str, Any]:
    """The moves so far as work: merged, in order, with their cautions, re-checks and elapsed minutes."""
    work = work_order(mounted.standing(asked.base), mounted.standing(asked.positions))
    cautions = dict.fromkeys(code for job in work.jobs for code in job.cautions)
    return {
        "jobs": [
            {**job._asdict(), "from": said(job.before, job.unit), "to": said(job.after, job.unit)} for job in work.jobs
        ],
        "looks": [look._asdict() for look in work.looks],
        "alone": work.alone,
        "together": work.together,
        "cautions": [CAUTIONS[code] for code in cautions],
    }  # fmt: skip
