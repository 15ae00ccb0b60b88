"""Reading a car file: each thing that is no car file gets one clear sentence."""

from __future__ import annotations

import os

import pytest

from axlewright.car.file import DEMO_CARS, LARGEST, load, parse, read
from axlewright.errors import CarFileError, NotACarFileError


@pytest.mark.parametrize("name", DEMO_CARS)
def test_the_demo_cars_load(name):
    assert load(name).name == name


def test_a_file_is_read_by_its_path_with_or_without_a_byte_order_mark(tmp_path):
    path = tmp_path / "car.toml"
    path.write_text(read("teasel"), encoding="utf-8-sig")
    assert load(path) == load("teasel")
    assert load(str(path)).name == "teasel"


def test_a_file_called_like_a_demo_car_is_read_instead_of_it(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "teasel").write_text(read("bramble"), encoding="utf-8")
    assert load("teasel").name == "bramble"


def refused(path) -> str:
    with pytest.raises(NotACarFileError) as refusal:
        load(path)
    (problem,) = refusal.value.problems
    return str(problem)


def test_a_missing_file(tmp_path):
    message = refused(tmp_path / "tesel.toml")
    assert "no such file" in message
    assert f"use a demo car: {', '.join(DEMO_CARS)}" in message


def test_a_folder(tmp_path):
    assert "found a folder" in refused(tmp_path)


def test_a_binary_file(tmp_path):
    path = tmp_path / "photo.toml"
    path.write_bytes(bytes(range(256)))
    assert "binary data" in refused(path)
    path.write_bytes(b'name = "a\0b"')
    assert "binary data" in refused(path)


def test_text_in_another_encoding(tmp_path):
    path = tmp_path / "car.toml"
    path.write_text(read("teasel"), encoding="utf-16")
    assert "save it as UTF-8 text" in refused(path)


def test_a_huge_file_is_refused_before_it_is_read(tmp_path):
    path = tmp_path / "log.toml"
    with path.open("wb") as file:
        file.truncate(LARGEST + 1)
    assert "a file of 2.0 MB" in refused(path)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may read everything")
def test_a_file_that_may_not_be_read(tmp_path):
    path = tmp_path / "car.toml"
    path.write_text("", encoding="utf-8")
    path.chmod(0)
    assert "can't be read" in refused(path)


def test_a_file_that_the_system_cannot_read(tmp_path):
    assert "can't be read" in refused(tmp_path / ("x" * 300))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('name = "teasel', r"not TOML: .*look there for a missing quote"),
        ("name = teasel", r"not TOML: .*line 1"),
        ("[front\n", r"not TOML: .*line 1"),
        ('name = "a"\nname = "b"', r"not TOML: .*overwrite"),
        ("<html>", r"not TOML"),
        ("a = " + "[" * 100_000, r"tables nested without end|not TOML"),
    ],
)
def test_text_that_is_not_toml(text, message):
    with pytest.raises(NotACarFileError, match=message):
        parse(text, "car.toml")


def test_an_empty_file_is_asked_for_every_table():
    with pytest.raises(CarFileError, match=r"car\.toml: 12 problems") as refusal:
        parse("", "car.toml")
    assert {p.path for p in refusal.value.problems} >= {"name", "points", "masses", "front", "rear", "tyres"}
