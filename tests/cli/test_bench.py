"""The command that serves the page: where it is, what stands in its way, and how it ends."""

from __future__ import annotations

import re
import socket
from collections.abc import Iterator

import httpx
import pytest
from click.testing import CliRunner

from axlewright.cli.main import cli
from tests.running import Running

STARTS = 60.0  # s for the first lines; a loaded machine is slow, not wrong


@pytest.fixture
def running(request: pytest.FixtureRequest) -> Iterator[Running]:
    found = Running("sorrel", *getattr(request, "param", ()))
    yield found
    found.kill()


def test_the_address_is_printed_and_answers_and_ctrl_c_ends_it(running):
    assert httpx.get(f"{running.address}/adjust", timeout=STARTS).status_code == 200
    assert "sorrel" in running.said
    code, last = running.end()
    assert code == 0, last
    assert "The bench is closed" in last
    assert "Traceback" not in last


@pytest.mark.parametrize("running", [("--share",)], indirect=True)
def test_shared_it_prints_a_code_and_a_qr_code_and_asks_for_it(running):
    code = re.search(r"give the code ([2-9a-z]{10})", running.said)
    assert code, running.said
    assert "\u2588" in running.said or "\u2584" in running.said  # blocks of the QR code
    assert f"/in?code={code[1]}" in running.said
    assert httpx.get(f"{running.address}/adjust", timeout=STARTS).status_code == 401
    let_in = httpx.get(f"{running.address}/in?code={code[1]}", timeout=STARTS)
    assert let_in.status_code == 303
    assert running.end()[0] == 0


def test_alone_nobody_else_reaches_it(running):
    assert "code" not in running.said
    assert set(re.findall(r"http://([^:/]+)", running.said)) == {"127.0.0.1"}


def refused(*options: str) -> str:
    result = CliRunner().invoke(cli, ["bench", *options])
    assert result.exit_code == 1, result.output
    return " ".join(result.output.split())


def test_a_taken_port_says_so_with_the_likeliest_fix():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        said = refused("sorrel", "--port", str(port))
    assert f"found port {port} in use" in said
    assert f"--port {port + 1}" in said


@pytest.mark.parametrize("port", ["70000", "-1"])
def test_a_port_that_cannot_be_is_refused(port):
    assert f"found port {port}; expected 0 to 65535" in refused("sorrel", "--port", port)


def test_a_port_in_letters_is_a_command_line_that_cannot_be_read():
    assert CliRunner().invoke(cli, ["bench", "sorrel", "--port", "x"]).exit_code == 2


def test_a_car_that_is_none_is_refused(tmp_path):
    file = tmp_path / "wrong.toml"
    file.write_text("name = 3", encoding="utf-8")
    assert "problem" in refused(str(file))
    assert "no such file" in refused("nosuch.toml")
