"""Linkage: where every part is as the wheels move or a phase holds, and what its geometry does through travel."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from fastapi import APIRouter
from fastapi.responses import StreamingResponse

from axlewright.solve.verbs import machine_of
from axlewright.web.answers import Answers
from axlewright.web.asked import Asked
from axlewright.web.bench import Bench, Mounted
from axlewright.web.linkage.answers import seen_answer, swept_answer
from axlewright.web.linkage.asked import Posed, Seen, Swept
from axlewright.web.linkage.choices import choices
from axlewright.web.linkage.state import Ready, ready
from axlewright.web.page import Page
from axlewright.web.streaming import answer


def page(bench: Bench, answers: Answers) -> Page:
    """The page on one bench."""
    routes = APIRouter(prefix="/linkage")

    @lru_cache(maxsize=16)
    def setup(mounted: Mounted, positions: frozenset[tuple[str, float]]) -> Ready:
        return ready(mounted.car_in(positions))

    def now(asked: Posed) -> Ready:
        return setup(bench.checked(asked), frozenset(asked.positions.items()))

    def base(asked: Posed) -> Ready | None:
        """The setup that is compared with, where that is asked for and is another one."""
        other = asked.overlay and asked.base != asked.positions
        return setup(bench.checked(asked), frozenset(asked.base.items())) if other else None

    @routes.post("/choices")
    def chosen(asked: Asked) -> StreamingResponse:
        return answer(
            lambda say: answers.kept("choices", asked, lambda: choices(machine_of(bench.car(asked)), asked.units))
        )

    @routes.post("/seen")
    def seen(asked: Seen) -> StreamingResponse:
        def make() -> dict[str, Any]:
            return seen_answer(now(asked), base(asked), asked)

        # a slider passes hundreds of poses that nobody asks for again
        return answer(lambda say: make() if asked.state == "moved" else answers.kept("seen", asked, make))

    @routes.post("/swept")
    def swept(asked: Swept) -> StreamingResponse:
        return answer(lambda say: answers.kept("swept", asked, lambda: swept_answer(now(asked), base(asked), asked)))

    return Page("linkage", "Linkage", "Where does everything go as the wheels move?", routes)
