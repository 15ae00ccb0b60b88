"""Coil springs, staged springs and gas against handbook numbers. SP-3 and the like: ids in the list of check values."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.parts import ELASTIC
from axlewright.parts.elastic import set_for, tension
from axlewright.parts.gas import ATMOSPHERE, rod_force, rod_rate
from axlewright.parts.spring_design import coil_rate, coil_stress, rates_in_series, solid_length, wahl_factor

LB_IN = 4.4482216152605 / 0.0254  # N/m, exact (UN-1)

ALL_DIGITS = 1e-6  # SP-7 prints eight to nine digits
PRINTED = 5e-4  # the rest print three to four digits


def test_spring_rate_stress_and_yield_load():
    """SP-3: Singh, Machine Design I, example 8.3 (from a transcription). d 3 mm, C 6, n 15, G 84 GPa, 40 N."""
    assert wahl_factor(0.003, 0.018) == pytest.approx(1.2525, rel=1e-5)
    assert coil_stress(40.0, 0.003, 0.018) == pytest.approx(85.05e6, rel=PRINTED)
    assert coil_rate(84e9, 0.003, 0.018, 15) == pytest.approx(9720.0, rel=PRINTED)
    assert 650e6 / coil_stress(1.0, 0.003, 0.018) == pytest.approx(305.7, rel=PRINTED)


def test_spring_design_from_load_and_deflection():
    """SP-2: Bhandari, Design of Machine Elements, example 10.1 (from a transcription). d 7 mm, C 6.

    8 of 10 coils active, 1 250 N, tau allowed 545 MPa, G 81 370 MPa: d 6.625 mm by stress, deflection 30.338 mm, solid
    length 70 mm.
    """
    by_stress = 6.62508e-3
    assert coil_stress(1250.0, by_stress, 6 * by_stress) == pytest.approx(545e6, rel=1e-5)
    assert 1250.0 / coil_rate(81.37e9, 0.007, 0.042, 8) == pytest.approx(30.338e-3, rel=2e-5)
    assert solid_length(0.007, 10) == pytest.approx(0.070, rel=1e-12)


def test_spring_in_inches():
    """SP-6: Wentzell, example 8.2 (transcription). Wire 0.105, coil 0.620 in, 11.85e6 psi, 10.79 coils: 70 lb/in."""
    rate = coil_rate(11.85e6, 0.105, 0.620, 10.792)  # inches and psi give lb/in
    assert rate == pytest.approx(70.0, rel=PRINTED)


def test_staged_springs():
    """SP-7: Bhandari, example 10.19 (from a transcription). Two concentric springs, the inner 15 mm shorter, 1 000 N.

    The same law as a progressive spring: the second rate comes in after 15 mm.
    """
    outer, inner = coil_rate(81.37e9, 0.006, 0.036, 10), coil_rate(81.37e9, 0.005, 0.030, 8)
    table = {"extra_onset": np.array([0.015, 0.0, 0.0]), "extra_step": np.array([inner, 0.0, 0.0])}
    staged = ELASTIC["coil_spring"]({"rate": outer, **table})
    deflection, reachable = set_for(staged, -1000.0)
    assert reachable
    assert deflection == pytest.approx(24.988839e-3, rel=ALL_DIGITS)
    assert outer * deflection == pytest.approx(706.021471, rel=ALL_DIGITS)
    assert inner * (deflection - 0.015) == pytest.approx(293.978529, rel=ALL_DIGITS)
    assert coil_stress(outer * deflection, 0.006, 0.036) == pytest.approx(375.305e6, rel=2e-6)
    assert coil_stress(inner * (deflection - 0.015), 0.005, 0.030) == pytest.approx(225.032e6, rel=3e-6)


def test_tender_in_series_until_it_closes():
    """SP-8, derived: 150 and 300 lb/in give 100 lb/in; changeover at 2 in, 200 lb, tender moved 1.3333 in."""
    tender, main = 150 * LB_IN, 300 * LB_IN
    assert rates_in_series(tender, main) == pytest.approx(100 * LB_IN, rel=1e-12)
    pair = ELASTIC["coil_spring"]({"rate": main, "tender_rate": tender, "tender_travel": 4 / 3 * 0.0254})
    inches = np.array([1.0, 1.9, 2.1, 3.0])
    pounds = -tension(pair, -inches * 0.0254) / (LB_IN * 0.0254)
    np.testing.assert_allclose(pounds, [100.0, 190.0, 230.0, 500.0], rtol=1e-9)


def test_gas_force_on_the_rod():
    """DA-6: 10 mm rod at 40 bar gives 315 N (exactly 314.16); derivation F + p (A - a) - p A = 0 over the piston."""
    assert rod_force(40e5, 0.010) == pytest.approx(315.0, rel=5e-3)
    assert rod_force(40e5, 0.010) == pytest.approx(314.159, abs=0.001)


def test_gas_rate_uses_absolute_pressure():
    """DA-7, derived from a problem by Kelly: n 1.4, 150 kPa absolute, column 0.30 m, 300 N/m needs 4.286e-4 m^2."""
    area = 4.286e-4
    rate = rod_rate(150e3 - ATMOSPHERE, np.sqrt(4 * area / np.pi), area * 0.30, exponent=1.4)
    assert rate == pytest.approx(300.0, rel=2e-4)  # the area is given to four digits
