"""Which way a link is loaded, in words and as a sign, so that colour is never needed to tell it."""

from __future__ import annotations

from axlewright.say.numbers import US, Units, number

NOTHING = 0.5  # N; less is printed as nought


def sense(tension: float) -> int:
    """+1 for a link that pulls, -1 for one that pushes, 0 for one that carries nothing."""
    return 0 if abs(tension) < NOTHING else 1 if tension > 0 else -1


def said(tension: float, units: Units) -> str:
    """A tension in N in words: `pulls 3560 N`."""
    unit = US["N"] if units == "us" else "N"
    word = {1: "pulls", -1: "pushes", 0: ""}[sense(tension)]
    return f"{word} {number(abs(tension), unit)} {unit}" if word else "carries nothing"
