"""`axlewright schema`: the JSON Schema of car files."""

from __future__ import annotations

import click


@click.command("schema")
def command() -> None:
    """Print the JSON Schema of car files, for editors that complete and check them.

    Example: axlewright schema > car.schema.json
    """
    from axlewright.car.json_schema import json_schema_text  # here, so that `schema --help` stays light

    click.echo(json_schema_text())
