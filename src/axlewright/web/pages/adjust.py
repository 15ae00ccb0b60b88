"""Adjust: every adjuster by where it sits on the car, and what the setup as it stands now does in one phase."""

from __future__ import annotations

from fastapi import APIRouter

from axlewright.web.answers import Answers
from axlewright.web.bench import Bench
from axlewright.web.page import Page


def page(bench: Bench, answers: Answers) -> Page:
    """The page on one bench."""
    del bench, answers
    return Page("adjust", "Adjust", "One step of this: what changes, and what else?", APIRouter(prefix="/adjust"))
