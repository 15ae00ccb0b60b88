"""A cache folder of one's own, so that what is kept from earlier runs is known."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from tempfile import TemporaryDirectory


@contextmanager
def own_cache() -> Iterator[Mapping[str, str]]:
    """Environment of a process whose cache folder is new and empty."""
    with TemporaryDirectory() as folder:
        person = {key: value for key, value in os.environ.items() if key != "JAX_COMPILATION_CACHE_DIR"}
        yield person | {"XDG_CACHE_HOME": folder}
