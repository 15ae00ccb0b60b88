"""How far a demand can be pushed along its own direction, what runs out there, and what each parameter does to that.

From a held state the solution curve is walked through its fold, where demand stops growing. The fall-off of one lightly
loaded tyre can bend the curve back and forth before the true limit, so the walk goes on until demand has fallen 3 %
below its best. At the fold, with psi the left null vector of the derivative, every parameter at once has
d(lambda)/dp = -(psi . F_p) / (psi . F_lambda) (any text on bifurcation, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from axlewright.model.parameters import Demand
from axlewright.solve.arc import Curve, unknown_scale
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved

FIRST_STEP, LARGEST_STEP = 0.2, 3.0  # scaled arc length
SMALLEST_STEP = 1e-5  # the same; a torque link's seat is rounded over 1e-3 of it
MOST_STEPS = 150
BALANCED = 1e-6  # scaled residual of a state that a walk may start from
ON_THE_WAY = 1e-4  # scaled residual of a point that is only passed through: 0.1 N
DROP = 0.03  # the walk ends when demand has fallen by this share below its best
REFINEMENTS = 25
SHARPEST = 0.5  # cosine of the largest turn of the curve in one step
KINK = 0.01  # scaled arc length; a sharper turn over a shorter step is a kink (differential, brake) and is crossed
CLOSEST = 1e-9  # scaled arc length below which a bracket is a point
SPINNING = (
    1.0  # driven slip ratio that counts as the limit: a wheel at twice road speed holds a demand on its tail, if at all
)
TIPPED = (
    0.01  # of the weight, left on the wheels of one side: a rounded first touch keeps a trace on a tyre to the last
)
FLAT = 1e-7  # tangent's lambda component at which a fold is found: lambda is then good to about FLAT^2


@dataclass(frozen=True)
class Limit:
    """Furthest states along each member's own demand direction."""

    start: Solved
    at: Solved  # the state at the limit; its result says whether a fold was found
    share: np.ndarray  # (B,) limit over the demand that was asked: 1.2 = 20 % more than asked
    found: np.ndarray  # (B,) bool
    ran_out: np.ndarray  # (B,) words; empty where no limit was found
    tangent: np.ndarray  # (N, B) change of the unknowns along the curve at the limit
    size: np.ndarray  # (B,) magnitude of the demanded acceleration at share 1, m/s2
    passing: np.ndarray  # (unknowns, B) near where the walk went up through share 1; NaN where it didn't

    @property
    def margin(self) -> np.ndarray:
        """(limit - demand) along the direction, m/s2, (B,); NaN where no limit was found."""
        return np.where(self.found, (self.share - 1.0) * self.size, np.nan)

    @cached_property
    def _null(self) -> tuple[np.ndarray, np.ndarray]:
        """Left vector psi (N, B) and psi . F_lambda (B,).

        J^T psi = e, e the slip that runs away most: at a fold that is the null vector (J is singular), and where the
        walk was ended at a spinning wheel it keeps that wheel's slip.
        """
        _, j = self.at.linear
        first = self.at.machine.flat_size - self.at.machine.topology.n_border + self.at.machine.topology.first_slip
        slips = np.abs(self.tangent[first : first + len(self.at.machine.topology.mechanism.wheels)])
        pick = np.zeros(self.tangent.shape)
        pick[first + slips.argmax(axis=0), np.arange(self.at.batch)] = 1.0
        psi = np.linalg.solve(j.transpose(2, 1, 0), pick.T[..., None])[..., 0].T
        pull = direction_of(self.at.asked)
        direction = self.at.machine.form.demand.pack(pull) / np.where(self.found, self.share, 1.0)
        by_lambda = self.at.machine.push(self.at.car, self.at.demand, self.at.state, demand_change=direction)[1]
        return psi, np.where(self.found, (psi * by_lambda).sum(axis=0), np.nan)

    def sensitivity(self, changes: np.ndarray) -> np.ndarray:
        """First-order change of `margin`, m/s2, (changes, B), for packed parameter changes (parameters, changes).

        NaN where no limit was found.
        """
        if not changes.shape[1]:
            return np.zeros((0, self.at.batch))
        psi, slope = self._null
        n, b = changes.shape[1], self.at.batch
        spread = lambda a: np.repeat(np.broadcast_to(a, (a.shape[0], b)), n, axis=1)  # noqa: E731 - three uses below
        pushed = self.at.machine.push(
            spread(self.at.car), spread(self.at.demand), spread(self.at.state), car_change=np.tile(changes, (1, b))
        )[1].reshape(-1, b, n)
        return (-(psi[:, :, None] * pushed).sum(axis=0) / slope[:, None] * self.size[:, None]).T


