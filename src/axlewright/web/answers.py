"""Answers kept for a while: ten phones that ask one thing make one piece of work."""

from __future__ import annotations

import json
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import Future
from threading import Lock
from typing import Any

from pydantic import BaseModel

KEPT = 256  # answers; a whole table is some 100 kB


class Answers:
    """The last answers by what was asked, those still being worked out included."""

    def __init__(self, most: int = KEPT) -> None:
        self._most, self._lock = most, Lock()
        self._found: OrderedDict[str, Future[Any]] = OrderedDict()

    def has(self, question: str, asked: BaseModel) -> bool:
        """Whether the answer is there already."""
        with self._lock:
            future = self._found.get(_key(question, asked))
        return future is not None and future.done()

    def kept(self, question: str, asked: BaseModel, make: Callable[[], Any]) -> Any:
        """What `make` gives for this question, made once; who asks meanwhile waits for it. Failures are not kept."""
        key = _key(question, asked)
        with self._lock:
            future = self._found.get(key)
            mine = future is None
            if mine:
                future = self._found[key] = Future()
                while len(self._found) > self._most:
                    self._found.popitem(last=False)
            else:
                self._found.move_to_end(key)
        assert future is not None
        if mine:
            try:
                future.set_result(make())
            except BaseException as error:  # noqa: BLE001 - passed on to everybody who waits
                with self._lock:
                    self._found.pop(key, None)
                future.set_exception(error)
        return future.result()


def _key(question: str, asked: BaseModel) -> str:
    return question + json.dumps(asked.model_dump(mode="json"), sort_keys=True)
