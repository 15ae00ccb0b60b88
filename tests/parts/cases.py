"""Parts to test with: invented properties of ordinary size. Each registered law must have at least one case here."""

from __future__ import annotations

import numpy as np

from axlewright.parts.magic_formula import MagicTyre
from axlewright.parts.tyre import Tyre

PSI = 6894.757293168  # Pa

ELASTIC_CASES: list[tuple[str, dict]] = [
    ("coil_spring", {"rate": 95e3, "set": 0.035}),
    ("coil_spring", {"rate": 42e3, "set": 0.05, "seat": 0.004, "bind": 0.14, "bind_rate": 50e6}),
    ("coil_spring", {"rate": 60e3, "set": 0.08, "tender_rate": 20e3, "tender_travel": 0.03}),
    (
        "coil_spring",
        {
            "rate": 42e3,
            "set": 0.05,
            "extra_onset": np.array([0.02, 0.05, 0.07]),
            "extra_step": np.array([8e3, 12e3, 20e3]),
        },
    ),
    ("stop", {"sense": -1.0, "gap": 0.03, "rate": 80e3, "second_onset": 0.015, "second_step": 200e3, "packer": 0.005}),
    ("stop", {"sense": 1.0, "gap": 0.05, "rate": 400e3}),
    ("gas", {"force": 180.0}),
    ("compliant", {"stiffness": 8e6, "set": 2e-5}),
    ("drive_link", {"seat_rate": 6e6, "preload": 1500.0, "rate": 200e3, "travel": 0.022, "set": 2.25e-5}),
    ("drive_link", {"seat_rate": 6e6, "preload": 0.0, "rate": 200e3, "travel": 0.022}),
    ("drive_link", {"seat_rate": 6e6, "preload": 60.0, "rate": 200e3, "travel": np.inf}),
    (
        "brake_link",
        {"gas": 180.0, "gap": 0.002, "bumper_rate": 400e3, "second_onset": 0.004, "second_step": 300e3, "set": 0.001},
    ),
]

# The demo car's tyre, from the design.
SIMILARITY = Tyre(
    grip=1.42,
    reference_load=3000.0,
    grip_drop=0.045e-3,
    grip_camber=6.0,
    grip_ratio=1.05,
    slip_angle_peak=np.radians(6.2),
    slip_angle_peak_per_load=np.radians(0.25) / 1000.0,
    slip_ratio_peak=0.095,
    shape_c=1.35,
    shape_b=1.75,
    shape_e=-0.816,
    camber_slip=0.07,
    vertical_rate=255e3,
    reference_pressure=22.0 * PSI,
    vertical_rate_per_pressure=6.5e3 / PSI,
    longitudinal_stiffness=400e3,
    lateral_stiffness=180e3,
)

# Coefficients of SAE 870421 (1987), read in public files that quote it; vertical rate and carcass invented.
MAGIC = MagicTyre(
    lateral=np.array([-22.1, 1011.0, 1078.0, 1.82, 0.208, 0.0, -0.354, 0.707]),
    longitudinal=np.array([-21.3, 1144.0, 49.6, 226.0, 0.069, -0.006, 0.056, 0.486]),
    camber=np.array([0.028, 0.0, 14.8, 0.022]),
    lateral_shape=1.30,
    longitudinal_shape=1.65,
    vertical_rate=220e3,
    reference_pressure=200e3,
    vertical_rate_per_pressure=0.9,
    longitudinal_stiffness=400e3,
    lateral_stiffness=180e3,
)

TYRE_CASES = {"similarity": SIMILARITY, "magic-1987": MAGIC}
