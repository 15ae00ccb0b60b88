"""Run every benchmark and print one table."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table

from benchmarks import start
from benchmarks.timing import processor, readable

SUBJECTS = (start,)  # modules with a `measure()` that yields measurements


def main() -> None:
    """Print the table of all subjects, with a mark where a limit is missed."""
    table = Table(title=processor())
    table.add_column("what")
    for column in ("size", "repeats", "median", "asked", ""):
        table.add_column(column, justify="right")
    for subject in SUBJECTS:
        for it in subject.measure():
            asked = "" if it.limit is None else readable(it.limit)
            mark = "" if it.limit is None else "ok" if it.seconds <= it.limit else "too slow"
            table.add_row(it.name, it.size, str(it.repeats), readable(it.seconds), asked, mark)
    Console().print(table)


if __name__ == "__main__":
    main()
