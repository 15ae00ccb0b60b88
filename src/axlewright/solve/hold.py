"""One held (or rest) state for each member of a batch, however hard it is.

First a damped Newton from the start that is given; what does not arrive is ramped up from rest, first onto its road and
then up to its accelerations; what then still has no solution is walked to its limit along the same direction, and the
furthest state is the answer with a result code.
"""

from __future__ import annotations

import numpy as np

from axlewright.model.parameters import Demand
from axlewright.solve.limit import direction_of, limit
from axlewright.solve.machine import Machine
from axlewright.solve.newton import TOLERANCE
from axlewright.solve.results import Result
from axlewright.solve.solved import Solved
from axlewright.units import GRAVITY

RAMP = (0.2, 0.4, 0.55, 0.7, 0.8, 0.9, 1.0)  # shares of the demand on the way up from rest
BALANCED = 1e-6  # scaled residual of a state that may be shown: 1e-3 N
PULLED_BACK = -1.0  # N m; axle or brake torque below this, on a pedal that can only push the other way
TOGGLE = 1.0 - 1e-4  # reach of a bar arm or an idler arm that counts as toggle


def solve(
    machine: Machine, car: np.ndarray, demand: np.ndarray, start: np.ndarray, rest: Solved | None = None
) -> Solved:
    """Solve every member; arrays packed, (n, B) or (n, 1). `rest` is the same setups at rest, where ramps begin."""
    batch = max(car.shape[-1], demand.shape[-1], start.shape[-1])
    state, error = (found.copy() for found in machine.solve(car, demand, start)[:2])  # JAX's own can't be written to
    result = np.full(batch, Result.SOLVED, dtype=int)
    full = [np.broadcast_to(a, (a.shape[0], batch)) for a in (car, demand)]
    if rest is not None and rest.batch != batch:
        rest = rest.take(np.zeros(batch, dtype=int))
    demand = full[1].copy()
    missing = np.flatnonzero(~(error < TOLERANCE))
    if missing.size and rest is None:
        result[missing] = Result.NOT_FOUND
    elif missing.size and rest is not None:
        found = _the_hard_way(machine, full[0][:, missing], full[1][:, missing], rest.take(missing))
        state[:, missing], error[missing], demand[:, missing], result[missing] = found
    solved = Solved(machine, full[0], demand, state, error, result, rest)
    return solved if rest is None else _checked(solved)


