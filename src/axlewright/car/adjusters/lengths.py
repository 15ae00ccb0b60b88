"""How long a link of the axle is, screwed in or out at its rod ends."""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster, Place, Shift
from axlewright.car.adjusters.hand import turns
from axlewright.car.schema import Car
from axlewright.units import Quantity

LENGTH_RANGE = 15e-3  # m either way; common practice, no source


def link_length(
    car: Car,
    path: str,
    thread: Quantity | None,
    *,
    key: str,
    name: str,
    family: str,
    minutes: float,
    note: str,
    recheck: tuple[str, ...],
    rezero: tuple[str, ...] = (),
    cautions: tuple[str, ...] = ("car in the air",),
    direction: str = "more: a longer link",
    place: Place = "scales",
) -> Adjuster:
    """An adjuster of the length of the link at `path`: half turns where its thread is known."""
    count = turns(car, thread, 0.5, 1.5, 1.0 / 16.0)
    return Adjuster(
        id=key,
        name=name,
        family=family,
        group="axle",
        **count.either_way(LENGTH_RANGE),
        reference="from the length that it had when the car was measured",
        direction=direction,
        minutes=minutes,
        place=place,
        stage="links",
        recheck=recheck,
        rezero=rezero,
        cautions=cautions,
        note=note,
        edits=(Shift(f"{path}.length", count.si),),
    )
