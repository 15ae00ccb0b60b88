"""Writing a car file back: comments and order kept, whole or not at all."""

from __future__ import annotations

import re
import tomllib

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from axlewright.car.file import load, parse, read
from axlewright.car.starter import starter_text
from axlewright.car.write import with_positions, write, write_text
from axlewright.errors import CarFileError

IDS = st.from_regex(r"\A[a-z][a-z0-9_]{0,12}\Z")
POSITIONS = st.dictionaries(IDS, st.integers(-40, 40) | st.floats(-1e3, 1e3, allow_nan=False), min_size=1, max_size=5)
FEW = settings(max_examples=20)  # each reads a whole car several times


def comments(text: str) -> list[str]:
    return re.findall(r"#.*", text)


@given(POSITIONS)
@FEW
@example({"front_bar": 4})
def test_positions_are_kept_and_nothing_else_is_touched(positions):
    for text in (read("teasel"), starter_text()):
        written = with_positions(text, positions)
        assert written.startswith(text.rstrip("\n"))
        assert comments(written) == comments(text)
        assert tomllib.loads(written)["setup"] == positions
        assert parse(written).setup == positions
        without_setup = {key: value for key, value in tomllib.loads(written).items() if key != "setup"}
        assert without_setup == tomllib.loads(text)


@given(POSITIONS, POSITIONS)
@FEW
def test_a_later_move_replaces_in_place(first, second):
    once = with_positions(read("bramble"), first)
    commented = once.replace("[setup]\n", "[setup] # as left on Sunday\n")
    twice = with_positions(commented, second)
    assert "[setup] # as left on Sunday" in twice
    assert parse(twice).setup == {**first, **second}
    assert with_positions(twice, second) == twice


def test_a_setup_table_in_the_middle_of_a_file_stays_there():
    text = read("teasel").replace("[brakes]", "[setup]\nfront_bar = 2 # softer for rain\n\n[brakes]")
    written = with_positions(text, {"front_bar": 4, "rear_bar": 3.5})
    assert "front_bar = 4 # softer for rain\nrear_bar = 3.5\n\n[brakes]" in written
    assert parse(written).setup == {"front_bar": 4, "rear_bar": 3.5}


def test_a_file_is_replaced_whole(tmp_path):
    path = tmp_path / "car.toml"
    path.write_text("old", encoding="utf-8")
    path.chmod(0o640)
    write(path, read("teasel"))
    assert path.read_text(encoding="utf-8") == read("teasel")
    assert path.stat().st_mode & 0o777 == 0o640
    assert list(tmp_path.iterdir()) == [path]


def test_windows_line_ends_are_kept(tmp_path):
    path = tmp_path / "car.toml"
    text = read("teasel").replace("\n", "\r\n")
    write(path, text)
    assert path.read_bytes().decode() == text
    assert load(path) == load("teasel")


@pytest.mark.parametrize(
    "text",
    ["name = ", "name = 'x'", read("teasel").replace('rate = "42 N/mm +- 3 %"', 'rate = "42 N"')],
    ids=["not TOML", "no car", "a bad value"],
)
def test_a_bad_car_is_not_written(tmp_path, text):
    path = tmp_path / "car.toml"
    path.write_text("old", encoding="utf-8")
    with pytest.raises(CarFileError):
        write(path, text)
    assert path.read_text(encoding="utf-8") == "old"
    assert list(tmp_path.iterdir()) == [path]


def test_a_write_that_fails_leaves_the_old_file(tmp_path, monkeypatch):
    path = tmp_path / "car.toml"
    path.write_text("old", encoding="utf-8")

    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(OSError, match="No space left"):
        write_text(path, "new")
    assert path.read_text(encoding="utf-8") == "old"
    assert list(tmp_path.iterdir()) == [path]
