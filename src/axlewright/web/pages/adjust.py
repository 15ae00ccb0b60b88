"""Adjust: every adjuster by where it sits on the car, and what the setup as it stands now does in one phase.

Three questions, so that what is wanted first comes first: the state (a tenth of a second), the way to the limit, and
how sure the balance is. Each has its own address under `/adjust`.
"""

from __future__ import annotations

from functools import cached_property, lru_cache
from typing import Any, Literal

import numpy as np
from fastapi import APIRouter
from fastapi.responses import JSONResponse, StreamingResponse
from pydantic import Field

from axlewright.car.adjusters import CAUTIONS, Adjuster
from axlewright.car.adjusters.hand import said
from axlewright.car.adjusters.setup import Setup
from axlewright.car.describe import describe
from axlewright.car.describe.room import Room, room_of
from axlewright.readings import Reading, readings_of, states
from axlewright.readings.clearances import margins
from axlewright.readings.margin import MARGIN
from axlewright.say.cautions import ABOUT_NUMBERS, BY_DEGREES
from axlewright.say.effects import LEAST_TURNS
from axlewright.say.numbers import Units, direction, number, unit_of
from axlewright.say.states import part_name, worth_a_line
from axlewright.solve.limit import Limit, limit
from axlewright.solve.machine import Machine
from axlewright.solve.phases import WHEELS, HeldPhase
from axlewright.solve.results import Result
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import machine_of
from axlewright.tune.adjust import freed
from axlewright.tune.beside import Doubts, hold_beside
from axlewright.tune.choose import chosen_phases
from axlewright.tune.export import is_change, sentence
from axlewright.tune.put_right import put_right
from axlewright.tune.runs_out import NEAR, SMALLEST
from axlewright.tune.sure import how_sure
from axlewright.tune.work_order import Work, work_order
from axlewright.units import GRAVITY
from axlewright.web.answers import Answers
from axlewright.web.asked import Asked
from axlewright.web.bench import Bench, Mounted
from axlewright.web.page import Page
from axlewright.web.streaming import Teller, answer, plain

BALANCE = "balance"
SAVED, NOW = 0, 1  # of both, in this order


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
        self.base = mounted.standing(asked.base)
        self.after = mounted.standing(asked.positions)
        self.phase: HeldPhase = chosen_phases(mounted.car, [asked.phase], (asked.turn,))[0]
        self.saved = _saved(mounted, frozenset(asked.base.items()), asked.phase, asked.turn)
        singles = {key: a for key, a in self.after.items() if not a.made_of}
        moved = {key: a.position for key, a in singles.items() if a.position != self.base[key].position}
        self.setups, self.adjusters, self.moves, self.note = [{}, moved], self.base, dict[str, float](), ""
        if asked.right and moved:
            self._put_right(moved)

    def _put_right(self, moved: Setup) -> None:
        codes = tuple(dict.fromkeys(c for job in self.work.jobs for c in self.base[job.adjuster].rezero))
        done = put_right(self.machine, self.base, [moved], [codes])
        self.moves = {key: counts for key, counts in done.moves[0].items() if abs(counts) >= LEAST_TURNS}
        self.note = "" if done.settled[0] else "the restoring moves do not bring everything back"
        self.setups = [{}, done.setups[0]]
        self.adjusters = freed(self.base, done.moves[0])

    @cached_property
    def work(self) -> Work:
        """What there is to do from the one to the other."""
        return work_order(self.base, self.after)

    @cached_property
    def now(self) -> Solved:
        """What stands now, held."""
        return hold_beside(self.machine, self.adjusters, self.setups[NOW], self.phase)

    def read(self, reading: Reading) -> np.ndarray:
        """Of both, (2,) SI."""
        return np.array([float(reading.read(held)[0]) for held in (self.saved, self.now)])


