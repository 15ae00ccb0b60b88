"""What a page is: its address and title, and the routes that its script asks."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter


@dataclass(frozen=True)
class Page:
    """One page. Its script is `static/pages/ADDRESS.js`, its own style, if any, `static/style/ADDRESS.css`."""

    address: str
    title: str
    question: str  # what a person comes here to ask
    router: APIRouter
