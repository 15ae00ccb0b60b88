"""The pages, in the order of their links: one a file."""

from __future__ import annotations

from axlewright.web.answers import Answers
from axlewright.web.bench import Bench
from axlewright.web.page import Page
from axlewright.web.pages import adjust, car, effects, linkage, motion
from axlewright.web.pages import help as help_page

MADE = (adjust.page, effects.page, linkage.page, motion.page, car.page, help_page.page)


def every(bench: Bench, answers: Answers) -> tuple[Page, ...]:
    """All pages of one bench."""
    return tuple(make(bench, answers) for make in MADE)
