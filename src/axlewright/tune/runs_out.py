"""What runs out first and where: every margin through the car's travel and in every held phase, least first.

Each comes with the pose or phase that leaves least of it, the move that eats it, and what one usable step of each
adjuster does to it there, from re-solved states.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from axlewright.car.adjusters import Adjuster, adjusters_of
from axlewright.car.adjusters.setup import Setup, apply
from axlewright.car.describe import describe
from axlewright.car.describe.room import Room, room_of
from axlewright.car.schema import Car
from axlewright.errors import RequestError
from axlewright.readings.clearances import Margin, margins
from axlewright.solve.phases import HeldPhase, demand_of
from axlewright.solve.poses import Poses
from axlewright.solve.results import Result
from axlewright.solve.solved import Solved
from axlewright.solve.travel import move, travel
from axlewright.solve.verbs import hold_batch, machine_of, rest
from axlewright.tune.adjust import usable_moves
from axlewright.tune.choose import chosen_adjusters, chosen_phases
from axlewright.tune.cycle import Cycle, alone, cycle, poses_of, say

NEAR = 0.2  # share left below which a margin counts as near its end: common practice, no source
SMALLEST = {"m": 1e-3, "rad": np.radians(0.1)}  # of what there is in all: less than this can't be measured on a car
NO_CHANGE = {"m": 1e-5, "rad": np.radians(0.01)}  # by one step; less is no reason to turn anything
MOST = 12  # entries whose adjusters are looked at, the least first

Progress = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True)
class Step:
    """What one usable step of an adjuster does to a margin where it is least."""

    adjuster: str
    steps: int  # +1 or -1
    change: float  # SI, positive = more left


@dataclass(frozen=True, slots=True)
class Least:
    """Where least is left, through travel or in the phases."""

    value: float  # SI
    member: int  # pose of the cycle, or phase
    where: str  # in words, metric


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One thing that can run out."""

    id: str
    name: str
    used_up: str
    unit: str
    at_rest: float  # SI, what is left at rest
    whole: float  # SI, what there is of it in all
    travel: Least | None  # None where it means nothing while only the linkage moves, or nothing is cycled
    phase: Least | None  # None where no phase was asked
    eaten_by: str  # bump, droop, roll, steer, wind-up, or the phase
    steps: tuple[Step, ...] = ()  # of adjusters, the one that gives most back first

    @property
    def least(self) -> Least:
        """The lesser of the two."""
        both = [least for least in (self.travel, self.phase) if least is not None]
        return min(both, key=lambda least: least.value)

    @property
    def value(self) -> float:
        return self.least.value

    @property
    def share(self) -> float:
        """What is left, of what there is in all; negative when used up."""
        return self.value / max(self.whole, SMALLEST[self.unit])

    @property
    def word(self) -> str:
        """`used_up` once it is, "near" when little is left, "" otherwise."""
        return self.used_up if self.value < 0.0 else "near" if self.share < NEAR else ""


@dataclass(frozen=True)
class RunsOut:
    """Everything that can run out on a car, what is used up first, then by the share left."""

    car: str
    phases: tuple[HeldPhase, ...]
    result: np.ndarray  # (phases,) codes of `solve.results`
    cycle: Cycle
    track: tuple[float, float]  # m, front and rear, for poses in words
    unreached: tuple[str, ...]  # why poses of the cycle are not reached, each reason once
    entries: tuple[Entry, ...]
    adjusters: Mapping[str, Adjuster]  # those that were tried

    def entry(self, ident: str) -> Entry:
        """One entry by its id; raises RequestError when there is none."""
        for entry in self.entries:
            if entry.id == ident:
                return entry
        raise RequestError(f"this car has no margin `{ident}`")


def runs_out(
    car: Car,
    *,
    phases: Sequence[str] | None = None,
    turns: Sequence[str] = ("left", "right"),
    setup: Setup | None = None,
    adjusters: Sequence[str] | None = None,
    steps: bool = True,
    progress: Progress | None = None,
) -> RunsOut:
    """What runs out first on a car, cycled through its travel and held in its phases.

    `setup` moves adjusters from where they are; `steps` False leaves out what adjusters do to it. Raises RequestError
    for a name that the car has not got.
    """
    tell = progress or _quiet
    every, held, now = adjusters_of(car), chosen_phases(car, phases, turns), dict(setup or {})
    chosen = [key for key in chosen_adjusters(every, adjusters) if every[key].acts == "held"]
    look = _Look(car, room_of(car, *describe(car)), held, now)
    tell("cycling the linkage", 0, 3)
    poses, track = cycle(car, now), _track(car)
    moved = travel(car, poses.poses, now)
    through = [np.where(moved.reached, m.value, np.inf) for m in margins(moved.solved, look.room)]
    tell("holding the phases", 1, 3)
    states, result = look.held([now], held)
    found = []
    for i, at_rest in enumerate(margins(rest(car, now), look.room)):
        pose, phase = int(np.argmin(through[i])), int(np.argmin(states[i][0]))
        travelled = Least(float(through[i][pose]), pose, say(poses.poses, pose, track)) if at_rest.travel else None
        found.append(_entry(at_rest, travelled, Least(float(states[i][0, phase]), phase, held[phase].name)))
    eaters = _eaters(look, poses, found)
    order = sorted(range(len(found)), key=lambda i: found[i].share)  # negative, so first, once used up
    changes = _changes(look, poses, found, order[:MOST], every, chosen, tell) if steps else {}
    entries = tuple(replace(found[i], eaten_by=eaters[i], steps=changes.get(i, ())) for i in order)
    reasons = tuple(dict.fromkeys(reason for reason in moved.reasons if reason))
    return RunsOut(car.name, held, result, poses, track, reasons, entries, {key: every[key] for key in chosen})


