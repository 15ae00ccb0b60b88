"""What each command of the command line is for, in one line."""

from __future__ import annotations

SUMMARIES = {
    "check": "Say what is wrong with a car file, and what is unusual.",
    "new": "Write a commented car file to start from.",
    "rest": "Say how the car stands, as on scales.",
    "hold": "Say what state the car settles into in each phase.",
    "limit": "Say how far each phase can be pushed, and what runs out.",
    "travel": "Say what the geometry does as the wheels move.",
    "limits": "Say what binds, bottoms, comes loose or touches first.",
    "effects": "Say what one step of each adjuster changes.",
    "range": "Say what an adjuster does from end to end, or two as a grid.",
    "hit": "Say what the car does when the throttle opens or the brakes come on.",
    "steer": "Say how the car answers steering, and a foot in a turn.",
    "road": "Say what a bump, kerb, ripples or a rough road does to it.",
    "modes": "Say how it swings by itself, how damped, and how far from hopping.",
    "bench": "Serve the web page: in the garage, or on a phone at the track.",
    "schema": "Print the JSON Schema of car files.",
}
