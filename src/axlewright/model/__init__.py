"""A car assembled into unknowns, residual and exact derivatives (JAX, float64)."""

from axlewright._runtime import jax_ready

jax_ready()
