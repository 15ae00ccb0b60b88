"""Ballast, fuel and driver: masses at their own places. The inertia of the sprung mass is left as it is."""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster, Shift
from axlewright.car.adjusters.hand import fuel_count, owners, tidy
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.masses import Ballast, Fuel, Item

BALLAST_STEP, BALLAST_MOST = 5.0, 60.0  # kg; common practice, no source
DRIVER_STEP, DRIVER_RANGE = 10.0, 40.0  # kg


def masses(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """What can be taken out of the car or put in."""
    del mechanism, values
    found = [_ballast(item) for item in car.masses.ballast]
    if car.masses.fuel is not None:
        found.append(_fuel(car.masses.fuel))
    if car.masses.driver is not None:
        found.append(_driver(car.masses.driver))
    return found


def _ballast(item: Ballast) -> Adjuster:
    count = owners(item.mass, "kg", BALLAST_STEP)
    now = count.counts(item.mass.value)
    return Adjuster(
        id=item.name if item.name.startswith("ballast") else f"ballast_{item.name}",
        name=f"ballast: {item.name.replace('_', ' ')}" if item.name != "ballast" else "ballast",
        family="ballast",
        group="whole car",
        unit=count.unit,
        drawn=now,
        lo=0.0,
        hi=tidy(now + count.reach(BALLAST_MOST)),
        step=count.step,
        reference="mass at this place",
        direction="more: more mass there",
        minutes=10.0,
        place="scales",
        stage="heights",
        recheck=("X", "H", "TQ"),
        rezero=("H", "X"),
        note="is it bolted to the rule? look at the rules card",
        edits=(Shift(f"chassis.{item.name}.mass", count.si),),
    )


def _fuel(fuel: Fuel) -> Adjuster:
    count = fuel_count(fuel)
    now = count.counts(fuel.volume.value)
    most = fuel.volume if fuel.capacity is None else fuel.capacity
    return Adjuster(
        id="fuel",
        name="fuel",
        family="fuel",
        group="whole car",
        unit=count.unit,
        drawn=now,
        lo=0.0,
        hi=max(now, count.counts(most.value)),
        step=count.step,
        reference="fuel in the tank",
        direction="more: more fuel",
        minutes=10.0,
        place="pits",
        stage="heights",
        recheck=("X", "H"),
        note="least weight and ride height at the finish are with the least fuel",
        edits=(Shift("chassis.fuel.mass", count.si * fuel.density.value),),
    )


def _driver(item: Item) -> Adjuster:
    count = owners(item.mass, "kg", DRIVER_STEP)
    now = count.counts(item.mass.value)
    return Adjuster(
        id="driver",
        name="driver: another in the seat",
        family="driver",
        group="cockpit",
        unit=count.unit,
        drawn=now,
        lo=tidy(now - count.reach(DRIVER_RANGE)),
        hi=tidy(now + count.reach(DRIVER_RANGE)),
        step=count.step,
        reference="driver with helmet and suit",
        direction="more: a heavier driver",
        minutes=2.0,
        place="grid",
        stage="heights",
        recheck=("X", "H"),
        note="the seat is taken as where it is",
        edits=(Shift("chassis.driver.mass", count.si),),
    )
