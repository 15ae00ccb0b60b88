"""Settings that every test runs under."""

from __future__ import annotations

import os

from hypothesis import settings

from axlewright._runtime import jax_ready

# No deadline: the first example of a property may compile. Same examples every run, so that a red run can be repeated.
settings.register_profile("repeatable", deadline=None, derandomize=True)
settings.register_profile("searching", deadline=None, max_examples=1000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "repeatable"))

jax_ready()  # float64 also in tests of parts, which don't import the model
