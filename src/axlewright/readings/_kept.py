"""Intermediate results that several readings share: worked out once a batch, kept on the object they belong to."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TypeVar

Owner = TypeVar("Owner")
Found = TypeVar("Found")


def kept(work: Callable[[Owner], Found]) -> Callable[[Owner], Found]:
    """Make a function of one object remember its result there, as `functools.cached_property` does for a method.

    The object must have a `__dict__` and be immutable, so that the result can't go stale.
    """
    key = f"{work.__module__}.{work.__qualname__}"

    @wraps(work)
    def once(owner: Owner) -> Found:
        store = vars(owner)
        if key not in store:
            store[key] = work(owner)
        return store[key]

    return once
