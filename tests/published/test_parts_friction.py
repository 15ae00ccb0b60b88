"""Stick-slip against published vibration: a block on a belt whose friction falls with speed.

Leine, van Campen, de Kraker and van den Steen, Nonlinear Dynamics 16 (1998) 41: m = 1 kg, k = 1 N/m, belt 0.2 m/s,
F = 1 N/(1 + 3 s/m |v|). Inputs from memory; the period of 12.001 s (slip 4.296 s, stick 7.705 s, caught again at
x = -0.541 m) is recomputed with exact events. Negative damping: den Hartog, Mechanical Vibrations, from memory.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from axlewright.parts.friction import RETURN, force, held_at, rate

MASS, SPRING, BELT, STATIC, FALL = 1.0, 1.0, 0.2, 1.0, 3.0
STIFFNESS, LOSS = 1e6, RETURN  # of the element: what it twists, 1 um, is nothing beside x
OF_THE_ELEMENT = 2 * RETURN  # s, and m at up to 1 m/s: it springs back before it slides, and when it is caught


def limit(sliding: float) -> float:
    return STATIC / (1.0 + FALL * abs(sliding))


def motion(_: float, y: np.ndarray, damping: float = 0.0) -> list[float]:
    x, speed, held = y
    sliding = BELT - speed
    drawn = force(held, sliding, STIFFNESS, LOSS, limit(sliding))
    return [
        speed,
        (drawn - SPRING * x - damping * speed) / MASS,
        rate(held, sliding, STIFFNESS, limit(sliding)),
    ]


def test_stick_slip_limit_cycle_of_a_block_on_a_belt():
    def slips(_: float, y: np.ndarray) -> float:
        return SPRING * y[0] - STATIC

    def caught(_: float, y: np.ndarray) -> float:
        return y[1] - 0.999 * BELT

    slips.direction = caught.direction = 1.0  # type: ignore[attr-defined]
    run = solve_ivp(motion, (0.0, 40.0), [0.0, BELT, 0.0], "Radau", events=(slips, caught), rtol=1e-8, atol=1e-10)
    begins = run.t_events[0]
    ends = [run.t_events[1][run.t_events[1] > t][0] for t in begins[:-1]]
    where = [y[0] for t, y in zip(run.t_events[1], run.y_events[1], strict=True) if t in ends]
    assert len(ends) == 2  # whole cycles
    np.testing.assert_allclose(np.diff(begins), 12.0010, atol=OF_THE_ELEMENT)
    np.testing.assert_allclose(ends - begins[:-1], 4.2960, atol=OF_THE_ELEMENT)
    np.testing.assert_allclose(begins[1:] - ends, 7.7050, atol=OF_THE_ELEMENT)
    np.testing.assert_allclose(where, -0.5410, atol=OF_THE_ELEMENT)


@pytest.mark.parametrize(("damping", "grows"), [(0.0, True), (0.99, True), (1.01, False)])
def test_sliding_is_unsteady_while_damping_is_less_than_the_fall_of_friction(damping, grows):
    slope = FALL * STATIC / (1.0 + FALL * BELT) ** 2
    rest = np.array([limit(BELT), 0.0, held_at(limit(BELT), BELT, STIFFNESS, True)])
    np.testing.assert_allclose(motion(0.0, rest), 0.0, atol=1e-9)
    steps = np.diag([1e-6, 1e-6, 1e-6])
    matrix = np.stack(
        [
            (np.array(motion(0.0, rest + s, damping * slope)) - np.array(motion(0.0, rest - s, damping * slope))) / 2e-6
            for s in steps
        ],
        axis=1,
    )
    fast, *slow = sorted(np.linalg.eigvals(matrix), key=lambda e: e.real)
    assert fast == pytest.approx(-1.0 / RETURN, rel=1e-4)
    assert np.all(np.real(slow) > 0.0) == grows
    if damping == 0.0:
        assert slow[0].real == pytest.approx(0.5859, abs=5e-5)  # last digit of the recomputed value
        assert abs(slow[0].imag) == pytest.approx(0.8104, abs=5e-5)
