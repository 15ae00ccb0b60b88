"""The commands that answer without a solver: what they print, their exit codes and what they load."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest
from click.testing import CliRunner

from axlewright.car.file import load, read
from axlewright.car.starter import starter_text
from axlewright.cli.commands import COMMANDS
from axlewright.cli.main import cli

HEAVY = ("jax", "jaxlib", "scipy.linalg", "scipy.optimize", "rich")  # pint looks whether there is a scipy


def run(*arguments: str):
    return CliRunner().invoke(cli, arguments)


def test_help_lists_every_command():
    result = run("--help")
    assert result.exit_code == 0
    for name, command in COMMANDS.items():
        assert f"  {name} " in result.output
        assert command.summary.split()[0] in result.output


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_a_help_with_an_example(name):
    result = run(name, "--help")
    assert result.exit_code == 0
    assert f"axlewright {name}" in result.output


def test_a_misspelt_command_is_a_usage_error():
    result = run("chek", "teasel")
    assert result.exit_code == 2
    assert 'Did you mean "check"?' in result.stderr
    assert run("frobnicate").exit_code == 2
    assert run("check").exit_code == 2


def test_check_of_a_sound_car():
    result = run("check", "teasel")
    assert (result.exit_code, result.output) == (0, "teasel: can be used; no problems and no warnings.\n")


def test_check_tells_problems_and_exits_with_1(tmp_path):
    path = tmp_path / "car.toml"
    path.write_text(read("teasel").replace('rate = "42 N/mm +- 3 %"', 'rate = "42"'), encoding="utf-8")
    result = run("check", str(path))
    assert result.exit_code == 1
    assert "can't be used; 1 problem and no warnings" in result.output
    assert 'problem: rear.spring.rate\n  found:    "42" with no unit' in result.output
    assert "likeliest fix: add the unit" in result.output


def test_check_tells_warnings_and_exits_with_0(tmp_path):
    path = tmp_path / "car.toml"
    path.write_text(read("teasel").replace('front_share = "68 %"', 'front_share = "85 %"'), encoding="utf-8")
    result = run("check", str(path))
    assert result.exit_code == 0
    assert "can be used; no problems and 1 warning" in result.output
    assert "found:    front brake share 85 %" in result.output


def test_check_as_json(tmp_path):
    report = json.loads(run("check", "bramble", "--json").output)
    assert report == {"version": 1, "source": "bramble", "ok": True, "problems": [], "warnings": []}
    result = run("check", str(tmp_path / "none.toml"), "--json")
    (problem,) = json.loads(result.output)["problems"]
    assert result.exit_code == 1
    assert problem.keys() == {"path", "found", "expected", "fix"}


def test_new_writes_a_car_that_checks_clean_and_replaces_nothing(tmp_path):
    path = tmp_path / "my car.toml"
    result = run("new", str(path))
    assert result.exit_code == 0
    assert f"axlewright check {path}" in result.output
    assert load(path).name == "my car"
    path.write_text("mine", encoding="utf-8")
    again = run("new", str(path))
    assert again.exit_code == 1
    assert "nothing was written" in again.stderr
    assert path.read_text(encoding="utf-8") == "mine"
    assert run("new", str(path), "--force", "--name", "Tansy").exit_code == 0
    assert load(path).name == "Tansy"


def test_new_in_a_folder_that_is_not_there(tmp_path):
    result = run("new", str(tmp_path / "cars" / "a.toml"))
    assert result.exit_code == 1
    assert "there is no folder" in result.stderr


def test_new_to_the_screen():
    assert run("new", "-", "--name", "Tansy").output == starter_text("Tansy")


def test_schema_is_json():
    assert json.loads(run("schema").output)["type"] == "object"


@pytest.mark.parametrize("arguments", [["--help"], ["check", "teasel"], ["schema"], ["new", "-"]])
def test_nothing_heavy_is_loaded(arguments):
    """They answer in under half a second (a benchmark measures it): so they must not load the solver."""
    code = (
        "import sys\nfrom axlewright.cli.main import main\ntry:\n    main()\nfinally:\n"
        f"    print([m for m in {HEAVY!r} if m in sys.modules], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code, *arguments], capture_output=True, text=True, check=True)
    assert done.stderr.strip() == "[]"
    assert done.stdout


def test_checking_a_demo_car_needs_no_pint():
    """Its units are all familiar; loading pint is what takes a check nearest to half a second."""
    code = "import sys\nfrom axlewright.car.check import check\ncheck(sys.argv[1])\nprint('pint' in sys.modules)"
    for car in ("teasel", "bramble"):
        done = subprocess.run([sys.executable, "-c", code, car], capture_output=True, text=True, check=True)
        assert done.stdout.strip() == "False"


def test_it_runs_as_a_module():
    done = subprocess.run([sys.executable, "-m", "axlewright", "--version"], capture_output=True, text=True, check=True)
    assert done.stdout.startswith("axlewright ")
