"""From one setup to another as work: moves merged and in order, what has to be looked at again, and how long it takes.

Order: what moves ride height before links, alignment and Watt's linkage, bars last (`STAGES`); then the re-checks, each
once, in the order of `RECHECKS`. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from axlewright.car.adjusters import RECHECK_MINUTES, RECHECKS, STAGES, Adjuster
from axlewright.car.adjusters.hand import tidy

SAME = 1e-6  # counts; less is rounding
BESIDE = ("CL", "TQ")  # looks that a second person can make while the first is at the others


class Job(NamedTuple):
    """One move of one adjuster."""

    adjuster: str
    name: str
    before: float  # counts
    after: float
    unit: str
    minutes: float  # one person
    place: str
    stage: str
    cautions: tuple[str, ...]
    note: str  # what to ask before it is done


class Look(NamedTuple):
    """Something to look at again."""

    code: str
    words: str
    minutes: float
    because: tuple[str, ...]  # names of what was moved


class Work(NamedTuple):
    """What there is to do; minutes are elapsed."""

    jobs: tuple[Job, ...]
    looks: tuple[Look, ...]
    alone: float  # one person
    together: float  # two people, jobs of one stage side by side


def work_order(before: Mapping[str, Adjuster], after: Mapping[str, Adjuster]) -> Work:
    """The work from one standing of the adjusters to another of the same car."""
    jobs = sorted(_jobs(before, after), key=lambda job: STAGES.index(before[job.adjuster].stage))
    looks = _looks(before, jobs)
    alone = sum(job.minutes for job in jobs) + sum(look.minutes for look in looks)
    staged = sum(_two_people([job.minutes for job in jobs if job.stage == stage]) for stage in STAGES)
    beside = sum(look.minutes for look in looks if look.code in BESIDE)
    inline = sum(look.minutes for look in looks if look.code not in BESIDE)
    return Work(tuple(jobs), tuple(looks), alone, staged + max(beside, inline))


def _jobs(before: Mapping[str, Adjuster], after: Mapping[str, Adjuster]) -> list[Job]:
    """Moves of single adjusters; those that one made of them makes at a stroke become its move, the largest first."""
    moved = {
        key: after[key].position - a.position
        for key, a in before.items()
        if not a.made_of and abs(after[key].position - a.position) > SAME
    }
    found, left = [], dict(moved)
    for whole in sorted((a for a in before.values() if a.made_of), key=lambda a: (-len(a.made_of), a.off)):
        counts = {left.get(member, 0.0) / share for member, share in whole.made_of}
        if 0.0 not in counts and max(counts) - min(counts) < SAME:
            found.append(_job(whole, whole.position + counts.pop()))
            left = {key: size for key, size in left.items() if key not in dict(whole.made_of)}
    return found + [_job(before[key], after[key].position, _other_side(before, key)) for key in left]


def _job(adjuster: Adjuster, to: float, note: str = "") -> Job:
    a = adjuster
    return Job(a.id, a.name, a.position, tidy(to), a.unit, a.minutes, a.place, a.stage, a.cautions, note)


def _other_side(before: Mapping[str, Adjuster], key: str) -> str:
    """A pair of which one is moved alone: is that meant?"""
    for whole in before.values():
        members = dict(whole.made_of)
        if key in members and len(members) == 2 and len(set(members.values())) == 1:
            other = next(member for member in members if member != key)
            return f"one side only: is {before[other].name} meant to differ?"
    return ""


def _looks(adjusters: Mapping[str, Adjuster], jobs: Sequence[Job]) -> tuple[Look, ...]:
    because: dict[str, list[str]] = {}
    for job in jobs:
        adjuster = adjusters[job.adjuster]
        if abs(job.after - job.before) >= adjuster.recheck_from - SAME:
            for code in adjuster.recheck:
                because.setdefault(code, []).append(job.name)
    order = [code for code in RECHECKS if code in because]
    return tuple(Look(code, RECHECKS[code], RECHECK_MINUTES[code], tuple(because[code])) for code in order)


def _two_people(minutes: Sequence[float]) -> float:
    """Elapsed time of jobs shared by two, the longest first to whoever is free (R. L. Graham 1969, from memory)."""
    busy = [0.0, 0.0]
    for one in sorted(minutes, reverse=True):
        busy[busy.index(min(busy))] += one
    return max(busy)
