"""Torsion bars and anti-roll bars against handbook numbers. TB-1 and the like: ids in the list of check values."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.parts import anti_roll_bar as bar

INCH, POUND, PSI = 0.0254, 4.4482216152605, 6894.757293168  # exact (UN-1); m, N, Pa
LB_IN = POUND / INCH  # N/m

SIX_DIGITS = 1e-5  # TB-5 prints six
THREE_DIGITS = 2e-3  # an answer printed to three digits is known to half of its last one
FOUR_DIGITS = 2e-4
PUHN_DIGITS = 5e-5  # 0.4244 and 0.2264 are printed to four digits: 1e-4 relative at most, seldom both the same way


def degrees_of_twist(torque, shear_modulus, length, outer, inner=0.0):
    return np.degrees(torque / bar.torsion_stiffness(shear_modulus, length, outer, inner))


def test_solid_bar_twist_to_six_digits():
    """TB-5: university course notes ENGN0310, problem SP1. d 30 mm, L 0.4 m, G 77 GPa, 250 N m."""
    assert bar.polar_moment(0.030) == pytest.approx(7.95216e-8, rel=SIX_DIGITS)
    assert 250.0 / bar.torsion_stiffness(77e9, 0.4, 0.030) == pytest.approx(0.0163314, rel=SIX_DIGITS)
    assert degrees_of_twist(250.0, 77e9, 0.4, 0.030) == pytest.approx(0.93572, rel=SIX_DIGITS)


def test_solid_bar_stress_and_twist():
    """TB-1: Gere, Mechanics of Materials, example 3-1 (transcription). d 1.5, L 54 in, 250 lb-ft, 11.5e6 psi."""
    torque = 250.0 * 12.0 * POUND * INCH
    assert bar.torsion_stress(torque, 1.5 * INCH) / PSI == pytest.approx(4530.0, rel=1e-3)  # printed 4530 for 4527
    assert degrees_of_twist(torque, 11.5e6 * PSI, 54 * INCH, 1.5 * INCH) == pytest.approx(1.62, rel=3e-3)


@pytest.mark.parametrize(("bore", "by_stress", "by_twist"), [(0.0, 0.0535, 0.0588), (0.8, 0.0637, 0.0671)])
def test_solid_and_hollow_shaft_sizes(bore, by_stress, by_twist):
    """TB-2: Gere, example 3-2 (from a transcription). 1 200 N m at 40 MPa and 0.75 deg/m with G 78 GPa."""
    assert bar.torsion_stress(1200.0, by_stress, bore * by_stress) == pytest.approx(40e6, rel=3 * THREE_DIGITS)
    twist = degrees_of_twist(1200.0, 78e9, 1.0, by_twist, bore * by_twist)  # goes with the fourth power of the size
    assert twist == pytest.approx(0.75, rel=4 * THREE_DIGITS)


def test_hollow_shaft():
    """TB-3: Beer, Johnston, DeWolf, Mechanics of Materials, examples 3.01, 3.02 (from a transcription). 60 / 40 mm."""
    torque = 120e6 * bar.polar_moment(0.060, 0.040) / 0.030
    assert bar.polar_moment(0.060, 0.040) == pytest.approx(1.021e-6, rel=1e-3)
    assert torque == pytest.approx(4080.0, rel=1.1e-3)  # printed 4.08 kN m for 4.084
    assert bar.torsion_stress(torque, 0.060, 0.040) * 40 / 60 == pytest.approx(80e6, rel=1e-9)  # at the bore
    assert np.radians(2.0) * bar.torsion_stiffness(77e9, 1.5, 0.060, 0.040) == pytest.approx(1829.0, rel=1e-3)


def test_stepped_shaft_twists_add():
    """TB-4: Beer, sample problem 3.3 (from a transcription). Three lengths, G 77 GPa, 2.31 deg in all."""
    parts = [(250.0, 0.4, 0.030, 0.0), (2250.0, 0.2, 0.060, 0.0), (2250.0, 0.6, 0.060, 0.044)]
    total = sum(degrees_of_twist(torque, 77e9, length, outer, inner) for torque, length, outer, inner in parts)
    assert total == pytest.approx(2.31, rel=THREE_DIGITS)


@pytest.mark.parametrize(
    ("dia", "lever", "length", "arm", "rate"),
    [(1.0, 8.0, 36.0, 10.0, 415.21), (0.875, 7.5, 38.0, 9.0, 273.35), (1.125, 10.0, 40.0, 12.0, 383.42)],
)
def test_puhns_bar_formula_is_one_end_with_the_other_held(dia, lever, length, arm, rate):
    """ARB-1: Puhn, How to Make Your Car Handle, formula from memory: 500000 D^4 / (0.4244 A^2 B + 0.2264 C^3).

    Its constants are G = 12.0e6 and E = 30.0e6 psi with both arms bending. The rates are computed from the formula.
    """
    torsion = bar.torsion_stiffness(12e6 * PSI, length * INCH, dia * INCH)
    bending = 30e6 * PSI * bar.bending_moment_of_area(dia * INCH)
    lever_m, arm_m = lever * INCH, arm * INCH
    stiffness = bar.twist_stiffness(torsion, bending, lever_m, lever_m, arm_m, arm_m)
    formula = 500_000 * dia**4 / (0.4244 * lever**2 * length + 0.2264 * arm**3)
    assert formula == pytest.approx(rate, abs=0.005)
    assert bar.end_rate(stiffness, lever_m) / LB_IN == pytest.approx(rate, rel=PUHN_DIGITS)
    # The trap: in pure roll each end of the same bar carries twice that. Taking one for the other must not pass.
    in_roll = stiffness * (2.0 / lever_m) / lever_m / LB_IN
    assert in_roll == pytest.approx(2.0 * rate, rel=PUHN_DIGITS)
    assert in_roll != pytest.approx(rate, rel=0.9)


def test_product_steel_is_four_percent_softer_in_torsion_than_the_formulas_constant():
    """ARB-1: with G = 11.5e6 psi (79.3 GPa) instead of 12.0e6."""
    formula, steel = (bar.torsion_stiffness(g * PSI, 1.0, 0.022) for g in (12.0e6, 11.5e6))
    assert steel / formula - 1.0 == pytest.approx(-0.042, abs=0.0005)


@pytest.mark.parametrize(("near", "far"), [(0.20, 0.21), (0.25, 0.30)])
def test_a_holes_radius_acts_with_a_power_between_two_and_three(near, far):
    """ARB-2, derived: exactly -2 with stiff arms, between -2 and -3 with bending arms."""

    def power(bending):
        rates = [bar.end_rate(bar.twist_stiffness(1900.0, bending, a, a), a) for a in (near, far)]
        return np.log(rates[1] / rates[0]) / np.log(far / near)

    assert power(np.inf) == pytest.approx(-2.0, abs=1e-10)
    assert -3.0 < power(3000.0) < -2.05
    assert power(1e-3) == pytest.approx(-3.0, abs=1e-3)  # all bending


def test_plain_torsion_bar_constant():
    """ARB-3: 1.12e6 d^4 / (L l^2), low authority; equals pi G / 32 for G = 11.41e6 psi. d 1, L 36, l 12 in: 216.05."""
    rate = bar.end_rate(bar.torsion_stiffness(11.41e6 * PSI, 36 * INCH, INCH), 12 * INCH)
    assert rate / LB_IN == pytest.approx(216.05, rel=3e-4)  # 11.41 has four digits


def test_bar_rate_through_a_motion_ratio():
    """ARB-4: magazine article. Arm 19 in, pickup 3 in inboard: ratio squared 0.70914; 600 lb/in at the wheel, 846."""
    ratio = (19.0 - 3.0) / 19.0
    assert ratio**2 == pytest.approx(0.70914, abs=5e-6)
    assert bar.motion_ratio_rate(846.09, ratio) == pytest.approx(600.0, rel=1e-5)
    assert bar.motion_ratio_rate(846.0, ratio) == pytest.approx(600.0, rel=1e-3)


def test_arm_bends_as_a_cantilever():
    """ARB-6: Wentzell, example 8.5 (from a transcription). Blade 12 x 1 in, 72 in, E 10e6 psi: 80.4 lb/in, 321.5 lb."""
    bending = 10e6 * PSI * (12.0 * 1.0**3 / 12.0) * INCH**4
    rate = 1.0 / (bar.arm_flexibility(72 * INCH, bending) * (72 * INCH) ** 2) / LB_IN
    assert rate == pytest.approx(80.4, rel=THREE_DIGITS)
    assert 4.0 * rate == pytest.approx(321.5, rel=FOUR_DIGITS)


@pytest.mark.parametrize(
    ("dia", "length", "arms", "rates", "digit"),
    [
        (0.022, 0.95, [0.20, 0.225, 0.25, 0.275, 0.30], [48, 38, 31, 25, 21], 0.5),
        (0.018, 0.95, [0.22, 0.245, 0.27, 0.295, 0.32], [17.8, 14.3, 11.8, 9.9, 8.4], 0.05),
    ],
)
def test_demo_cars_bars(dia, length, arms, rates, digit):
    """The design's demo car, an independent calculation; G 79.3 GPa for carbon steel (SP-9), stiff arms.

    The rear bar's length is not stated there; 0.95 m, the front's, gives its printed rates.
    """
    torsion = bar.torsion_stiffness(79.3e9, length, dia)
    found = [bar.end_rate(bar.twist_stiffness(torsion, np.inf, a, a), a) / 1e3 for a in arms]
    np.testing.assert_allclose(found, rates, atol=digit)  # printed to the digits shown