def _the_hard_way(
    machine: Machine, car: np.ndarray, demand: np.ndarray, rest: Solved
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Ramp from rest and, where that ends, walk to the limit: (state, error, demand reached, result)."""
    asked: Demand = machine.form.demand.unpack(demand)
    pull = machine.form.demand.pack(direction_of(asked))
    ground = machine.form.demand.pack(_ground_of(asked))
    everyone = np.arange(demand.shape[1])
    state, error, share = rest.state.copy(), np.full(everyone.size, np.inf), np.zeros(everyone.size)
    off_level = _climb(machine, car, demand - pull, ground, everyone, state, error)
    error[off_level < 1.0] = np.inf
    on_it = everyone[(off_level == 1.0) | (np.abs(ground).max(axis=0) == 0)]
    share[on_it] = _climb(machine, car, demand, pull, on_it, state, error)
    result = np.where(share == 1.0, Result.SOLVED, Result.NOT_FOUND).astype(int)
    short = np.flatnonzero((share > 0) & (share < 1.0))
    reached = demand - (1.0 - share) * pull
    if short.size:
        reached_here = reached[:, short]
        base = Solved(
            machine, car[:, short], reached_here, state[:, short], error[short], result[short], rest.take(short)
        )
        walked = limit(base, asked=demand[:, short], share=share[short])
        state[:, short], reached[:, short] = walked.at.state, walked.at.demand
        error[short] = np.abs(walked.at.linear[0]).max(axis=0)
        result[short] = np.where(walked.found, _past(walked.ran_out), Result.NOT_FOUND)
        # an early fold (one wheel that locks or spins) may lie below the demand and the true limit above it
        through = np.flatnonzero(np.isfinite(walked.passing).all(axis=0))
        if through.size:
            at = short[through]
            found, size, _ = machine.solve(car[:, at], demand[:, at], walked.passing[:, through])
            good = at[size < TOLERANCE]
            state[:, good], error[good] = found[:, size < TOLERANCE], size[size < TOLERANCE]
            reached[:, good], result[good] = demand[:, good], Result.SOLVED
    return state, error, reached, result


def _climb(
    machine: Machine,
    car: np.ndarray,
    demand: np.ndarray,
    pull: np.ndarray,
    members: np.ndarray,
    state: np.ndarray,
    error: np.ndarray,
) -> np.ndarray:
    """Share of `pull`, the last part of the demand, that `members` get up to; their state and error follow in place."""
    share = np.where(np.isfinite(error), 1.0, 0.0)
    climbing = members[np.abs(pull[:, members]).max(axis=0) > 0]
    share[climbing] = 0.0
    for step in RAMP:
        if not climbing.size:
            break
        part = demand[:, climbing] - (1.0 - step) * pull[:, climbing]
        found, size, _ = machine.solve(car[:, climbing], part, state[:, climbing])
        good = size < TOLERANCE
        state[:, climbing[good]], error[climbing[good]], share[climbing[good]] = found[:, good], size[good], step
        climbing = climbing[good]
    return share[members]


def _ground_of(asked: Demand) -> Demand:
    """What differs from a level, flat road: heights under the wheels, banking, grade, crest and dip."""
    zero = Demand(*(np.zeros_like(np.asarray(field)) for field in asked))
    rest = np.asarray(asked.force) + np.stack([asked.ax, asked.ay, GRAVITY * np.ones_like(np.asarray(asked.ax))])
    return zero._replace(force=rest, road_height=np.asarray(asked.road_height))


def _past(words: np.ndarray) -> np.ndarray:
    codes = {
        "tips": Result.TIPS,
        "axle housing turns over": Result.TWO_RESTS,
        "front pushes": Result.PAST_GRIP,
        "rear slides": Result.PAST_GRIP,
    }
    return np.array([codes.get(str(word), Result.PAST_POWER) for word in words], dtype=int)


def _checked(solved: Solved) -> Solved:
    """Result codes of states that are in balance but not what was meant."""
    result = solved.result.copy()
    asked, ok = solved.asked, solved.result == Result.SOLVED
    effort = solved.border("effort")
    braking = np.asarray(asked.braking) > 0
    gain = solved.wheel_parameter("brake_gain").sum(axis=0) if braking.any() else 1.0
    torque = np.where(braking, gain * effort, effort)
    wrong = np.where(np.asarray(asked.coasting) > 0, torque > -PULLED_BACK, torque < PULLED_BACK)
    result[ok & wrong] = Result.WRONG_EFFORT
    reach = [
        np.abs(np.asarray(b.details.bar_reach)).max(axis=(0, 1)) for b in solved.blocks if b.details.bar_reach.size
    ]
    if reach:
        past = np.max(reach, axis=0) > TOGGLE
        result[past & (ok | (solved.result == Result.NOT_FOUND))] = Result.BAR_TOGGLE
    if solved.relay_reach is not None:
        past = np.abs(solved.relay_reach) > TOGGLE
        result[past & (ok | (solved.result == Result.NOT_FOUND))] = Result.RELAY_TOGGLE
    lock = np.squeeze(np.asarray(solved.machine.values.get("rack.lock", np.inf)))  # no adjuster moves it
    # steered into the turn: a deep slide is caught the other way
    tight = np.sign(asked.ay) * solved.border("rack") > lock
    result[tight & (ok | (solved.result == Result.PAST_GRIP))] = Result.TOO_TIGHT
    result[(np.asarray(asked.inverse_speed_squared) == 0) & (np.asarray(asked.ay) != 0)] = Result.NO_TURN_AT_REST
    return Solved(solved.machine, solved.car, solved.demand, solved.state, solved.error, result, solved.rest)