def direction_of(asked: Demand) -> Demand:
    """Change of the demand per unit of lambda: the accelerations themselves; speed and road stay."""
    zero = Demand(*(np.zeros_like(np.asarray(field)) for field in asked))
    ax, ay = np.asarray(asked.ax), np.asarray(asked.ay)
    return zero._replace(force=np.stack([-ax, -ay, np.zeros_like(ax)]), ax=ax, ay=ay)


def limit(start: Solved, asked: np.ndarray | None = None, share: np.ndarray | None = None) -> Limit:
    """Walk from solved states to their limits.

    `asked` (demands, B) is the demand that share 1 means and `share` (B,) where `start` stands on it, when `start` was
    not solved at the whole demand.

    A member without a demanded acceleration, or that was not solved, comes back with `found` False.
    """
    machine = start.machine
    at_share = np.ones(start.batch) if share is None else share
    whole = start.demand if asked is None else asked
    demand = np.broadcast_to(whole, (whole.shape[0], start.batch))
    meant: Demand = machine.form.demand.unpack(demand)
    direction = machine.form.demand.pack(direction_of(meant))
    car = np.broadcast_to(start.car, (start.car.shape[0], start.batch))
    curve = Curve(machine, car, demand - direction, direction, unknown_scale(machine))
    walk = _Walk(curve, np.concatenate([machine.flat(start.state), at_share[None]]) / curve.scale[:, None])
    usable = (start.error < BALANCED) & (np.hypot(meant.ax, meant.ay) > 0)
    walk.go(np.flatnonzero(usable))
    x = walk.best * curve.scale[:, None]
    share_found = x[-1]
    final_demand = curve.base + share_found * direction
    state = machine.packed(x[:-1])
    at = Solved(machine, car, final_demand, state, np.zeros(start.batch), start.result, start.rest)
    tangent = walk.best_tangent * curve.scale[:, None]
    words = np.where(walk.found, _what_ran_out(at, tangent[:-1]), "")
    size = np.hypot(np.asarray(meant.ax), np.asarray(meant.ay))
    passing = machine.packed((walk.passing * curve.scale[:, None])[:-1])
    return Limit(start, at, share_found, walk.found, words, tangent[:-1], size, passing)


