"""Damping of each end as it is, as it would keep tyre loads evenest, and a curve with the clicks nearest to it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from axlewright.car.schema import Car
from axlewright.tune.damper_choice import (
    Curve,
    EndDamping,
    Evenest,
    damper_rates,
    end_damping,
    evenest,
    nearest_clicks,
    propose,
)

HEADER = ("end", "motion_ratio", "critical", "rate_now", "ratio_now", "rate_even", "ratio_even",
          "variation_now", "variation_even")  # fmt: skip


@dataclass(frozen=True)
class DamperTable:
    """Dampers of a car; everything by the name of its end."""

    grade: str  # of the road, ISO 8608
    speed: float  # m/s
    body: float  # damping ratio up to 50 mm/s
    wheel: float  # beyond
    ends: Mapping[str, EndDamping]
    now: Mapping[str, float]  # N s/m
    even: Evenest
    curves: Mapping[str, Curve]
    clicks: Mapping[str, Mapping[str, tuple[float, float]]]

    def rows(self) -> list[tuple[str, float, float, float, float, float, float, float, float]]:
        """One row an end, SI, as `HEADER` names it; NaN where there is none."""
        even = self.even
        return [
            (end, one.motion_ratio, one.critical, self.now.get(end, 0.0), one.ratio(self.now.get(end, 0.0)),
             even.rates.get(end, math.nan), even.ratios.get(end, math.nan), even.before[end], even.after[end])
            for end, one in self.ends.items()
        ]  # fmt: skip


def damper_table(
    car: Car, *, grade: str = "B", speed: float = 30.0, body: float = 0.6, wheel: float = 0.3
) -> DamperTable:
    """Damping of each end of a car, and what it could be on a road of a class at a speed."""
    ends = end_damping(car)
    curves = {end: propose(one, body=body, wheel=wheel) for end, one in ends.items()}
    return DamperTable(
        grade=grade, speed=speed, body=body, wheel=wheel, ends=ends, now=damper_rates(car),
        even=evenest(car, grade=grade, speed=speed), curves=curves,
        clicks={end: nearest_clicks(car, end, curve) for end, curve in curves.items()},
    )  # fmt: skip