@lru_cache(maxsize=32)
def _saved(mounted: Mounted, base: frozenset[tuple[str, float]], phase: str, turn: str) -> Solved:
    """The setup that others are compared with; kept, since every tap asks for it."""
    held = chosen_phases(mounted.car, [phase], (turn,))[0]
    return hold_beside(machine_of(mounted.car), mounted.standing(dict(base)), {}, held)


@lru_cache(maxsize=32)
def _limit_of_saved(mounted: Mounted, base: frozenset[tuple[str, float]], phase: str, turn: str) -> Limit:
    return limit(_saved(mounted, base, phase, turn))


def state_answer(mounted: Mounted, asked: Phased) -> dict[str, Any]:
    """The state now beside the one compared with."""
    look = Look(mounted, asked)
    units, phase = asked.units, look.phase.phase
    every = [r for r in readings_of(look.machine).values() if r.held and not r.costly and not r.detail]
    values = {r.id: look.read(r) for r in every}
    before, after = states(look.saved, 0), states(look.now, 0)
    words, others = worth_a_line(after)
    return {
        "phase": look.phase.name,
        "words": f"ax {phase.ax}, ay {phase.ay}, {phase.speed}, {phase.effort}",
        "problems": [
            "" if held.result[0] == Result.SOLVED else sentence(held.result[0]) for held in (look.saved, look.now)
        ],
        "readings": [row(r, values[r.id], units) for r in every],
        "tyres": [
            {"wheel": w, **{k: row(by, values[by.id], units) for k, by in _of_wheel(every, w).items()},
             "word": after.get(w, "")}
            for w in WHEELS
        ],
        "states": [one._asdict() for one in words],
        "changed": [
            {"part": part_name(path), "before": before[path], "now": now}
            for path, now in after.items()
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


def near(mounted: Mounted, look: Look, units: Units) -> list[dict[str, Any]]:
    """What is near its end or used up in this state, least left first."""
    assert look.now.rest is not None
    found, room = [], _room(mounted)
    every = (margins(held, room) for held in (look.saved, look.now, look.now.rest))
    for was, now, at_rest in zip(*every, strict=True):
        left = float(now.value[0])
        whole = float(at_rest.value[0]) if now.whole is None else float(now.whole)
        share = left / max(whole, SMALLEST[now.unit])
        if left < 0.0 or share < NEAR:
            unit = ("in" if units == "us" else "mm") if now.unit == "m" else "deg"
            word = now.used_up if left < 0.0 else "near"
            texts = {"left": f"{number(left, unit)} {unit}", "was": f"{number(float(was.value[0]), unit)} {unit}"}
            found.append({"name": now.name, "word": word, **texts, "bad": left < 0.0, "share": share})
    return sorted(found, key=lambda one: one["share"])


@lru_cache(maxsize=4)
def _room(mounted: Mounted) -> Room:
    return room_of(mounted.car, *describe(mounted.car))


def limit_answer(mounted: Mounted, asked: Phased, say: Teller) -> dict[str, Any]:
    """How far both can be pushed along the phase's own direction, what runs out there, and what is near its end."""
    say("walking to the limit", 0, 1)
    look = Look(mounted, asked)
    saved = _limit_of_saved(mounted, frozenset(asked.base.items()), asked.phase, asked.turn)
    both = saved, limit(look.now)
    return {
        "margin": row(MARGIN, np.array([float(found.margin[0]) for found in both]), asked.units),
        "runs_out": [str(found.ran_out[0]) for found in both],
        "near": near(mounted, look, asked.units),
    }


def sure_answer(mounted: Mounted, asked: Phased) -> dict[str, Any]:
    """How well the balance and its change are known, in g: one tolerance of all that is not well known."""
    look = Look(mounted, asked)
    reading = readings_of(look.machine)[BALANCE]
    value = look.read(reading)
    doubts = _doubts(mounted)
    alone, between, measure = doubts.between(look.adjusters, look.setups, look.phase, reading, value)
    change, known = float(value[NOW] - value[SAVED]), bool(doubts.known)
    word = str(how_sure(np.array(change), np.array(between)))
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
