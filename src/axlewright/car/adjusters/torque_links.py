"""Drive-side and brake-side torque links: where they are bolted on, how long, how far off centre, what is in them."""

from __future__ import annotations

from collections.abc import Mapping

from axlewright.car.adjusters.adjuster import Adjuster, Shift
from axlewright.car.adjusters.dampers import clicks
from axlewright.car.adjusters.hand import length, nice, owners, tidy
from axlewright.car.adjusters.lengths import link_length
from axlewright.car.adjusters.mounts import mount
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.rear import BrakeLink, DriveLink, LinkEnds, LiveAxle
from axlewright.units import scale

# Common practice, no source; all SI, either way.
HEIGHT_RANGE = 30e-3
SIDEWAYS_RANGE = 0.15
GAP_RANGE = 8e-3
PRELOAD_STEP = 250.0
GAS_STEP = 20.0  # N; about 1.5 bar on a 13 mm rod
SPRING_STEP = 35e3  # N/m, 200 lbf/in
BUMPER_STEP = 0.25  # of the rate: one hardness


def torque_links(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Adjusters of the torque links that the car has."""
    del mechanism
    found: list[Adjuster] = []
    if not isinstance(car.rear, LiveAxle):
        return found
    if car.rear.drive_link is not None:
        found += [*_placing(car, "drive", car.rear.drive_link), *_canister(car.rear.drive_link)]
    if car.rear.brake_link is not None:
        found += [*_placing(car, "brake", car.rear.brake_link), *_bumper(car, car.rear.brake_link, values)]
    return found


def _placing(car: Car, side: str, link: LinkEnds) -> list[Adjuster]:
    path, name = f"rear.{side}_link", f"{side}-side link"
    height = length(car, 12.5, 0.5)
    recheck = ("PA", "TL", "CL", "TQ") if side == "drive" else ("TL", "CL", "TQ")
    mounts = [
        mount(
            {f"{path}.{end}": holes},
            height,
            HEIGHT_RANGE,
            key=f"{side}_mount_{frame}",
            name=f"{name}, {frame} mount",
            family=f"{side}-side link, {frame} mount",
            group="axle",
            minutes=minutes,
            recheck=recheck,
            rezero=("PA", "TL") if side == "drive" else ("TL",),
        )
        for frame, end, holes, minutes in (("chassis", "a", link.chassis, 10.0), ("axle", "b", link.axle, 12.0))
    ]
    return [*mounts, _length(car, side, link), _sideways(car, side)]


def _length(car: Car, side: str, link: LinkEnds) -> Adjuster:
    return link_length(
        car,
        f"rear.{side}_link",
        link.thread,
        key=f"{side}_length",
        name=f"{side}-side link, length",
        family=f"{side}-side link length",
        minutes=6.0,
        place="pits",
        recheck=("PA", "TL"),
        rezero=("TL",) if side == "drive" else (),
        cautions=("stored energy", "prove by degrees"),
        note="moves the pinion angle, not the wheelbase" if side == "drive" else "moves the gap to the bumper",
    )


def _sideways(car: Car, side: str) -> Adjuster:
    count = length(car, 25.0, 1.0)
    sideways = (0.0, count.si, 0.0)
    return Adjuster(
        id=f"{side}_sideways",
        name=f"{side}-side link, sideways",
        family=f"{side}-side link, lateral position",
        group="axle",
        **count.either_way(SIDEWAYS_RANGE),
        reference="from where it was when the car was measured",
        direction="more: both ends to the left",
        minutes=120.0,
        place="workshop",
        stage="links",
        recheck=("PA", "TL", "CL", "TQ"),
        rezero=("PA", "TL") if side == "drive" else ("TL",),
        cautions=("car in the air", "prove by degrees"),
        note="both brackets are moved",
        edits=tuple(Shift(f"rear.{side}_link.{end}", sideways) for end in ("a", "b")),
    )


def _canister(link: DriveLink) -> list[Adjuster]:
    path = "rear.drive_link.drive"
    preload = owners(link.preload, "N", PRELOAD_STEP)
    rate = owners(link.rate, "N/mm", SPRING_STEP)
    now = preload.counts(link.preload.value)
    preload_adjuster = Adjuster(
        id="drive_preload",
        name="drive-side link, preload",
        family="drive-side preload",
        group="axle",
        unit=preload.unit,
        drawn=now,
        lo=0.0,
        hi=tidy(now + 6.0 * preload.step),
        step=preload.step,
        reference="force at which the spring begins to move, from the bench chart",
        direction="more: the link stays solid for longer",
        minutes=6.0,
        place="workshop",
        stage="links",
        recheck=("TL", "PA"),
        cautions=("stored energy",),
        note="with the link off the car; the rest position does not move while the link sits on its seat",
        edits=(Shift(f"{path}.preload", preload.si),),
    )
    spring = _rate(
        {f"{path}.rate": link.rate.value},
        now=rate.counts(link.rate.value),
        step=float(f"{SPRING_STEP / rate.si:.2g}"),
        unit=rate.unit,
        key="drive_spring",
        name="drive-side link, spring",
        family="drive-side spring",
        minutes=25.0,
        note="set to the same preload; wipe the travel mark",
        recheck=("TL", "PA"),
    )
    return [preload_adjuster, spring]


def _rate(
    paths: Mapping[str, float],
    *,
    now: float,
    step: float,
    unit: str,
    key: str,
    name: str,
    family: str,
    minutes: float,
    note: str,
    recheck: tuple[str, ...],
) -> Adjuster:
    """Another spring or bumper; every rate in `paths` (its SI value now) goes up in proportion."""
    return Adjuster(
        id=key,
        name=name,
        family=family,
        group="axle",
        unit=unit,
        drawn=now,
        lo=tidy(0.4 * now),
        hi=tidy(2.5 * now),
        step=step,
        reference="rate of the one fitted",
        direction="more: stiffer",
        minutes=minutes,
        place="workshop",
        stage="links",
        recheck=recheck,
        cautions=("stored energy",),
        note=note,
        edits=tuple(Shift(path, value / now) for path, value in paths.items()),
    )


def _bumper(car: Car, link: BrakeLink, values: Values) -> list[Adjuster]:
    """Gap, gas and bumper, which act at rest and held; clicks, which act in motion only."""
    path = "rear.brake_link.brake"
    rate = owners(link.bumper_rate, "N/mm", BUMPER_STEP * link.bumper_rate.value)
    rates = {f"{path}.{key}": float(values[f"{path}.{key}"]) for key in ("bumper_rate", "second_step")}
    bumper = _rate(
        {key: value for key, value in rates.items() if value},
        now=rate.counts(link.bumper_rate.value),
        step=rate.step,
        unit=rate.unit,
        key="brake_bumper",
        name="brake-side link, bumper",
        family="brake-side bumper",
        minutes=15.0,
        note="log its height: it takes a set with heat",
        recheck=("TL",),
    )
    return [
        _gap(car, link),
        _gas(link),
        bumper,
        *clicks(link.damping, ("rear.brake_link.damping",), "brake", "brake-side link", "axle", "brake-side clicks"),
    ]


def _gap(car: Car, link: BrakeLink) -> Adjuster:
    count = length(car, 1.0, 0.04)
    now = count.counts(link.gap.value)
    return Adjuster(
        id="brake_gap",
        name="brake-side link, gap by spacers",
        family="brake-side spacers (gap)",
        group="axle",
        unit=count.unit,
        drawn=now,
        lo=min(0.0, now),
        hi=tidy(now + count.reach(GAP_RANGE)),
        step=count.step,
        reference="shortening from rest to contact with the bumper",
        direction="more: a longer way to the bumper, later and looser",
        minutes=10.0,
        place="pits",
        stage="links",
        recheck=("TL",),
        cautions=("stored energy", "car in the air"),
        note="changes nothing at rest; look at the contact with the bumper",
        edits=(Shift("rear.brake_link.brake.gap", count.si),),
    )


def _gas(link: BrakeLink) -> Adjuster:
    unit = link.gas_force.unit or "N"
    per = scale(unit)[0]
    now, step = tidy(link.gas_force.value / per), nice(GAS_STEP / per)
    return Adjuster(
        id="brake_gas",
        name="brake-side link, gas force",
        family="brake-side gas pressure",
        group="axle",
        unit=unit,
        drawn=now,
        lo=0.0,
        hi=tidy(max(2.0 * now, now + 4.0 * step)),
        step=step,
        reference="push of the gas on the rod at rest; 1 bar is 13 N on a 13 mm rod",
        direction="more: pushes the housing's top rearward harder",
        minutes=10.0,
        place="workshop",
        stage="links",
        recheck=("TL",),
        cautions=("stored energy",),
        note="only by someone equipped for it; the force rises as the gas warms",
        edits=(Shift("rear.brake_link.brake.gas", per),),
    )
