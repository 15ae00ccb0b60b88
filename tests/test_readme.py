"""What the README shows is what happens: its commands exist, its example runs, its printed table is the program's."""

from __future__ import annotations

import contextlib
import io
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from axlewright.cli.commands import COMMANDS
from axlewright.cli.main import cli

README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


def test_every_command_is_there_and_no_other():
    assert set(re.findall(r"^\| `axlewright (\w+)", README, re.MULTILINE)) == COMMANDS.keys() - {"schema"}
    assert "axlewright schema" in README


@pytest.mark.slow
def test_the_example_prints_corner_weights():
    said = io.StringIO()
    (example,) = blocks("python")
    with contextlib.redirect_stdout(said):
        exec(compile(example, "README.md", "exec"), {})
    balance, loads = said.getvalue().split("\n", 1)
    # The weight of the car as weighed: 985 kg sprung, two corners of 36 kg, an axle of 123 kg, from its file.
    assert sum(map(float, re.findall(r"[\d.]+", loads))) == pytest.approx((985 + 2 * 36 + 123) * 9.81, rel=1e-6)
    assert -0.02 < float(balance) < 0  # a softer rear bar pushes more; common practice, no source


@pytest.mark.slow
def test_the_table_is_the_programs():
    arguments = re.search(r"`axlewright (effects teasel [^`]*)`", README)
    assert arguments is not None
    said = CliRunner().invoke(cli, arguments[1].split())
    assert said.exit_code == 0
    printed = {line.rstrip() for line in said.stdout.split("\n")}
    shown = next(block for block in blocks("") if block.startswith("mid-corner"))
    missing = [line for line in shown.split("\n") if line and line != "..." and line.rstrip() not in printed]
    assert missing == []
