"""Traced programs are kept between runs, made again when their file is damaged, and the same either way."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright import load, rest
from axlewright.solve import programs


@pytest.fixture
def empty_cache(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    programs._program.cache_clear()
    yield tmp_path
    programs._program.cache_clear()


def evaluated(standing):
    machine = standing.machine
    run = programs.program("evaluate", machine.form, machine.pivots, 1)
    return [np.asarray(x) for x in run(standing.car, standing.demand, standing.state)]


def kept_in(folder):
    return list(folder.rglob("evaluate-*.stablehlo"))


def test_a_program_is_kept_and_read_back(empty_cache, monkeypatch):
    standing = rest(load("teasel"))
    first = evaluated(standing)
    assert len(kept_in(empty_cache)) == 1
    programs._program.cache_clear()
    monkeypatch.setattr(programs.export, "export", lambda *_: pytest.fail("traced again"))
    for again, once in zip(evaluated(standing), first, strict=True):
        np.testing.assert_array_equal(again, once)


@pytest.mark.parametrize("damage", [b"", b"not a program"])
def test_a_damaged_file_is_made_again(empty_cache, damage):
    standing = rest(load("teasel"))
    first = evaluated(standing)
    (file,) = kept_in(empty_cache)
    whole = file.stat().st_size
    file.write_bytes(damage)
    programs._program.cache_clear()
    for again, once in zip(evaluated(standing), first, strict=True):
        np.testing.assert_array_equal(again, once)
    assert file.stat().st_size == whole


def test_another_car_or_size_is_another_program():
    teasel, bramble = (rest(load(name)).machine for name in ("teasel", "bramble"))
    keys = {
        programs._key(name, (machine.form, machine.pivots, batch))
        for name in ("solve", "push")
        for machine in (teasel, bramble)
        for batch in (1, 64)
    }
    assert len(keys) == 8
