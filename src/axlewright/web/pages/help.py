"""Help: what each reading, adjuster and word means, which way is which, what to mind; made from the program itself."""

from __future__ import annotations

import inspect
import sys
from functools import lru_cache
from typing import Any

from fastapi import APIRouter
from fastapi.responses import StreamingResponse

from axlewright.say.help import Section, help_of
from axlewright.say.help.entry import entry, paragraphs
from axlewright.web.answers import Answers
from axlewright.web.bench import Bench, Mounted
from axlewright.web.page import Page
from axlewright.web.streaming import answer


def page(bench: Bench, answers: Answers) -> Page:
    """The page on one bench."""
    del answers
    routes = APIRouter(prefix="/help")

    @routes.post("/all")
    def all_of_it() -> StreamingResponse:
        return answer(lambda say: help_answer(bench.mounted))

    return Page("help", "Help", "What does this mean, and which way is which?", routes)


@lru_cache(maxsize=4)
def help_answer(mounted: Mounted) -> dict[str, Any]:
    """Every section about the car on the bench, the pages themselves first."""
    return {
        "car": mounted.digest,
        "sections": [_section(section) for section in (pages_section(), *help_of(mounted.car))],
    }


def pages_section() -> Section:
    """The parts of the page, each as its own module says."""
    from axlewright.web.pages import MADE  # here, because this page is one of them

    told = [inspect.getdoc(sys.modules[make.__module__]) or "" for make in MADE]
    entries = [entry(f"page-{doc.partition(':')[0]}", *_named(paragraphs(doc))) for doc in told]
    about = "One page a question. Everybody at the bench moves the same setup; phase and units are each one's own."
    return Section("pages", "The pages", "Parts of the page", about, tuple(entries))


def _named(doc: str) -> tuple[str, str]:
    """`Adjust: every adjuster ...` as name and text."""
    name, _, text = doc.partition(": ")
    return name, f"{text[:1].upper()}{text[1:]}"


def _section(section: Section) -> dict[str, Any]:
    return {**section._asdict(), "entries": [{**one._asdict(), "facts": list(one.facts)} for one in section.entries]}
