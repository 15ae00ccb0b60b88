"""Plots of curves: what a person must be able to read off them, on a narrow screen, on paper and with any eyes."""

from __future__ import annotations

from itertools import combinations, pairwise

import numpy as np
import pytest
from matplotlib.colors import to_rgb

from axlewright.car.adjusters import adjusters_of
from axlewright.draw import curves as module
from axlewright.draw.axis import Axis, of_adjuster, of_reading
from axlewright.draw.curves import Curve, Panel, curves, look, panels
from axlewright.draw.look import GREY, INK
from axlewright.errors import RequestError
from axlewright.readings import READINGS
from tests.cars import TEASEL
from tests.draw.pictures import outside, overlaps, words_of

TURNS = np.array([-16.0, -12.0, -6.0, 0.0, 6.0, 12.0, 16.0])
PIVOT = of_adjuster(adjusters_of(TEASEL.car)["watt_pivot"])
BALANCE, ROLL = of_reading(READINGS["balance"]), of_reading(READINGS["vehicle_roll"])
READABLE = 4.5  # contrast of small text: W3C, Web Content Accessibility Guidelines 2.1, 1.4.3
LONG = "front_bar_hole=4, rear_bar_hole_left=2, camber_front=-3.25, springs_rear=44.5"
ROUNDED = 1e-12


def one(name: str = "as turned", **changes) -> Curve:
    return Curve(name, TURNS, 0.5 + 0.02 * TURNS, **{"now": 0.0, **changes})


@pytest.fixture
def picture(monkeypatch):
    """The last picture drawn, instead of a file."""
    kept = []
    monkeypatch.setattr(module, "save", lambda made, path: kept.append(made))
    return lambda: kept[-1]


def test_an_svg_says_what_when_and_which_way_is_which(tmp_path):
    path = tmp_path / "balance.svg"
    curves([one()], path, x=PIVOT, y=BALANCE, title="teasel: <Watt's> pivot & balance", under="mid-corner, left")
    words = words_of(path)
    assert "teasel: <Watt's> pivot & balance" in words
    assert "mid-corner, left" in words
    assert "balance, front minus rear grip left, g" in words
    assert "↑ looser   ↓ pushes more" in words
    assert "Watt's pivot height, turn" in words
    assert "→ pivot up" in words
    assert any("present position" in line and "too small to feel" in line for line in words)
    assert not any("reached" in line for line in words)
    assert {"−16", "0", "16"} <= set(words)  # every position has its number


def test_it_is_the_same_file_every_time(tmp_path):
    for name in ("a.svg", "b.svg", "a.png", "b.png"):
        curves([one(), one("b", reached=TURNS > 0.0)], tmp_path / name, x=PIVOT, y=BALANCE, title="x")
    assert (tmp_path / "a.svg").read_bytes() == (tmp_path / "b.svg").read_bytes()
    assert (tmp_path / "a.png").read_bytes() == (tmp_path / "b.png").read_bytes()
    assert b"date" not in (tmp_path / "a.svg").read_bytes().lower()


def test_two_setups_are_named_and_told_apart_without_colour(tmp_path, picture):
    curves([one("as it is"), one(LONG)], tmp_path / "x.svg", x=PIVOT, y=BALANCE, title="x")
    texts = [text.get_text().replace("\u00a0", " ") for text in picture().texts]
    assert {"as it is", LONG} <= set(texts)
    lines = [line for line in picture().axes[0].lines if len(line.get_xdata()) == len(TURNS)]
    first, second = lines[0], lines[1]
    assert first.get_linestyle() != second.get_linestyle()
    assert first.get_marker() != second.get_marker()


def test_neighbouring_looks_differ_in_colour_dash_and_mark_and_many_in_two():
    looks = [look(i) for i in range(20)]
    for a, b in pairwise(looks):
        assert all(a[key] != b[key] for key in ("color", "linestyle", "marker"))
    for a, b in combinations(looks, 2):
        assert sum(a[key] != b[key] for key in ("color", "linestyle", "marker")) >= 2


def _luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour; W3C, Web Content Accessibility Guidelines 2.1."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in to_rgb(colour)]
    return float(np.dot((0.2126, 0.7152, 0.0722), linear))


@pytest.mark.parametrize("colour", [INK, GREY])
def test_small_text_can_be_read(colour):
    assert 1.05 / (_luminance(colour) + 0.05) > READABLE


