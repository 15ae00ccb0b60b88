"""How a solve ended: a code in every batch, a sentence for a person."""

from __future__ import annotations

from enum import IntEnum


class Result(IntEnum):
    """Result codes; `SENTENCES` says each in words."""

    SOLVED = 0
    PAST_GRIP = 1
    PAST_POWER = 2
    TIPS = 3
    NOT_FOUND = 4
    WRONG_EFFORT = 5
    BAR_TOGGLE = 6
    NO_TURN_AT_REST = 7
    TOO_TIGHT = 8
    TWO_RESTS = 9
    RELAY_TOGGLE = 10


SENTENCES = {
    Result.SOLVED: "solved",
    Result.PAST_GRIP: "more than the tyres hold: the furthest state along the same direction is shown",
    Result.PAST_POWER: (
        "more drive or braking than the tyres hold: the furthest state along the same direction is shown"
    ),
    Result.TIPS: "the car tips before the tyres let go: the furthest state along the same direction is shown",
    Result.NOT_FOUND: "no state was found and no limit either; the last state that was in balance is shown",
    Result.WRONG_EFFORT: (
        "this needs the other pedal: the brakes can't push and a driving engine can't hold back; state shown as solved"
    ),
    Result.BAR_TOGGLE: (
        "an anti-roll bar arm is past toggle here: its drop link can't reach, forces are not to be trusted"
    ),
    Result.RELAY_TOGGLE: (
        "the steering's idler arm is past toggle here: the relay link can't reach, steer is not to be trusted"
    ),
    Result.NO_TURN_AT_REST: "a turn needs speed: a sideways acceleration was asked at standstill",
    Result.TOO_TIGHT: "the path is tighter than full steering lock at this speed",
    Result.TWO_RESTS: (
        "the axle housing has two rests here, both torque links slack: the furthest state on the side of rest is shown"
    ),
}