class _Walk:
    """State of the walk of a batch; scaled unknowns (N + 1, B)."""

    def __init__(self, curve: Curve, z: np.ndarray) -> None:
        self.curve, self.z = curve, z
        self.t = np.zeros_like(z)
        self.step = np.full(z.shape[1], FIRST_STEP)
        self.best, self.best_tangent = z.copy(), np.zeros_like(z)
        self.found = np.zeros(z.shape[1], dtype=bool)
        self.folded = np.zeros(z.shape[1], dtype=bool)
        self.passing = np.full_like(z, np.nan)
        # the stretch of curve that holds the best fold: its first point, tangent there, last point, length, and the
        # tangent's lambda component at its end
        self.from_z, self.from_t, self.to_z = z.copy(), np.zeros_like(z), z.copy()
        self.length, self.end = np.zeros(z.shape[1]), np.zeros(z.shape[1])

    def go(self, members: np.ndarray) -> None:
        if not members.size:
            return
        _, j = self.curve.residual(self.z[:, members], members)
        upward = np.zeros((self.z.shape[0], members.size))
        upward[-1] = 1.0
        self.t[:, members] = self.curve.tangent(j, self.curve.pull(self.z[:, members], members), upward)
        active = members
        for _ in range(MOST_STEPS):
            active = active[np.isfinite(self.t[:, active]).all(axis=0)]
            if not active.size:
                break
            active = self._advance(active)
        self._refine(np.flatnonzero(self.folded))

    def _advance(self, active: np.ndarray) -> np.ndarray:
        """One step of every active member; returns those that go on."""
        along, step = self.t[:, active], self.step[active]
        z, t, ok = self.curve.correct(self.z[:, active] + along * step, along, active, close=ON_THE_WAY)
        turn = (t * along).sum(axis=0)
        ok &= (turn > SHARPEST) | (step < KINK)  # a sharper turn means that the step was too long
        crossed = ok & (along[-1] > 0) & (t[-1] <= 0)
        better = crossed & (~self.found[active] | (self.z[-1, active] > self.from_z[-1, active]))
        spun = ok & self._spins(z) & ~self.found[active]
        self.best[:, active[spun]], self.best_tangent[:, active[spun]] = z[:, spun], t[:, spun]
        self.found[active[spun]] = True
        at = active[better & ~spun]
        better &= ~spun
        self.folded[at] = True
        self.from_z[:, at], self.from_t[:, at] = self.z[:, at], along[:, better]
        self.to_z[:, at] = z[:, better]
        self.length[at], self.end[at], self.found[at] = step[better], t[-1, better], True
        whole = 1.0 / self.curve.scale[-1]
        passed = np.flatnonzero(ok & (self.z[-1, active] < whole) & (z[-1] >= whole))
        before, after = self.z[:, active[passed]], z[:, passed]
        part = (whole - before[-1]) / (after[-1] - before[-1])
        self.passing[:, active[passed]] = before + part * (after - before)
        moved = active[ok]
        self.z[:, moved], self.t[:, moved] = z[:, ok], t[:, ok]
        self.step[active] = np.where(ok, np.minimum(step * np.where(turn > 0.97, 1.6, 1.0), LARGEST_STEP), 0.5 * step)
        fallen = self.found[active] & (self.z[-1, active] < (1.0 - DROP) * self.from_z[-1, active])
        return active[(self.step[active] > SMALLEST_STEP) & ~fallen & ~(ok & self._spins(z))]

    def _spins(self, z: np.ndarray) -> np.ndarray:
        """Whether a driven wheel turns away, (members,)."""
        rows, _ = driven_rows(self.curve.machine)
        slips = (z * self.curve.scale[:, None])[rows]
        return np.any(slips > SPINNING, axis=0)

    def _refine(self, members: np.ndarray) -> None:
        """Regula falsi (Illinois) on the tangent's lambda component along the stretch that holds the fold.

        Newton begins on the chord of the bracket, which lies in the plane that it works in.
        """
        if not members.size:
            return
        z0, along = self.from_z[:, members], self.from_t[:, members]
        low, high = np.zeros(members.size), self.length[members].copy()
        f_low, f_high = along[-1].copy(), self.end[members].copy()
        z_low, z_high = z0.copy(), self.to_z[:, members].copy()
        side = np.zeros(members.size)
        self.best[:, members], self.best_tangent[:, members] = z0, along
        todo = np.arange(members.size)
        for _ in range(REFINEMENTS):
            s = (low * f_high - high * f_low)[todo] / (f_high - f_low)[todo]
            start = z0[:, todo] + along[:, todo] * s
            guess = z_low[:, todo] + (z_high - z_low)[:, todo] * ((s - low[todo]) / (high - low)[todo])
            z, t, ok = self.curve.correct(start, along[:, todo], members[todo], guess)
            f = t[-1]
            keep = members[todo[ok]]
            self.best[:, keep], self.best_tangent[:, keep] = z[:, ok], t[:, ok]
            up = f > 0
            f_high[todo] = np.where(up, np.where(side[todo] > 0, 0.5, 1.0) * f_high[todo], f)
            f_low[todo] = np.where(up, f, np.where(side[todo] < 0, 0.5, 1.0) * f_low[todo])
            low[todo], high[todo] = np.where(up, s, low[todo]), np.where(up, high[todo], s)
            z_low[:, todo], z_high[:, todo] = np.where(up, z, z_low[:, todo]), np.where(up, z_high[:, todo], z)
            side[todo] = np.where(up, 1.0, -1.0)
            todo = todo[ok & (np.abs(f) > FLAT) & ((high - low)[todo] > CLOSEST)]
            if not todo.size:
                break


