"""Which readings the whole range of an adjuster is shown with, unless others are asked for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from axlewright.car.adjusters import Adjuster
from axlewright.errors import known
from axlewright.readings import Reading

BALANCE = "balance"
# By the family of the adjuster; {end} is its end. What it is moved for: common practice, no source.
_BY_FAMILY: dict[str, tuple[str, ...]] = {
    "Watt's pivot height": ("roll_centre_height_rear",),
    "Panhard rod height": ("roll_centre_height_rear",),
    "Watt's link lengths": ("axle_sideways",),
    "Panhard rod length": ("axle_sideways",),
    "drive-side link": ("anti_squat", "pinion_angle"),
    "brake-side link": ("anti_lift",),
    "axle link": ("anti_squat", "axle_steer", "pinion_angle"),
    "brake bracket link": ("anti_lift",),
    "bar drop-link length": ("cross_weight",),  # the first that fits is taken
    "bar": ("bar_rate_{end}",),
    "spring pair": ("spring_rate_{end}",),
    "perch": ("cross_weight",),
    "rake": ("pitch",),
    "front camber": ("camber_LF", "camber_RF"),
    "front toe": ("toe_front",),
    "rear camber": ("camber_LR", "camber_RR"),
    "rear toe": ("toe_rear",),
    "multi-link length": ("toe_rear", "camber_LR"),
    "suspension mount": ("roll_centre_height_{end}",),
    "ballast": ("cross_weight",),
    "fuel": ("cross_weight",),
    "driver": ("cross_weight",),
}


def range_readings(
    every: Mapping[str, Reading], adjusters: Sequence[Adjuster], asked: Sequence[str] | None
) -> tuple[Reading, ...]:
    """The asked readings, or those that these adjusters are moved for, and the balance."""
    if asked:
        known("reading", asked, every)
        return tuple(every[name] for name in dict.fromkeys(asked))
    names = [name for adjuster in adjusters for name in _moved_for(adjuster)]
    return tuple(every[name] for name in dict.fromkeys([*names, BALANCE]) if name in every)


def _moved_for(adjuster: Adjuster) -> list[str]:
    end = "front" if adjuster.group.startswith("front") else "rear"
    for family, names in _BY_FAMILY.items():
        if adjuster.family.startswith(family):
            return [name.format(end=end) for name in names]
    return []
