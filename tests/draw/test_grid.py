"""Plots over two adjusters."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.car.adjusters import adjusters_of
from axlewright.draw import curves as lines_module
from axlewright.draw import grid as module
from axlewright.draw.axis import of_adjuster, of_reading
from axlewright.draw.grid import Surface, grids
from axlewright.errors import RequestError
from axlewright.readings import READINGS
from tests.cars import TEASEL
from tests.draw.pictures import outside, overlaps, words_of

TURNS, HOLES = np.array([-12.0, -6.0, 0.0, 6.0, 12.0]), np.arange(1.0, 6.0)
EVERY = adjusters_of(TEASEL.car)
PIVOT, BAR = of_adjuster(EVERY["watt_pivot"]), of_adjuster(EVERY["front_bar_hole"])
BALANCE = of_reading(READINGS["balance"])
SLOPE = 0.02  # m/s2 a turn and twice that a hole: a plane


PLANE = SLOPE * (TURNS[:, None] + 2.0 * (HOLES - 3.0))


def grid(path, values=PLANE, places=(TURNS, HOLES), now=(0.0, 3.0), **more):
    """One reading over both adjusters."""
    surface = Surface(BALANCE, values, "mid-corner, left")
    grids([surface], path, x=PIVOT, y=BAR, places=places, now=now, **{"title": "x", **more})


@pytest.fixture
def picture(monkeypatch):
    kept = []
    for place in (module, lines_module):
        monkeypatch.setattr(place, "save", lambda made, path: kept.append(made))
    return lambda: kept[-1]


def test_an_svg_says_what_and_which_way_is_which(tmp_path):
    path = tmp_path / "grid.svg"
    grid(path, title="all of it", under="three words more")
    words = words_of(path)
    for said in (
        "mid-corner, left: balance, front minus rear grip left, g",
        "all of it", "three words more", "darker: looser   lighter: pushes more", "→ pivot up",
        "up the side: front bar, hole, both sides", "↑ a longer arm, a softer bar", "○ present position",
    ):  # fmt: skip
        assert said in words, said
    again = tmp_path / "again.svg"
    grid(again, title="all of it", under="three words more")
    assert path.read_bytes() == again.read_bytes()


def test_lines_of_equal_value_lie_where_the_value_is(tmp_path, picture):
    """Along each line the plane has the line's own value, so lines and axes are not swapped."""
    grid(tmp_path / "x.svg")
    (found,) = [c for c in picture().axes[0].collections if not getattr(c, "filled", True)]
    assert sum(len(path.vertices) for path in found.get_paths()) > 0
    for level, path in zip(found.levels, found.get_paths(), strict=True):
        for turn, hole in path.vertices:
            assert SLOPE * (turn + 2.0 * (hole - 3.0)) / 9.81 == pytest.approx(level, abs=1e-9)


def test_what_was_not_reached_has_a_cross(tmp_path, picture):
    values = PLANE.copy()
    values[0, 4] = np.nan
    grid(tmp_path / "x.svg", values, notes=["-12 turns, hole 5: too short"])
    (crosses,) = [line for line in picture().axes[0].lines if line.get_marker() == "x"]
    assert (list(crosses.get_xdata()), list(crosses.get_ydata())) == ([-12.0], [5.0])
    assert "× not reached" in " ".join(text.get_text().replace("\u00a0", " ") for text in picture().texts)


def test_few_positions_are_lines_of_their_own(tmp_path, picture):
    grid(tmp_path / "x.svg", PLANE[:, :2], (TURNS, HOLES[:2]), (0.0, 2.0))
    texts = [text.get_text().replace("\u00a0", " ") for text in picture().texts]
    assert {"front bar, hole, both sides: hole 1", "front bar, hole, both sides: hole 2"} <= set(texts)
    grid(tmp_path / "x.svg", PLANE[1:3], (TURNS[1:3], HOLES))
    texts = [text.get_text().replace("\u00a0", " ") for text in picture().texts]
    assert {"Watt's pivot height: -6 turns", "Watt's pivot height: 0 turns"} <= set(texts)
    second = picture().axes[0].lines[3]  # after the line of now, the first curve and its crosses
    np.testing.assert_allclose(second.get_ydata(), PLANE[2] / 9.81, rtol=1e-12)


@pytest.mark.parametrize("z", [np.zeros((5, 5)), np.full((5, 5), np.nan), PLANE * 1e-6, PLANE * 1e3])
def test_no_text_runs_into_another_or_out_of_the_picture(tmp_path, picture, z):
    grid(tmp_path / "x.svg", z, title="long " * 30, notes=["note " * 40])
    assert overlaps(picture()) == []
    assert outside(picture()) == []


def test_no_change_anywhere_is_said(tmp_path, picture):
    grid(tmp_path / "x.svg", np.zeros((5, 5)))
    assert "no change anywhere" in [text.get_text() for text in picture().axes[0].texts]


def test_another_kind_of_file_is_refused(tmp_path):
    with pytest.raises(RequestError, match=r"must end in \.svg or \.png"):
        grid(tmp_path / "x.jpg")
