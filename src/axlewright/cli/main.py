"""The command `axlewright`: a group whose commands are imported when they are used.

`--help`, `check`, `schema` and `new` answer at once, because nothing here loads the solver. Exit codes: 0 done, 1 a
problem with what a person wrote or asked, 2 a command line that cannot be read.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from importlib import import_module

import click

from axlewright.cli.commands import COMMANDS
from axlewright.errors import AxlewrightError


class Commands(click.Group):
    """A group that lists its commands without importing them."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        del ctx
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        del ctx
        if cmd_name not in COMMANDS:
            return None
        return import_module(COMMANDS[cmd_name].module).command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does, with the nearest name when there is no such command."""
        from difflib import get_close_matches

        name = args[0]
        near = get_close_matches(name, COMMANDS, n=1)
        if name not in COMMANDS and not name.startswith("-") and near:
            ctx.fail(f'No such command "{name}". Did you mean "{near[0]}"?')
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl([(name, command.summary) for name, command in COMMANDS.items()])

    def invoke(self, ctx: click.Context) -> object:
        """Run a command; what a person can put right is told in its own words, without a traceback."""
        try:
            return super().invoke(ctx)
        except AxlewrightError as error:
            raise click.ClickException(str(error)) from error


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="axlewright", message="axlewright %(version)s")
def cli() -> None:
    """What one step of each adjuster does to a race car with a live rear axle.

    CAR is a car file, or a demo car such as teasel; README.md says what each demo car is.
    """


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command line and end the process with its exit code."""
    # Looking for plugins of pydantic, of which there are none here, would take 20 ms of every start.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")
    cli.main(args=None if arguments is None else list(arguments), prog_name="axlewright")
