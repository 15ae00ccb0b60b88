"""`axlewright new FILE`: a commented car file to start from."""

from __future__ import annotations

from pathlib import Path

import click

from axlewright.errors import RequestError


@click.command("new")
@click.argument("file", default="car.toml")
@click.option("--name", default=None, help="Name of the car; the file's own name when left out.")
@click.option("--force", is_flag=True, help="Replace a file that is already there.")
def command(file: str, name: str | None, force: bool) -> None:
    """Write a commented car file to start from, to FILE (car.toml), or to the screen when FILE is "-".

    Example: axlewright new my-car.toml --name "my car"
    """
    from axlewright.car.starter import starter_text

    if file == "-":
        click.echo(starter_text(name or "my car"), nl=False)
        return
    path = Path(file)
    if path.exists() and not force:
        raise RequestError(f"{file} is already there, and nothing was written. Name another file, or add --force.")
    if not path.parent.is_dir():
        raise RequestError(f"there is no folder {path.parent}, and nothing was written. Make it, or name another file.")
    path.write_text(starter_text(name or path.stem), encoding="utf-8")
    click.echo(f"Wrote {file}. Change its numbers to your car's, then run: axlewright check {file}")
