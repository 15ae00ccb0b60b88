"""JAX's settings: what is set, what the person's own settings keep, and what happens without a cache folder."""

from __future__ import annotations

import os
import subprocess
import sys

PROGRAM = """
import os
from axlewright._runtime import jax_ready
jax_ready()
import jax, jax.numpy as jnp
print(jax.jit(lambda x: x + 1)(jnp.zeros(2)).dtype, os.environ["XLA_FLAGS"], jax.config.jax_compilation_cache_dir)
"""
OURS = "--xla_cpu_use_fusion_emitters=false --xla_cpu_experimental_ynn_fusion_type="


def run(**changes):
    keep = {key: value for key, value in os.environ.items() if key not in ("XLA_FLAGS", "JAX_COMPILATION_CACHE_DIR")}
    command = [sys.executable, "-c", PROGRAM]
    done = subprocess.run(command, env=keep | changes, capture_output=True, text=True, check=True)
    return done.stdout.strip(), done.stderr


def test_float64_flags_and_a_filled_cache(tmp_path):
    out, err = run(XDG_CACHE_HOME=str(tmp_path))
    assert out == f"float64 {OURS} {tmp_path}/axlewright/compiled"
    assert list((tmp_path / "axlewright" / "compiled").iterdir())
    assert err == ""
    assert run(XDG_CACHE_HOME=str(tmp_path)) == (out, "")  # reading the cache back is silent too


def test_the_persons_own_flags_and_cache_are_kept(tmp_path):
    flags = "--xla_cpu_enable_fast_math=false"
    out, _ = run(XLA_FLAGS=flags, JAX_COMPILATION_CACHE_DIR=str(tmp_path), XDG_CACHE_HOME=str(tmp_path / "other"))
    assert out == f"float64 {flags} {tmp_path}"
    assert not (tmp_path / "other").exists()


def test_without_a_cache_folder_it_says_so_and_works(tmp_path):
    (tmp_path / "file").touch()  # a file where the folder should be
    out, err = run(XDG_CACHE_HOME=str(tmp_path / "file"))
    assert out == f"float64 {OURS} None"
    assert "every start takes longer; set XDG_CACHE_HOME" in err
