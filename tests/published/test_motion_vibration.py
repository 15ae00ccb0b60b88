"""Modes and motions of two-mass cars against published vibration examples.

Sources stand beside each case; "read": the text itself was read, "transcribed": inputs and answer in a public
transcription, "from memory": recalled and recomputed, "derived": no published answer. All cars are members of one
batch (`tests.vibration_cars`), so that one compilation serves them.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from axlewright.model.moving.parameters import MovingState
from axlewright.road import level
from axlewright.solve.motion.events import Ready, control, script
from axlewright.solve.motion.going import Event, go
from axlewright.solve.motion.modes import Mode, linear, modes
from axlewright.solve.motion.roads import surface_of
from axlewright.solve.motion.run import Run
from tests.vibration_cars import Vibrating, alone, both, ready_of

FIRM = 1e7  # N/m: gives less than 2e-4 of what the springs do that stand on it
# Barton & Fieldhouse, Automotive Chassis Engineering (2018), p. 209, read: a quarter car, 7.87 and 68.73 rad/s and a
# wheel that moves 0.104 of the body in the first mode; the book rounds the coefficients of its equation.
BARTON = Vibrating(sprung=4 * 317.5, unsprung=45.4, spring=both(22e3), tyre=192e3, gyration=1.0)
# Sayers, Gillespie & Paterson, World Bank Technical Paper 46 (1986), and ASTM E1926, read in several public codes that
# quote it: the golden car, all per sprung mass: c 6.0 1/s, kt 653 and ks 63.3 1/s2, mu 0.15.
MASS = 250.0
GOLDEN = Vibrating(
    sprung=4 * MASS, unsprung=0.15 * MASS, spring=both(63.3 * MASS), damper=both(6.0 * MASS), tyre=653.0 * MASS,
    gyration=1.0,
)  # fmt: skip
# Wong, Theory of Ground Vehicles, example 7.1, from memory: 35 and 38 kN/m an end.
WONG = Vibrating(sprung=2120.0, spring=(17.5e3, 19e3), ahead=1.267, behind=1.548, gyration=1.33)
# Rao, Mechanical Vibrations, example 5.7, from memory: 18 and 22 kN/m an end.
RAO = Vibrating(sprung=1000.0, spring=(9e3, 11e3), ahead=1.0, behind=1.5, gyration=0.9)
# Data read, without an answer; the frequencies are derived.
UNANSWERED = Vibrating(sprung=1600.0, spring=(19e3, 17e3), ahead=1.3, behind=1.6, gyration=0.95)
# Rao, example 2.14 (shock absorber of a motorcycle), read: m 200 kg, damped period 2 s, quartered every half cycle.
SHOCK = Vibrating(
    sprung=200.0, unsprung=1.0, spring=both(2358.2652 / 4), damper=both(554.4981 / 4), tyre=FIRM, gyration=1.0
)
# Meriam & Kraige, Dynamics, sample problem 8/2, inputs transcribed, answer from memory: m 8 kg, c 20, k 32, here
# 25-fold.
MERIAM = Vibrating(sprung=200.0, unsprung=1.0, spring=both(200.0), damper=both(125.0), tyre=FIRM, gyration=1.0)
# Meriam & Kraige, sample problem 8/4, transcribed: 50 kg on 4 x 7500 N/m, its base shaken by 2 mm at 50 rad/s.
SHAKEN = Vibrating(sprung=50.0, spring=both(7500.0), tyre=1e12, gyration=1.0)
# Rill, Vehicle Dynamics (lecture notes), from memory: M 300 kg on 18 kN/m, best comfort with sqrt(2 c M) = 3286.3
# N s/m.
RILL = Vibrating(sprung=1200.0, spring=both(18e3), damper=both(3286.3), gyration=1.0)
# Inman, Engineering Vibration, examples 4.1.5 to 4.1.7, from memory: m 9 and 1, k 24 and 3; here at ten times its
# frequencies, so that the car's weight does not press its tyres flat.
INMAN = Vibrating(sprung=400.0, unsprung=900.0, spring=both(30e3), tyre=240e3, gyration=1.0)
# den Hartog's damped absorber, tuned best: 1/20 of the mass, read for tuning and damping, from memory for the peak.
SHARE, HELD = 0.05, 400.0  # kg of the mass that the tyre holds
STIFF = 1e6
TUNED = SHARE * STIFF / (1.0 + SHARE) ** 2
BEST = 2.0 * SHARE * HELD * np.sqrt(STIFF / HELD) * np.sqrt(3.0 * SHARE / (8.0 * (1.0 + SHARE) ** 3))
HARTOG = Vibrating(sprung=4 * SHARE * HELD, unsprung=HELD, spring=both(TUNED), damper=both(BEST), tyre=STIFF)

CARS = (BARTON, GOLDEN, WONG, RAO, UNANSWERED, SHOCK, MERIAM, SHAKEN, RILL, INMAN, HARTOG)
EXACT = 2e-5  # of answers that were recomputed: a hard tyre still gives that much, and five figures are stated


@cache
def _all() -> Ready:
    found = ready_of(CARS)
    assert (found.held.result == 0).all()
    return found


@cache
def at(car: Vibrating) -> Ready:
    return alone(_all(), CARS.index(car))


@cache
def _modes(car: Vibrating) -> tuple[Mode, ...]:
    return tuple(modes(at(car)))


def body(car: Vibrating, mode: Mode) -> tuple[complex, complex]:
    """How fast the centre of mass rises and the car pitches, nose down, in a mode."""
    centre = np.asarray(at(car).held.parameters.centre)[:, 0]
    turn = mode.shape.velocity[3:, 0]
    return complex((mode.shape.velocity[:3, 0] + np.cross(turn, centre))[2]), complex(turn[1])


def wheel(mode: Mode) -> complex:
    """How fast the left front wheel rises against the body."""
    return complex(mode.shape.rate[0][2, 0, 0])


def heaving(car: Vibrating) -> list[Mode]:
    """Modes of an even car that only go up and down, slowest first."""
    found = [m for m in _modes(car) if abs(m.root) > 1.0]
    return [m for m in found if abs(body(car, m)[0]) > 1e3 * np.abs(m.shape.velocity[3:, 0]).max()]


def beam(car: Vibrating) -> list[tuple[Mode, complex]]:
    """Modes of heave and pitch on hard tyres, and where along the car nothing moves, m ahead of the centre of mass."""
    names = ("heave", "pitch")
    found = [m for m in _modes(car) if 1.0 < abs(m.root) < 30.0 and sum(m.shares[name] for name in names) > 0.99]
    return [(m, body(car, m)[0] / body(car, m)[1]) for m in found]


# --- Modes ---


def test_quarter_car():
    slow, fast = heaving(BARTON)
    book = 2e-3  # its own rounding
    assert [m.root.imag for m in (slow, fast)] == pytest.approx([7.87, 68.73], rel=book)
    moved = [(body(BARTON, m)[0] + wheel(m)) / body(BARTON, m)[0] for m in (slow, fast)]
    assert abs(moved[0]) == pytest.approx(0.104, abs=5e-4)  # three figures
    # Recomputed from the same masses and rates
    assert [m.root.imag for m in (slow, fast)] == pytest.approx([7.8786, 68.7086], rel=EXACT)
    assert moved[0].real > 0.0 > moved[1].real  # together, then against each other


def test_golden_car():
    """Eigenvalues of the state matrix that the published constants make."""
    asked = [-2.59007 + 7.32340j, -20.40993 + 64.42263j]
    assert [m.root for m in heaving(GOLDEN)] == pytest.approx(asked, rel=2e-6)
    assert [m.damping for m in heaving(GOLDEN)] == pytest.approx([0.333, 0.302], abs=5e-4)


@pytest.mark.parametrize(
    ("car", "roots", "centres"),
    [
        (WONG, (5.5834, 6.5210), (-2.0953, 0.8442)),
        (RAO, (5.85929, 9.43409), (-2.64611, 0.30611)),
        (UNANSWERED, (2 * np.pi * 1.0655, 2 * np.pi * 1.6303), None),
    ],
    ids=["Wong", "Rao", "derived"],
)
def test_bounce_and_pitch(car, roots, centres):
    """Frequencies, and the points about which the car turns, forward of its centre of mass."""
    found = beam(car)
    figures = 1e-4 if centres is None else EXACT  # four or five were stated
    assert [m.root.imag for m, _ in found] == pytest.approx(roots, rel=figures)
    if centres is not None:
        assert [centre.real for _, centre in found] == pytest.approx(centres, rel=1e-4)
        assert max(abs(centre.imag) for _, centre in found) < EXACT
    for mode, _ in found:
        assert abs(mode.damping) < 1e-9  # nothing damps


def test_shock_absorber():
    mode = heaving(SHOCK)[0]
    assert mode.damping == pytest.approx(0.4037, abs=2e-4)
    assert 1.0 / mode.frequency == pytest.approx(2.0, rel=5e-4)  # the tyre gives 1e-4
    assert abs(mode.root) == pytest.approx(3.4338, rel=5e-4)


def test_damping_of_best_comfort():
    assert heaving(RILL)[0].damping == pytest.approx(np.sqrt(0.5), rel=1e-4)


def test_two_masses():
    """Inman: sqrt(2) and 2, here tenfold; shapes 1/3 and -1/3 of the held mass to the free one."""
    found = heaving(INMAN)
    assert [m.root.imag for m in found] == pytest.approx([10.0 * np.sqrt(2.0), 20.0], rel=1e-9)
    shapes = [((body(INMAN, m)[0] + wheel(m)) / body(INMAN, m)[0]).real for m in found]
    assert shapes == pytest.approx([1.0 / 3.0, -1.0 / 3.0], rel=1e-9)


# --- Steady shaking, by the linear car ---


def test_shaken_base():
    """X = -0.632 mm: against the base, above its frequency."""
    omega = 50.0
    rises = linear(at(SHAKEN)).response(np.array([omega / (2.0 * np.pi)]))[0, -1].sum()  # m/s2 per m of all wheels
    moved = 2.0 * rises / -(omega**2)
    assert moved == pytest.approx(-0.632, abs=5e-4)
    assert np.sqrt(at(SHAKEN).held.parameters.mass[0, 0] ** -1 * 30e3) == pytest.approx(24.5, rel=1e-3)


def test_damped_absorber():
    """A force on the held mass is its tyre's rate times the road's rise: X / (F/K) at the two fixed points and its top.

    The fixed points' height is sqrt(1 + 2 / share) = 6.4031, the top with this damping 6.4084 (recomputed).
    """
    natural = np.sqrt(STIFF / HELD)
    ratios = np.linspace(0.8, 1.15, 1401)
    loads = linear(at(HARTOG)).response(ratios * natural / (2.0 * np.pi))[:, 0].sum(axis=-1)
    moved = np.abs(1.0 - loads / STIFF)
    assert moved.max() == pytest.approx(6.4084, rel=1e-4)
    # Their squared frequency ratios are the roots of r^2 - 2 r (1 + f^2 (1 + m)) / (2 + m) + 2 f^2 / (2 + m), m the
    # share and f the tuning 1 / (1 + m): where damping changes nothing
    tuning = 1.0 / (1.0 + SHARE)
    squares = np.roots([1.0, -2.0 * (1.0 + tuning**2 * (1.0 + SHARE)) / (2.0 + SHARE), 2.0 * tuning**2 / (2.0 + SHARE)])
    loads = linear(at(HARTOG)).response(np.sqrt(squares) * natural / (2.0 * np.pi))[:, 0].sum(axis=-1)
    assert np.abs(1.0 - loads / STIFF) == pytest.approx(6.4031, rel=1e-4)


# --- Through time ---

STEPS = 40
STEP = 0.25 / (80.0 / 3.6)  # s: 0.25 m at 80 km/h
# Published state transition matrix of the golden car for 0.25 m: states body, its rate, wheel, its rate
ST = np.array(
    [
        [0.9966071, 0.01091514, -0.002083274, 0.0003190145],
        [-0.5563044, 0.9438768, -0.8324718, 0.05064701],
        [0.02153176, 0.002126763, 0.7508714, 0.008221888],
        [3.335013, 0.3376467, -39.12762, 0.4347564],
    ]
)
PR = np.array([0.005476107, 1.388776, 0.2275968, 35.79262])  # and of a road that stays at a height
FOLLOWED = 1e-6  # tolerance: nanometres a step


def followed(car: Vibrating, until: float, *, heave: float = 0.0, raised: float = 0.0) -> Run:
    """From the car at rest, but lifted by `heave`, wheels and all, and its wheels by `raised` against it, m.

    Nothing moves at the start.
    """
    one = at(car)
    packing = one.mover.going.state
    state: MovingState = packing.unpack(one.mover.start(one.held, one.moving)[0])
    attitude = state.attitude + np.array([[heave], [0.0], [0.0]])
    motion = tuple(m + raised * np.eye(7)[[2, 6]].sum(axis=0)[:, None, None] for m in state.motion)
    start = packing.pack(state._replace(attitude=attitude, motion=motion))
    still = script(one, clutch=control(1, (0.0, 0.0)))
    saved = np.linspace(0.0, until, STEPS + 1)
    run = go(
        one.held, one.moving, still, surface_of(level()), saved, cars=one.cars, event=Event("let go", "drop"),
        start=start, tolerance=FOLLOWED,
    )  # fmt: skip
    assert run.ended[0] == 0, run.sentences
    return run


def rises(run: Run) -> tuple[np.ndarray, np.ndarray]:
    """Of body and left front wheel from where they stand at rest, (T,) m."""
    rest = run.held.border("heave")[0]
    return run.seen.heave[:, 0] - rest, run.seen.centre_height[:, 0, 0] - 0.3 - rest


def test_golden_car_over_a_step_of_the_road():
    """The road steps up by 5 mm under all wheels: as if car and wheels had been let down below it."""
    size = 5e-3
    body_rise, wheel_rise = (rise + size for rise in rises(followed(GOLDEN, STEPS * STEP, heave=-size)))
    state, asked = np.zeros(4), []
    for _ in range(STEPS):
        state = ST @ state + PR * size
        asked.append(state[[0, 2]])
    printed = 2e-5 * size  # seven figures, forty times over
    assert np.abs(body_rise[1:] - np.array(asked)[:, 0]).max() < printed
    assert np.abs(wheel_rise[1:] - np.array(asked)[:, 1]).max() < printed


def test_two_masses_let_go():
    size = 2e-3
    run = followed(INMAN, 1.0, raised=size)
    slow, fast = np.cos(10.0 * np.sqrt(2.0) * run.time), np.cos(20.0 * run.time)
    free, held = rises(run)
    assert np.abs(held - 0.5 * size * (slow + fast)).max() < 1e-6 * size
    assert np.abs(free - 1.5 * size * (slow - fast)).max() < 1e-6 * size


def test_ring_down_of_a_shock_absorber():
    """Quartered every half cycle of 1 s."""
    free, _ = rises(followed(SHOCK, 2.0, heave=0.02, raised=-0.02))
    assert free[STEPS // 2] == pytest.approx(-0.02 / 4.0, rel=2e-3)  # the tyre gives 1e-4 of every half cycle's phase
    assert free[STEPS] == pytest.approx(0.02 / 16.0, rel=2e-3)


def test_ring_down_from_rest():
    """x(2 s) = -0.01616 m from 0.2 m, here a tenth of it."""
    free, _ = rises(followed(MERIAM, 2.0, heave=0.02, raised=-0.02))
    assert 10.0 * free[STEPS] == pytest.approx(-0.01616, abs=2e-5)
