"""What every command that solves says and does alike: tables, progress, cautions, and the car with a setup to try."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager

import click
from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

from axlewright.errors import RequestError

AT_ONCE = 0.7  # s; work that is done by then shows no progress bar
WIDTH = 120  # columns of a table that goes to a file or a pipe


def console() -> Console:
    """Where tables go; full width where nobody's window sets it."""
    wide = Console(highlight=False)
    return wide if wide.is_terminal else Console(highlight=False, width=WIDTH)


@contextmanager
def progress() -> Iterator[Callable[[str, int, int], None]]:
    """A progress bar on stderr that appears only when the work takes a moment."""
    started = time.monotonic()
    bar = Progress(
        TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn(),
        console=Console(stderr=True), transient=True, disable=not sys.stderr.isatty(),
    )  # fmt: skip
    task = bar.add_task("", total=1)

    def say(what: str, done: int, of: int) -> None:
        if not bar.live.is_started and time.monotonic() - started > AT_ONCE:
            bar.start()
        bar.update(task, description=what, completed=done, total=of)

    try:
        yield say
    finally:
        bar.stop()


def cautions(target: Console, texts: Iterable[str]) -> None:
    """Cautions below a table, one line each."""
    for text in texts:
        target.print(f"[yellow]{text}[/yellow]")


def setup_of(pairs: Sequence[str], option: str = "--set") -> dict[str, float]:
    """`("front_bar_hole=4",)` as a setup."""
    found: dict[str, float] = {}
    for pair in pairs:
        key, equals, number = pair.partition("=")
        try:
            found[key.strip()] = float(number)
        except ValueError:
            equals = ""
        if not equals:
            raise RequestError(
                f'found {option} "{pair}"; expected ADJUSTER=POSITION, such as {option} front_bar_hole=4'
            )
    return found


setting = click.option(
    "--set", "setting", multiple=True, metavar="ADJUSTER=POSITION", help="Try an adjuster at another position."
)
units = click.option(
    "--units",
    type=click.Choice(["metric", "us"]),
    default=None,
    help="Units to show.",
)
as_json = click.option("--json", "as_json", is_flag=True, help="Print JSON, in SI units.")
as_csv = click.option("--csv", "as_csv", is_flag=True, help="Print CSV, in SI units.")
phase = click.option("--phase", "phases", multiple=True, help="Only this phase; may be given again.")
turn = click.option("--turn", type=click.Choice(["left", "right", "both"]), default=None, help="Turn direction.")
adjuster = click.option("--adjuster", "adjusters", multiple=True, help="Only this adjuster, by id; may be given again.")
reading = click.option("--reading", "readings", multiple=True, help="Only this reading, by id; may be given again.")
