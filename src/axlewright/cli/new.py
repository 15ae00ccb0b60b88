"""`axlewright new FILE`: a commented car file to start from."""

from __future__ import annotations

from pathlib import Path

import click

from axlewright.car.starter import FRONT, REAR, SIDEWAYS, layouts, starter_text
from axlewright.errors import RequestError


class Lists(click.Command):
    """A command whose help ends with the layouts that there are."""

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        del ctx
        for kind in ("front", "rear", "sideways"):
            with formatter.section(f"--{kind}"):
                formatter.write_dl(list(layouts(kind).items()))


@click.command("new", cls=Lists)
@click.argument("file", default="car.toml")
@click.option("--name", default=None, help="Name of the car; the file's own name when left out.")
@click.option("--front", default=FRONT, show_default=True, metavar="LAYOUT", help="Front suspension, see below.")
@click.option("--rear", default=REAR, show_default=True, metavar="LAYOUT", help="Rear suspension, see below.")
@click.option(
    "--sideways", default=None, metavar="LAYOUT", help=f"What holds a beam axle sideways, {SIDEWAYS} when left out."
)
@click.option("--wheelbase", default=None, metavar="LENGTH", help='Such as "2.65 m" or "104 in".')
@click.option("--track", default=None, metavar="LENGTH", help="Between wheel centres, front and rear.")
@click.option("--wheel-radius", default=None, metavar="LENGTH", help="Loaded: height of the wheel centres.")
@click.option("--force", is_flag=True, help="Replace a file that is already there.")
def command(file: str, name: str | None, force: bool, **asked: str | None) -> None:
    """Write a commented car file to start from, to FILE (car.toml), or to the screen when FILE is "-".

    Its points work for the wheelbase, track and wheel radius that are asked for, and are nobody's car: change them all.

    Example: axlewright new my-car.toml --rear three-link --sideways panhard --wheelbase "2.4 m"
    """
    path = Path(file)
    text = starter_text(name or ("my car" if file == "-" else path.stem), **asked)  # pyright: ignore[reportArgumentType] click's defaults
    if file == "-":
        click.echo(text, nl=False)
        return
    if path.exists() and not force:
        raise RequestError(f"{file} is already there, and nothing was written. Name another file, or add --force.")
    if not path.parent.is_dir():
        raise RequestError(f"there is no folder {path.parent}, and nothing was written. Make it, or name another file.")
    path.write_text(text, encoding="utf-8")
    click.echo(f"Wrote {file}. Change its numbers to your car's, then run: axlewright check {file}")
