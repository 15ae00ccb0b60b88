"""An effects table as the grid that the page shows: rows are steps, columns readings, every number already in words.

A row is one step of one adjuster in one phase and turn direction; a cell says the change as text, in SI, in words, how
sure its direction is, and whether a driver could feel it; None is no change, which `none` says.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from typing import Any

import numpy as np

from axlewright.car.adjusters import CAUTIONS, Adjuster
from axlewright.readings import Reading
from axlewright.say.effects import (
    BALANCE,
    LEAST_TURNS,
    MARKS,
    NO_CHANGE,
    NOTHING,
    SURENESS,
    change_number,
    change_words,
    counted_words,
    held_words,
    is_felt,
    move_words,
    phase_words,
    range_words,
    recheck_words,
    restoring_words,
)
from axlewright.say.numbers import Units, shown, unit_of
from axlewright.say.search_words import search_text
from axlewright.solve.results import Result
from axlewright.tune.adjust import usable_moves
from axlewright.tune.effects import AS_TURNED, PUT_RIGHT, Effects, Row
from axlewright.tune.export import is_change, plain, sentence

Data = dict[str, Any]
FULL_BAR = 3  # a full bar is the third largest change: one or two steps that dwarf all others would hide them


def grid(
    table: Effects, phases: Sequence[int], readings: Sequence[str], adjusters: Collection[str], units: Units
) -> Data:
    """The grid of some phases (places in the table), readings and adjusters of a table."""
    columns = [[r.id for r in table.readings].index(name) for name in readings]
    keys = [key for key in table.adjusters if key in adjusters]
    rows = {(row.adjuster, row.steps, row.kind): row for row in table.rows}
    return {
        "columns": [
            _column(table, i, head, phases, units) for i, head in zip(columns, heads(table, columns), strict=True)
        ],
        "phases": [_phase(table, i, columns, units) for i in phases],
        "adjusters": {key: _adjuster(table.adjusters[key]) for key in keys},
        "rows": [
            _line(table, rows[key, way, kind], p, columns, units)
            for p in phases
            for key in keys
            for way in (1, -1)
            for kind in (AS_TURNED, PUT_RIGHT)
            if (key, way, kind) in rows
        ],
        "none": {"text": NOTHING, "value": 0.0, "words": NO_CHANGE, "mark": "", "sure": "", "felt": False},
        "absent": [one for key in keys for one in _absent(table, table.adjusters[key])],
    }


def heads(table: Effects, columns: Sequence[int]) -> list[str]:
    """A short heading of each column: what stands before the comma, where that is enough to tell it apart."""
    times = Counter(_first(reading) for reading in table.readings)
    asked = [table.readings[i] for i in columns]
    return [_first(reading) if times[_first(reading)] == 1 else reading.name for reading in asked]


def _first(reading: Reading) -> str:
    return reading.name.split(",")[0]


def _column(table: Effects, i: int, head: str, phases: Sequence[int], units: Units) -> Data:
    reading = table.readings[i]
    return {
        "id": reading.id,
        "head": head,
        "name": reading.name,
        "unit": unit_of(reading, units),
        "more": reading.more,
        "less": reading.less,
        "felt": reading.felt or None,
        "felt_words": f"felt from {shown(reading, reading.felt, units)}, a rule of thumb" if reading.felt else "",
        "full": full_bar(table, i, phases),
        "lead": reading.id == BALANCE,
    }


def full_bar(table: Effects, i: int, phases: Sequence[int]) -> float:
    """Size of the change that fills a bar, SI: the third largest that any adjuster makes, twice the felt size or more.

    The floor keeps a table of steps too small to feel from looking like one that matters.
    """
    sizes: dict[str, float] = {}
    for row in table.rows:
        if row.kind == AS_TURNED:
            changes = np.abs(row.change[list(phases), i])
            largest = float(np.where(np.isfinite(changes), changes, 0.0).max())
            sizes[row.adjuster] = max(sizes.get(row.adjuster, 0.0), largest)
    ordered = sorted(sizes.values(), reverse=True)[:FULL_BAR]
    floor = 2 * table.readings[i].felt or table.readings[i].smallest
    return max(ordered[-1] if ordered else 0.0, floor, float(np.finfo(float).tiny))


def _adjuster(adjuster: Adjuster) -> Data:
    """What a row says of its adjuster, and all that it is found by."""
    return {
        "name": adjuster.name,
        "group": adjuster.group,
        "place": adjuster.place,
        "minutes": adjuster.minutes,
        "minutes_words": f"{adjuster.minutes:g}",
        "step": f"{adjuster.step:g} {adjuster.unit}",
        "position": adjuster.position,
        "now": range_words(adjuster),
        "moves": {
            str(way): move_words(adjuster, step) for way, step in zip((1, -1), usable_moves(adjuster), strict=True)
        },
        "counted": counted_words(adjuster),
        "recheck": recheck_words(adjuster),
        "cautions": [{"name": name, "text": CAUTIONS[name]} for name in adjuster.cautions],
        "rezero": bool(adjuster.rezero),
        "search": search_text(adjuster.name, adjuster.family, adjuster.group, adjuster.place, adjuster.id),
    }


def _absent(table: Effects, adjuster: Adjuster) -> list[Data]:
    """Why a step up, a step down, or (0) both are not there."""
    if adjuster.acts != "held":
        return [{"adjuster": adjuster.id, "steps": 0, "reason": reason} for reason in table.ends[adjuster.id]]
    steps = zip((1, -1), usable_moves(adjuster), strict=True)
    return [{"adjuster": adjuster.id, "steps": way, "reason": s.reason} for way, s in steps if s.position is None]


def _phase(table: Effects, i: int, columns: Sequence[int], units: Units) -> Data:
    held = table.phases[i]
    return {
        "name": held.phase.name,
        "turn": held.turn,
        "called": held.name,
        "held": phase_words(table, i),
        "now": held_words(table, i),
        "base": [shown(table.readings[k], table.base[i, k], units) for k in columns],
        "solved": bool(table.base_result[i] == Result.SOLVED),
    }


def _line(table: Effects, row: Row, p: int, columns: Sequence[int], units: Units) -> Data:
    solved = row.result[p] == Result.SOLVED
    return {
        "adjuster": row.adjuster,
        "phase": table.phases[p].name,
        "steps": row.steps,
        "kind": row.kind,
        "wrong": "" if solved else sentence(row.result[p]),
        "restoring": restoring_words(row, table.every) if row.kind == PUT_RIGHT else "",
        "moves": [{"adjuster": key, "counts": plain(n)} for key, n in row.moves if abs(n) >= LEAST_TURNS],
        "cells": [_cell(table, row, p, i, units) for i in columns],
    }


def _cell(table: Effects, row: Row, p: int, i: int, units: Units) -> Data | None:
    reading, change = table.readings[i], float(row.change[p, i])
    if not is_change(reading, change):
        return None
    sure = str(row.sure[p, i]) if row.sure is not None else ""
    return {
        "text": change_number(reading, change, units),
        "value": plain(change),
        "words": change_words(reading, change, units),
        "mark": MARKS[sure],
        "sure": SURENESS[sure],
        "felt": is_felt(reading, change),
    }
