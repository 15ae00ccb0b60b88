"""Answers worked out beside the event loop, by few workers, so that scripts leave the page its share of the machine."""

from __future__ import annotations

import asyncio
import json
import logging
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from typing import Any

from starlette.responses import Response

from axlewright.errors import AxlewrightError
from axlewright.web.api.question import Data
from axlewright.web.streaming import FAULT, plain

WORKERS = 2
WAITING = 16  # questions asked and not answered
_LOG = logging.getLogger("axlewright.api")


class BusyError(Exception):
    """Too many questions are waiting."""


class Workers:
    """A few threads, and a short queue before them."""

    def __init__(self) -> None:
        self._pool = ThreadPoolExecutor(WORKERS, thread_name_prefix="api")
        self._asked = 0

    async def answer(self, work: Callable[[], Data]) -> Response:
        """The answer; raises what a person can put right, and `BusyError` when the queue is full."""
        if self._asked >= WAITING:
            raise BusyError(f"found {self._asked} questions waiting; expected fewer. Likeliest fix: ask again later.")
        self._asked += 1
        try:
            return await asyncio.get_running_loop().run_in_executor(self._pool, lambda: answered(work()))
        except AxlewrightError:
            raise
        except Exception:  # noqa: BLE001 - logged, and told
            _LOG.exception("a question was not answered")
            return answered({"error": {"message": FAULT, "problems": []}}, 500)
        finally:
            self._asked -= 1


def answered(data: Mapping[str, Any], status: int = 200, headers: Mapping[str, str] | None = None) -> Response:
    """JSON of plain characters: a name may hold half a letter that has no UTF-8."""
    text = json.dumps(plain(data), allow_nan=False, separators=(",", ":"))
    return Response(text, status, headers, media_type="application/json")
