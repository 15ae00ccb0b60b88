"""`axlewright check CAR`: what is wrong with a car file, and what is unusual."""

from __future__ import annotations

import json
from collections.abc import Sequence

import click

from axlewright.car.check import Report, check, report_data
from axlewright.errors import Problem


@click.command("check")
@click.argument("car")
@click.option("--json", "as_json", is_flag=True, help="Print the report as JSON.")
@click.pass_context
def command(ctx: click.Context, car: str, as_json: bool) -> None:
    """Say what is wrong with a car file, and what is unusual.

    A problem stops the car from being used; a warning is a number outside common practice and stops nothing. The exit
    code is 1 when there are problems.

    Example: axlewright check my-car.toml
    """
    report = check(car)
    click.echo(json.dumps(report_data(report), indent=2, ensure_ascii=False) if as_json else plain_text(report))
    ctx.exit(0 if report.ok else 1)


def plain_text(report: Report) -> str:
    """The report for people: one block for each problem and warning."""
    verdict = "can be used" if report.ok else "can't be used"
    counts = [_count(report.problems, "problem"), _count(report.warnings, "warning")]
    head = f"{report.source}: {verdict}; {' and '.join(counts)}."
    blocks = [_block("problem", p) for p in report.problems] + [_block("warning", p) for p in report.warnings]
    return "\n\n".join([head, *blocks])


def _count(items: Sequence[Problem], word: str) -> str:
    return f"no {word}s" if not items else f"1 {word}" if len(items) == 1 else f"{len(items)} {word}s"


def _block(word: str, problem: Problem) -> str:
    likeliest = "likeliest fix" if word == "problem" else "if it is not meant"
    return (
        f"{word}: {problem.path}\n"
        f"  found:    {problem.found}\n"
        f"  expected: {problem.expected}\n"
        f"  {likeliest}: {problem.fix}"
    )
