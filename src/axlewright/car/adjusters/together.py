"""Adjusters that are made of others: both sides of a bar, a pair of perches, one link longer and the other shorter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from axlewright.car.adjusters.adjuster import Adjuster, Group
from axlewright.car.adjusters.hand import tidy


def together(
    members: Sequence[tuple[Adjuster, float]],
    key: str,
    *,
    name: str,
    group: Group,
    minutes: float,
    from_zero: bool = False,
    **changes: Any,  # fields of Adjuster
) -> Adjuster:
    """Members moved together, each by its share; what is not said is as the first member has it.

    It counts as its members do (both bar holes at 3 are "hole 3"; toe of two wheels is the total), or from zero.
    """
    made_of = tuple((member.id, share) for member, share in members)
    drawn = 0.0 if from_zero else _count(made_of, {m.id: m.drawn for m, _ in members})
    fields = {"id": key, "name": name, "group": group, "minutes": minutes, "drawn": drawn, "made_of": made_of}
    whole = replace(members[0][0], edits=(), **{**fields, **changes})
    return placed(whole, {m.id: m for m, _ in members})


def placed(whole: Adjuster, singles: Mapping[str, Adjuster]) -> Adjuster:
    """`whole` with the position and range that its members leave it; a range of its own is the caller's business."""
    moved = {key: singles[key].position - singles[key].drawn for key, _ in whole.made_of}
    position = tidy(whole.drawn + _count(whole.made_of, moved))
    down, up = [], []
    for key, share in whole.made_of:
        member = singles[key]
        ends = sorted(((member.lo - member.position) / share, (member.hi - member.position) / share))
        down.append(ends[0])
        up.append(ends[1])
    return replace(whole, position=position, lo=tidy(position + max(down)), hi=tidy(position + min(up)))


def _count(made_of: Sequence[tuple[str, float]], of: Mapping[str, float]) -> float:
    """The whole's count for its members' counts: the nearest that moving them together could have given."""
    return tidy(sum(share * of[key] for key, share in made_of) / sum(share * share for _, share in made_of))