def driven_rows(machine: Machine) -> tuple[np.ndarray, np.ndarray]:
    """Rows of the driven wheels' slips in the flat unknowns, and their places in wheel order."""
    first = machine.flat_size - machine.topology.n_border + machine.topology.first_slip
    flags = [
        wheel.driven for block in machine.topology.mechanism.blocks for _ in block.copies for wheel in block.wheels
    ]
    places = np.flatnonzero(flags)
    return first + places, places


def _what_ran_out(at: Solved, tangent: np.ndarray) -> np.ndarray:
    """What moves at the limit: the end whose slip angles run away, the slip of driven or braked wheels, or the housing.

    With both torque links slack the housing's pitch hangs on spring and weight alone; where these push it over, demand
    folds though the tyres have grip left.
    """
    small = 1e-4 / np.maximum(np.abs(tangent).max(axis=0), 1e-300)
    machine = at.machine
    x = machine.flat(at.state)

    def slips(sign: float) -> tuple[np.ndarray, np.ndarray]:
        state = machine.packed(x + sign * small * tangent)
        moved = Solved(machine, at.car, at.demand, state, at.error, at.result)
        kappa = np.stack([moved.border(f"slip {w}") for w in machine.topology.mechanism.wheels])
        return moved.wheel("slip_angle"), kappa

    (a1, k1), (a0, k0) = slips(1.0), slips(-1.0)
    loads = at.wheel("load")
    weight = loads / loads.mean(axis=0)  # an unloaded wheel's slip means nothing
    angle, ratio = np.abs(a1 - a0) * weight, np.abs(k1 - k0) * weight
    front, rear = angle[:2].mean(axis=0), angle[2:].mean(axis=0)
    straight = np.abs(np.asarray(at.asked.ay)) < 1e-9
    driven = ratio.max(axis=0) > np.maximum(front, rear)
    end = np.where(front > rear, "front pushes", "rear slides")
    front_slip = ratio[:2].max(axis=0) > ratio[2:].max(axis=0)
    braking = np.asarray(at.asked.braking) > 0
    pedal = np.where(braking, np.where(front_slip, "front brakes lock", "rear brakes lock"), "driven wheels spin")
    lifted = np.minimum(loads[0::2].sum(axis=0), loads[1::2].sum(axis=0)) < TIPPED * loads.sum(axis=0)
    snaps = _housing_turn(at, tangent) * 2.0 * small > np.maximum(ratio.max(axis=0), np.maximum(front, rear))
    found = np.where(driven | straight, pedal, end)
    return np.select([lifted, snaps], ["tips", "axle housing turns over"], found).astype(object)


def _housing_turn(at: Solved, tangent: np.ndarray) -> np.ndarray:
    """How fast the housing that the pinion sits in turns in pitch along the tangent, (B,)."""
    start, turn = 0, np.zeros(at.batch)
    for block in at.machine.topology.blocks:
        if block.block.pinion_body is not None:
            turn = np.abs(tangent[start + 6 * block.block.bodies.index(block.block.pinion_body) + 4])
        start += block.size * block.n_copies
    return turn