def _quiet(what: str, done: int, of: int) -> None:
    del what, done, of


def _entry(at_rest: Margin, travelled: Least | None, held: Least) -> Entry:
    value = float(at_rest.value[0])
    return Entry(
        id=at_rest.id, name=at_rest.name, used_up=at_rest.used_up, unit=at_rest.unit, at_rest=value,
        whole=value if at_rest.whole is None else at_rest.whole, travel=travelled, phase=held, eaten_by="",
    )  # fmt: skip


def _track(car: Car) -> tuple[float, float]:
    front, rear = (end.side("left").wheel_centre.y - end.side("right").wheel_centre.y for end in (car.front, car.rear))
    return front, rear


class _Look:
    """Margins of one car in any of its phases and poses, for any setups."""

    def __init__(self, car: Car, room: Room, phases: tuple[HeldPhase, ...], now: dict[str, float]) -> None:
        self.car, self.room, self.phases, self.now = car, room, phases, now
        self.machine, self.adjusters = machine_of(car), adjusters_of(car)

    def held(self, setups: Sequence[Setup], phases: Sequence[HeldPhase]) -> tuple[list[np.ndarray], np.ndarray]:
        """Each margin (setups, phases), and how each state's solve ended (setups * phases,)."""
        demand = self.machine.form.demand.pack(demand_of(phases))
        values, batch = apply(self.machine.values, self.adjusters, list(setups))
        packed = np.repeat(self.machine.parameters(values, batch), len(phases), axis=1)
        solved = hold_batch(self.machine, packed, np.tile(demand, (1, len(setups))))
        shape = len(setups), len(phases)
        return [m.value.reshape(shape) for m in margins(solved, self.room)], solved.result

    def moved(self, setups: Sequence[Setup], poses: Poses, tell: Progress) -> list[np.ndarray]:
        """Each margin (setups, poses); NaN where a pose is not reached."""
        values, batch = apply(self.machine.values, self.adjusters, list(setups))
        packed, found = self.machine.parameters(values, batch), []
        for i in range(batch):
            tell("one step of each adjuster", i, batch)
            found.append(move(self.machine, packed[:, i : i + 1], poses))
        every = lambda name: np.concatenate([getattr(one.solved, name) for one in found], axis=-1)  # noqa: E731
        solved = Solved(
            self.machine, np.repeat(packed, poses.batch, axis=1), every("demand"), every("state"), every("error"),
            every("result"),
        )  # fmt: skip
        reached, shape = np.concatenate([one.reached for one in found]), (batch, poses.batch)
        return [np.where(reached, m.value, np.nan).reshape(shape) for m in margins(solved, self.room)]


def _eaters(look: _Look, poses: Cycle, found: Sequence[Entry]) -> list[str]:
    """The move that eats each margin: of a pose the single move that by itself takes most; else the phase's name."""
    singles: list[tuple[int, str, Poses]] = []
    for i, entry in enumerate(found):
        if entry.travel is not None and entry.least is entry.travel:
            singles += [(i, name, pose) for name, pose in alone(poses.poses, entry.travel.member).items()]
    said = ["" if entry.phase is None else f"the phase {entry.phase.where}" for entry in found]
    if singles:
        together = poses_of(
            np.concatenate([pose.wheels for _, _, pose in singles], axis=1),
            np.concatenate([pose.steer for _, _, pose in singles]),
            np.concatenate([pose.wind_up for _, _, pose in singles]),
        )
        values = look.moved([look.now], together, _quiet)
        least = dict.fromkeys((i for i, _, _ in singles), np.inf)
        for s, (i, name, _) in enumerate(singles):
            if values[i][0, s] < least[i]:
                least[i], said[i] = values[i][0, s], name
    return said


def _changes(
    look: _Look,
    poses: Cycle,
    found: Sequence[Entry],
    chosen: Sequence[int],
    every: Mapping[str, Adjuster],
    adjusters: Sequence[str],
    tell: Progress,
) -> dict[int, tuple[Step, ...]]:
    """What one usable step of each adjuster does to the chosen entries, each where least of it is left."""
    tried: list[tuple[str, int, dict[str, float]]] = []
    for key in adjusters:
        at = look.now.get(key, every[key].position)
        for way, step in zip((1, -1), usable_moves(replace(every[key], position=at)), strict=True):
            if step.position is not None:
                tried.append((key, way, look.now | {key: step.position}))
    by_pose = [i for i in chosen if found[i].least is found[i].travel]
    by_phase = [i for i in chosen if i not in by_pose]
    steps: dict[int, list[Step]] = {i: [] for i in chosen}

    def note(i: int, key: str, way: int, change: float) -> None:
        if np.isfinite(change) and abs(change) > NO_CHANGE[found[i].unit]:
            steps[i].append(Step(key, way, float(change)))

    if by_phase and tried:
        members = sorted({found[i].least.member for i in by_phase})
        values, result = look.held([setup for _, _, setup in tried], [look.phases[m] for m in members])
        solved = result.reshape(len(tried), len(members)) == Result.SOLVED
        for i in by_phase:
            m = members.index(found[i].least.member)
            for t, (key, way, _) in enumerate(tried):
                note(i, key, way, values[i][t, m] - found[i].value if solved[t, m] else np.nan)
    if by_pose and tried:
        members = sorted({found[i].least.member for i in by_pose})
        some = poses.poses.take(np.array(members))
        values = look.moved([setup for _, _, setup in tried], some, tell)
        for i in by_pose:
            for t, (key, way, _) in enumerate(tried):
                note(i, key, way, values[i][t, members.index(found[i].least.member)] - found[i].value)
    return {i: tuple(sorted(own, key=lambda step: -step.change)) for i, own in steps.items()}
