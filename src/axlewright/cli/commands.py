"""Which commands there are: the module of each, whose `command` it is, and one line for `axlewright --help`."""

from __future__ import annotations

from typing import NamedTuple


class Command(NamedTuple):
    """A command that is imported when it is used."""

    module: str
    summary: str


COMMANDS = {
    "check": Command("axlewright.cli.check", "Say what is wrong with a car file, and what is unusual."),
    "new": Command("axlewright.cli.new", "Write a commented car file to start from."),
    "rest": Command("axlewright.cli.rest", "Say how the car stands, as on scales."),
    "hold": Command("axlewright.cli.hold", "Say what state the car settles into in each phase."),
    "limit": Command("axlewright.cli.limit", "Say how far each phase can be pushed, and what runs out."),
    "travel": Command("axlewright.cli.travel", "Say what the geometry does as the wheels move."),
    "limits": Command("axlewright.cli.limits", "Say what binds, bottoms, comes loose or touches first."),
    "effects": Command("axlewright.cli.effects", "Say what one step of each adjuster changes."),
    "range": Command("axlewright.cli.range", "Say what an adjuster does from end to end, or two as a grid."),
    "hit": Command("axlewright.cli.hit", "Say what the car does when the throttle opens or the brakes come on."),
    "steer": Command("axlewright.cli.steer", "Say how the car answers steering, and a foot in a turn."),
    "road": Command("axlewright.cli.road", "Say what a bump, kerb, ripples or a rough road does to it."),
    "modes": Command("axlewright.cli.modes", "Say how it swings by itself, how damped, and how far from hopping."),
    "bench": Command("axlewright.cli.bench", "Serve the web page: in the garage, or on a phone at the track."),
    "schema": Command("axlewright.cli.schema", "Print the JSON Schema of car files."),
}
