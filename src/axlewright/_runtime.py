"""How JAX is set up, in one place: compiler flags, float64, and where compiled functions are kept.

`axlewright.model` calls `jax_ready()` before anything else, so every solve runs under these settings.
"""

from __future__ import annotations

import os
import warnings
from functools import cache
from pathlib import Path

# Measured with JAX 0.10.2 on a CPU: large batches 2-5 times faster, compiling 2-3 times shorter. The first turns the
# new fusion emitters off, the second (empty) the hand-over of fusions to another library. Drop them when they stop
# helping; XLA_FLAGS=" " runs anything without them.
XLA_FLAGS = "--xla_cpu_use_fusion_emitters=false --xla_cpu_experimental_ynn_fusion_type="


def cache_folder() -> Path:
    """The folder of compiled functions: `axlewright` in the user's cache folder ($XDG_CACHE_HOME, else ~/.cache)."""
    home = os.environ.get("XDG_CACHE_HOME")
    return (Path(home) if home else Path.home() / ".cache") / "axlewright" / "compiled"


@cache
def jax_ready() -> None:
    """Set JAX up, once a process. What the person has set in XLA_FLAGS or JAX_COMPILATION_CACHE_DIR is left alone.

    Warns when the cache folder can't be written: everything still works, but every start compiles again.
    """
    os.environ.setdefault("XLA_FLAGS", XLA_FLAGS)  # read when JAX first compiles, so before anything below

    import jax

    jax.config.update("jax_enable_x64", True)
    _keep_compiled_functions()


def _keep_compiled_functions() -> None:
    """Point JAX at the cache folder, and have it keep everything: our many small functions compile in 1-3 s each."""
    import jax

    jax.config.update("jax_persistent_cache_min_compile_time_secs", 0.0)
    jax.config.update("jax_persistent_cache_min_entry_size_bytes", 0)
    if jax.config.values["jax_compilation_cache_dir"] is not None:
        return
    folder = cache_folder()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        writable = os.access(folder, os.W_OK)
    except OSError:
        writable = False
    if writable:
        jax.config.update("jax_compilation_cache_dir", str(folder))
    else:
        warnings.warn(
            f"cannot write to {folder}, so compiled functions are not kept and every start takes longer; "
            "set XDG_CACHE_HOME to a folder that can be written",
            stacklevel=3,
        )
