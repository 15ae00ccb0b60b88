"""Which commands there are: the module of each, whose `command` it is, and one line for `axlewright --help`."""

from __future__ import annotations

from typing import NamedTuple

from axlewright.say.commands import SUMMARIES


class Command(NamedTuple):
    """A command that is imported when it is used."""

    module: str
    summary: str


COMMANDS = {name: Command(f"axlewright.cli.{name}", summary) for name, summary in SUMMARIES.items()}
