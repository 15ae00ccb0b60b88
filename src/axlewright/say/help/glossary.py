"""The words that the program uses in a sense of its own, and which way each thing counts."""

from __future__ import annotations

WORDS = {
    "car file": "One TOML file that says what the car is: points, parts, masses, tyres and adjusters, with units.",
    "adjuster": "A thing on the car that a hand changes in steps: hole, turn, click, shim, psi, another "
    "spring. It knows its range, where it stands, what one step does, how long it takes and "
    "where it can be done.",
    "setup": "One position for every adjuster. Setups kept by name are in the car file, with author, date and why.",
    "usable step": "The smallest step of an adjuster that is worth making, such as five turns of a jack. "
    "Tables and the buttons of the page step by it.",
    "move": "A change of one or more adjusters by whole usable steps.",
    "as turned": "What a move does by itself.",
    "put right": "What a move does together with the restoring moves that a team makes after it: ride heights, cross "
    "weight, bar zero, toe, pinion angle.",
    "re-check": "What has to be looked at again after a move. A setup is not ready while one is open.",
    "felt size": "The smallest change of a reading that a driver can tell, by a rule of thumb. A smaller "
    "one is marked as too small to feel.",
    "as written": "What the car file says is on the car. Only a check of the car says what really is.",
    "phase": "A held manoeuvre that a driver talks about, such as entry or exit: accelerations, speed, turn, grip of "
    "the road, engine or brakes.",
    "reading": "A number taken off a solved state, with its unit, its meaning and which way is which.",
    "effects table": "Readings by adjusters: what one usable step up and one down does to each, phase by phase.",
    "hold": "Solve the state that the car settles into in a phase. At rest is a hold with nothing asked.",
    "drive-side link": "The upper link that pulls under power: solid up to its preload, then a spring, then a stop.",
    "brake-side link": "The upper link that pushes under braking: gas and damper, then a bumper.",
    "wind-up": "Turning of the axle housing about the car's cross axis; under power the pinion's nose goes up.",
    "hop, tramp": "Hop: both wheels of an axle bounce together. Tramp: one against the other.",
    "sure, likely, not known": "How well a direction is known, from the tolerances that the car file gives.",
}
SIGNS = {
    "axes": "x forward, y left, z up (ISO 8855). The origin is on the ground below the front axle line, on the car's "
    "centreline. A car file may count x rearward and from another datum: it says so.",
    "turns": "Left turns are positive. Phases are told by inside and outside, and both turns are solved.",
    "acceleration": "Driving is positive, braking negative. Sideways is towards the inside of the turn.",
    "camber": "Positive: the top of the wheel leans outward, away from the car.",
    "toe": "Positive: toe-in. Printed with its word, as in: toe-out 1 mm total.",
    "links": "Tension is positive, compression negative. Springs, gas and bump stops: compression is their load.",
    "wheel travel": "Bump is the wheel rising against the chassis, droop is falling.",
    "wind-up": "Positive: pinion nose up against the chassis.",
    "motion ratio": "Spring travel over wheel travel, never the other way round.",
}
