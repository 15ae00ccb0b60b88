"""What people call things finds what we call them, and only that."""

from __future__ import annotations

import pytest

from axlewright.car.adjusters import adjusters_of
from axlewright.say.search_words import search_text
from tests.cars import TEASEL

EVERY = adjusters_of(TEASEL.car)


def found(asked: str) -> set[str]:
    """Adjusters that a search finds: each word that was typed begins a word of theirs."""
    texts = {a.id: search_text(a.name, a.family, a.group, a.place).split() for a in EVERY.values()}
    return {
        key for key, words in texts.items() if all(any(w.startswith(a) for w in words) for a in asked.lower().split())
    }


@pytest.mark.parametrize(
    ("asked", "finds"),
    [
        ("sway bar", {"front_bar_hole", "rear_bar_size"}),
        ("ARB", {"front_bar_hole", "rear_bar_hole_left"}),
        ("end link", {"front_bar_drop_link_left", "rear_bar_drop_link_right"}),
        ("wedge", {"perches_diagonal"}),
        ("trailing arm", {"lower_length_left", "lower_mount_chassis"}),
        ("third link", {"drive_mount_chassis", "brake_length"}),
        ("shock", {"damper_front_rebound"}),
        ("posi", {"diff_preload"}),
        ("castor", {"caster_LF"}),
        ("tire", {"pressure_LF", "tyre_set"}),
        ("propeller", {"watt_pivot"}),
    ],
)
def test_words_of_the_paddock_find_our_adjusters(asked, finds):
    assert finds <= found(asked)


@pytest.mark.parametrize(
    ("asked", "leaves"),
    [("sway bar", "brake_gap"), ("wedge", "front_bar_hole"), ("trailing arm", "drive_length"), ("shock", "perch_LF")],
)
def test_and_leave_the_others(asked, leaves):
    assert leaves not in found(asked)
    assert len(found(asked)) < len(EVERY) / 3
