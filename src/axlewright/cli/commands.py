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
    "schema": Command("axlewright.cli.schema", "Print the JSON Schema of car files."),
}
