"""Modes against the motion that they stand for, and against common practice."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from axlewright.solve.motion import events
from axlewright.solve.motion.modes import linear, modes_of
from examples.variants import undamped
from tests.motion import cars

NUDGE = 1e-4  # of a shape with unit energy: far inside every corner of the car's laws
FOLLOWS = 2e-2  # of the nudge: what is left of the laws' bends and of the integrator's tolerance
PRACTICE = {"heave": (1.5, 2.6), "roll": (1.5, 3.0), "rear hop": (7.0, 15.0), "front hop": (7.0, 16.0)}  # Hz


@cache
def about(speed: float = 30.0):
    """Without a damper on the brake-side link: its curve bends at zero speed, where a slope is only a mean."""
    at = events.ready(undamped(), None, events.cruising(speed))
    return at, linear(at)


def nudged(place: int) -> tuple[np.ndarray, np.ndarray]:
    """(motion of the full model, motion of the linear one) after a nudge along one swing, in its coordinates."""
    at, model = about()
    values, shapes = np.linalg.eig(model.a)
    swings = [i for i in np.argsort(np.abs(values)) if np.imag(values[i]) > 1.0 and abs(values[i]) < 120.0]
    i = swings[place]
    shape = shapes[:, i] / np.abs(model.basis @ shapes[:, i]).max()
    step = NUDGE * shape.real
    begin = (model.state + model.basis @ step)[:, None]
    still = model.state[:, None]
    how = events.Following(duration=0.2, interval=0.0005, tolerance=1e-6)
    done = events.script(at)
    runs = [_states(at, done, start, how) for start in (begin, still)]
    moved = np.linalg.pinv(model.basis) @ (runs[0] - runs[1])
    time = np.linspace(0.0, how.duration, moved.shape[1])
    return moved, np.stack([(NUDGE * shape * np.exp(values[i] * t)).real for t in time], axis=1)


def _states(at, done, start, how) -> np.ndarray:
    """Packed states (n, T)."""
    from axlewright.road import level
    from axlewright.solve.motion.going import times
    from axlewright.solve.motion.mover import integration
    from axlewright.solve.motion.roads import surface_of

    surface, saved = surface_of(level()), times(how.duration, how.interval)
    run = integration(at.mover.going, len(surface.height), len(saved), 1)
    script = at.mover.going.script.pack(done)
    states, _ = run(at.held.car, at.moving, script, start, saved, np.array([how.tolerance]), *surface)
    return np.asarray(states)[:, :, 0].T


@pytest.mark.parametrize("place", [0, 1, 2, 3])
def test_a_small_nudge_follows_its_mode(place):
    full, small = nudged(place)
    assert np.abs(full - small).max() < FOLLOWS * np.abs(small).max()


def test_swings_lie_where_practice_has_them():
    """Common practice, no source: frequencies of a stiff road-race car."""
    from axlewright.tune.swings import swings

    (standing,) = swings(cars.car(), phases=["standing"], piston_speed=0.05)
    named = standing.named()
    for name, (low, high) in PRACTICE.items():
        assert low < named[name].frequency < high, name
        assert 0.1 < named[name].damping < 1.0, name


def test_slow_heights_load_the_diagonals():
    """Far below every swing a road under all wheels alike changes no load, and one raised wheel presses on its own
    diagonal: statics of four springs under a rigid top (Euler, 1773; as for corner weights).
    """
    model = about()[1]
    wheels = model.b.shape[1] // 2
    standing = np.real(model.response(np.array([1e-4]))[0, :wheels])
    assert np.abs(standing.sum(axis=1)).max() < 1e-2 * np.abs(standing).max()
    assert (np.diag(standing) > 0).all()
    assert np.sign(standing[0]).tolist() == [1.0, -1.0, -1.0, 1.0]


def test_modes_belong_to_their_car():
    """Stiffer dampers are modes with more damping: the sign of the rebound clicks' effect."""
    soft, hard = (
        modes_of(at, linear(at))
        for at in (
            events.ready(cars.car(), [{"damper_rear_rebound": c, "damper_rear_compression": c}]) for c in (20.0, 0.0)
        )
    )
    rear = [
        max((m for m in found if m.frequency > 4.0), key=lambda m: m.shares["rear tramp"]) for found in (soft, hard)
    ]
    assert rear[1].damping > rear[0].damping
