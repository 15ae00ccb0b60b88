"""Anti-roll bar: how stiff a round bar with two arms is, and how hard it is worked.

The bar's twist is counted from arm to arm, so one number, `twist_stiffness` in N m/rad, serves both ends:

    1/K = 1/torsion + bend_left + bend_right        torsion = G J / L        bend = c^3 / (3 E I a^2)

a is an arm's lever (hole to bar axis, square to it) and c its bent length; for a straight arm square to the bar c = a
and bend = a / (3 E I), a cantilever held at the bar. Torsion: Gere, Mechanics of Materials. With G = 12.0e6 psi
and E = 30.0e6 psi the whole is the bar formula of Puhn, How to Make Your Car Handle (from memory).

**The factor two.** `end_rate` K/a^2 is the force at one end per metre of that end while the other end is held. In pure
roll, one end up and the other down by d, the twist is 2 d / a and each end carries 2 K d / a^2.
"""

from __future__ import annotations

import numpy as np

from axlewright.parts._arrays import Array


def polar_moment(outer: Array, inner: Array = 0.0) -> Array:
    """J of a round bar or tube in m^4 from its diameters in m."""
    return np.pi / 32.0 * (outer**4 - inner**4)


def bending_moment_of_area(outer: Array, inner: Array = 0.0) -> Array:
    """I of a round arm in m^4: half of J."""
    return 0.5 * polar_moment(outer, inner)


def torsion_stiffness(shear_modulus: Array, length: Array, outer: Array, inner: Array = 0.0) -> Array:
    """G J / L in N m/rad of the straight part; modulus in Pa, length and diameters in m."""
    return shear_modulus * polar_moment(outer, inner) / length


def arm_flexibility(lever: Array, arm_bending: Array, bent_length: Array | None = None) -> Array:
    """Turn of one arm's hole about the bar axis per torque, rad/(N m), from the arm's bending alone.

    lever a and bent_length c in m (c = a unless given); arm_bending E I in N m^2, inf = stiff arm.
    """
    bent = lever if bent_length is None else bent_length
    return bent**3 / (3.0 * arm_bending * lever**2)


def twist_stiffness(
    torsion: Array,
    arm_bending: Array,
    lever_left: Array,
    lever_right: Array,
    bent_left: Array | None = None,
    bent_right: Array | None = None,
) -> Array:
    """K in N m/rad of bar and both arms, per radian of left arm against right arm (see the module's text)."""
    arms = arm_flexibility(lever_left, arm_bending, bent_left) + arm_flexibility(lever_right, arm_bending, bent_right)
    return 1.0 / (1.0 / torsion + arms)


def end_rate(stiffness: Array, lever: Array) -> Array:
    """Force at one drop link per metre of that end, N/m, **with the other end held**. In pure roll it is twice this."""
    return stiffness / lever**2


def torsion_stress(torque: Array, outer: Array, inner: Array = 0.0) -> Array:
    """Shear stress at the surface in Pa, T r / J (16 T / (pi d^3) for a solid bar); torque in N m, diameters in m."""
    return torque * 0.5 * outer / polar_moment(outer, inner)


def motion_ratio_rate(rate: Array, motion_ratio: Array) -> Array:
    """Rate at the wheel from a rate at the part: rate x ratio^2, ratio = part movement / wheel movement."""
    return rate * motion_ratio**2
