"""The public surface is what `__all__` says, and reaching it loads no solver before one is needed."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import axlewright

SOURCE = Path(axlewright.__file__).parent
# Everything that must load without JAX: what the car is, and the command line up to the moment a command solves.
LIGHT = sorted(
    ".".join(("axlewright", *path.relative_to(SOURCE).with_suffix("").parts)).removesuffix(".__init__")
    for pattern in ("__init__.py", "units.py", "errors.py", "car/**/*.py", "cli/*.py")
    for path in SOURCE.glob(pattern)
)


def test_all_lists_exactly_the_verbs():
    held = ["effects", "hold", "limit", "load", "rest", "runs_out", "travel", "whole_range"]
    moving = ["brake_hit", "drop", "over_road", "sine_sweep", "step_steer", "swings", "torque_hit"]
    assert axlewright.__all__ == sorted([*held, *moving])
    assert set(axlewright.__all__) <= set(dir(axlewright))


@pytest.mark.parametrize("name", axlewright.__all__)
def test_every_listed_verb_can_be_called(name):
    assert callable(getattr(axlewright, name))


def test_an_unknown_verb_names_the_known_ones():
    verbs = ", ".join(axlewright.__all__)
    with pytest.raises(AttributeError, match=f"no attribute 'holds'; its verbs are {verbs}"):
        axlewright.holds  # noqa: B018 - the access is the test


def test_the_light_modules_load_no_jax():
    program = f"import {', '.join(LIGHT)}, sys; print([name for name in sys.modules if name.startswith('jax.')])"
    assert subprocess.run([sys.executable, "-c", program], check=True, capture_output=True, text=True).stdout == "[]\n"
