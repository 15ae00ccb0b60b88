"""`axlewright bench CAR`: the web page, on this machine or shared with phones on the local network."""

from __future__ import annotations

import os
import sys
from typing import NoReturn

import click

from axlewright.errors import AxlewrightError


@click.command("bench")
@click.argument("car")
@click.option("--port", type=int, default=8765, show_default=True, help="Where to listen; 0 takes any free port.")
@click.option("--share", is_flag=True, help="Let phones on the local network in, with an access code.")
def command(car: str, port: int, share: bool) -> None:
    """Serve the page of one car until Ctrl-C: adjust, effects, linkage, motion, the car file, help.

    Only this machine reaches it, unless --share lets others on the local network in: they need the code, which stands
    in the address and the QR code that are printed.

    Example: axlewright bench my-car.toml --share
    """
    from axlewright.web.serve import serve

    def say(place: object, bench: object) -> None:
        _print(place, bench, share)

    try:
        serve(car, port=port, share=share, say=say)
    except KeyboardInterrupt:
        click.echo("\nThe bench is closed. What was saved is in the car file.")
        _end()
    except AxlewrightError as error:
        raise click.ClickException(str(error)) from error


def _end() -> NoReturn:
    """End the process at once.

    A thread that is compiling or solving can't be stopped: Python's own way out would wait for it, or crash in it.
    Whatever was said to be saved is on disk already.
    """
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(0)


def _print(place, bench, share: bool) -> None:  # noqa: ANN001 - a Place and a Bench, not loaded before they are needed
    if share:
        import segno

        segno.make(place.addresses[0], error="m").terminal(compact=True)
        click.echo(f"Scan it, or open one of these and give the code {place.code}:")
    where = (
        bench.file.name if bench.file else f"{bench.mounted.source} (a demo car; a change is kept in its own file here)"
    )
    for address in place.addresses:
        click.echo(f"  {address}")
    click.echo(f"On the bench: {bench.mounted.car.name}, {where}. Ctrl-C ends it.")
    if share:
        click.echo("Whoever has the code can move adjusters and save: share with people you trust.")
