"""The cautions that stand below every table, in the terminal as on the page."""

from __future__ import annotations

ABOUT_NUMBERS = (
    "Predicted by a model of held states, not tested on this car. Tyre numbers are guessed unless you measured them: "
    "a direction is fairly sure, a size is not."
)
ABOUT_LOADS = (
    "Loads are screening values of steady states: no kerb strike, weld, notch or damage is in them. The sanctioning "
    "body's rules, the parts' makers and a qualified engineer decide."
)
BY_DEGREES = (
    "Prove a changed car by degrees: one slow lap, a straight-line brake test, then build up. Wound springs, gas "
    "dampers and jacked cars hurt people: never undo a loaded spring, chock the wheels, nobody under a jack."
)