def test_a_curve_stops_where_nothing_was_reached(tmp_path, picture):
    stopped = one(reached=TURNS < 10.0)
    curves([stopped], tmp_path / "x.svg", x=PIVOT, y=BALANCE, title="x", notes=["12 turns: the link is too short"])
    line, cross = picture().axes[0].lines[1], picture().axes[0].lines[2]
    drawn = np.asarray(line.get_ydata(), dtype=float)
    np.testing.assert_array_equal(np.isfinite(drawn), TURNS < 10.0)
    np.testing.assert_allclose(drawn[TURNS < 10.0], stopped.y[TURNS < 10.0] / 9.81, rtol=ROUNDED)
    assert list(cross.get_xdata()) == [6.0]
    texts = " ".join(text.get_text().replace("\u00a0", " ") for text in picture().texts)
    assert "× nothing was reached beyond here" in texts
    assert "12 turns: the link is too short" in texts


def test_a_hole_in_a_curve_has_a_cross_at_either_side(tmp_path, picture):
    curves([one(reached=TURNS != 0.0, now=None)], tmp_path / "x.svg", x=PIVOT, y=BALANCE, title="x")
    assert list(picture().axes[0].lines[1].get_xdata()) == [-6.0, 6.0]


def test_nothing_reached_at_all_is_said(tmp_path, picture):
    curves([one(y := "none", reached=np.zeros(7, dtype=bool))], tmp_path / "x.svg", x=PIVOT, y=BALANCE, title=y)
    assert "nothing was reached" in [text.get_text() for text in picture().axes[0].texts]


def test_no_change_is_not_blown_up_to_fill_the_plot(tmp_path, picture):
    flat = Curve("as turned", TURNS, 0.5 + 1e-9 * TURNS)
    curves([flat], tmp_path / "x.svg", x=PIVOT, y=BALANCE, title="x")
    low, high = picture().axes[0].get_ylim()
    assert (high - low) * 9.81 > 5.0 * READINGS["balance"].smallest


def test_units_of_the_owner(tmp_path, picture):
    height = READINGS["roll_centre_height_rear"]
    at = of_reading(height, "in")
    assert (at.label, at.place(0.0254)) == ("roll centre height, rear, in", pytest.approx(1.0))
    assert of_reading(READINGS["ride_frequency_front"]).unit == "Hz"
    curves([one(now=None)], tmp_path / "x.svg", x=Axis("bump", "mm", 1e-3, "wheel up"), y=at, title="x")
    assert picture().axes[0].get_xlim()[1] > 16e3  # 16 m, in mm


@pytest.mark.parametrize("names", [1, 2, 14])
def test_no_text_runs_into_another_or_out_of_the_picture(tmp_path, picture, names):
    series = [one(f"{i}: {LONG}"[: 20 + 3 * i]) for i in range(names)]
    title = (
        "a car with a name as long as a name may be in a car file: Watt's pivot height from its lowest to its highest"
    )
    panels(
        [Panel(BALANCE, series), Panel(ROLL, series)], tmp_path / "x.png", x=PIVOT, title=title, under=f"{LONG}. " * 3,
        notes=["16 turns: " + "the state was not found and this is said at length " * 4],
    )  # fmt: skip
    assert overlaps(picture()) == []
    assert outside(picture()) == []


def test_the_check_of_overlaps_sees_one(tmp_path, picture):
    curves([one()], tmp_path / "x.svg", x=PIVOT, y=BALANCE, title="x")
    assert overlaps(picture()) == []
    picture().text(*picture().texts[0].get_position(), "over another", va="top")
    picture().text(0.95, 0.5, "out of the picture")
    assert len(overlaps(picture())) > 0
    assert len(outside(picture())) == 1


@pytest.mark.parametrize("name", ["plot.pdf", "plot", "plot.svg.txt"])
def test_another_kind_of_file_is_refused_before_anything_is_drawn(tmp_path, name):
    with pytest.raises(RequestError, match=r"must end in \.svg or \.png"):
        curves([one()], tmp_path / name, x=PIVOT, y=BALANCE, title="x")
    assert not (tmp_path / name).exists()


def test_a_place_that_cant_be_written_to_is_said(tmp_path):
    with pytest.raises(RequestError, match="No such file or directory"):
        curves([one()], tmp_path / "not" / "there.svg", x=PIVOT, y=BALANCE, title="x")
