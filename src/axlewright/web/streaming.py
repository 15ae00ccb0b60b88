"""An answer that tells how far it is: lines of JSON, progress first, then the answer or what went wrong.

{"progress": {"what", "done", "of"}}   any number of times
{"part": {...}}                        what can be shown already, any number of times
{"answer": {...}} or {"error": {"message", "problems": [{"path", "found", "expected", "fix"}]}}
"""

from __future__ import annotations

import asyncio
import json
import logging
import math
from collections.abc import AsyncIterator, Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from typing import Any

import numpy as np
from fastapi.responses import StreamingResponse

from axlewright.errors import AxlewrightError, CarFileError

WORKERS = 4  # at once; the solver's own threads do the heavy part
_POOL = ThreadPoolExecutor(WORKERS, thread_name_prefix="answer")
_LOG = logging.getLogger("axlewright.bench")


class Teller:
    """What a piece of work may tell on its way."""

    def __init__(self, tell: Callable[[Mapping[str, Any]], None]) -> None:
        self._tell = tell

    def __call__(self, what: str, done: int, of: int) -> None:
        """How far it is."""
        self._tell({"progress": {"what": what, "done": done, "of": of}})

    def part(self, found: Mapping[str, Any]) -> None:
        """What can be shown already."""
        self._tell({"part": found})


def answer(work: Callable[[Teller], Mapping[str, Any]]) -> StreamingResponse:
    """Work done beside the event loop, told line by line; failures a person can mend in their own words."""
    return StreamingResponse(_lines(work), media_type="application/x-ndjson", headers={"Cache-Control": "no-store"})


async def _lines(work: Callable[[Teller], Mapping[str, Any]]) -> AsyncIterator[str]:
    loop, told = asyncio.get_running_loop(), asyncio.Queue[Mapping[str, Any] | None]()

    def tell(line: Mapping[str, Any] | None) -> None:
        with suppress(RuntimeError):  # the bench was closed meanwhile: nobody listens any more
            loop.call_soon_threadsafe(told.put_nowait, line)

    def run() -> None:
        try:
            tell({"answer": work(Teller(tell))})
        except AxlewrightError as error:
            tell({"error": problem(error)})
        except Exception:  # noqa: BLE001 - logged, and told
            _LOG.exception("a question was not answered")
            tell({"error": {"message": FAULT, "problems": []}})
        tell(None)

    loop.run_in_executor(_POOL, run)
    while (line := await told.get()) is not None:
        yield dumps(line) + "\n"


FAULT = "found a fault of the program itself; expected none. Likeliest fix: try again, and keep the terminal's text."


def problem(error: AxlewrightError) -> dict[str, Any]:
    """What a person can put right, as data."""
    listed = error.problems if isinstance(error, CarFileError) else ()
    parts = [{"path": p.path, "found": p.found, "expected": p.expected, "fix": p.fix} for p in listed]
    return {"message": str(error), "problems": parts}


def dumps(data: object) -> str:
    """JSON with numbers that are not finite as null."""
    return json.dumps(plain(data), ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def plain(data: Any) -> Any:
    """Arrays, tuples and mappings as JSON has them; NaN and infinities as None."""
    if isinstance(data, (float, np.floating)):
        return float(data) if math.isfinite(data) else None
    if isinstance(data, np.integer):
        return int(data)
    if isinstance(data, np.bool_):
        return bool(data)
    if isinstance(data, np.ndarray):
        return plain(data.tolist())
    if isinstance(data, Mapping):
        return {str(key): plain(value) for key, value in data.items()}
    if isinstance(data, (list, tuple)):
        return [plain(value) for value in data]
    return data
