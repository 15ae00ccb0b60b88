"""Elastic terms along a link: spring, stops, gas, torque links. Property names are those of `axlewright.parts`."""

from __future__ import annotations

import numpy as np

from axlewright.car.describe.entries import Entries, put_stated
from axlewright.car.mechanism import Link, Term
from axlewright.car.schema.rear import BrakeLink, DriveLink, LinkEnds
from axlewright.car.schema.springs import Damper, Damping, Spring, Stop

STAGES = 3  # a progressive spring has at most three


def spring_links(
    entries: Entries,
    copy: str,
    frame: str,
    spring: Spring,
    stops: tuple[Stop | None, Stop | None],
    damper: Damper | None,
    suffix: str = "",
) -> tuple[Link, ...]:
    """The spring's link, with stops and gas on it; a second link for them when the damper has a line of its own.

    `stops` is (bump stop, droop stop).
    """
    own_line = damper is not None and damper.chassis is not None and damper.moving is not None
    spring_name, damper_name = f"spring{suffix}", f"damper{suffix}" if own_line else f"spring{suffix}"
    entries |= {f"{copy}.{spring_name}.a": spring.chassis, f"{copy}.{spring_name}.b": spring.moving}
    entries[f"{copy}.{spring_name}.length"] = 0.0
    put_spring(entries, f"{copy}.{spring_name}.spring", spring)
    carried = damper_terms(entries, f"{copy}.{damper_name}", stops, damper)
    coil = Term(name="spring", kind="coil_spring")
    damped = put_damping(entries, f"{copy}.{damper_name}", None if damper is None else damper.damping)
    if not own_line or damper is None or damper.chassis is None or damper.moving is None:
        return (Link(name=spring_name, a="chassis", b=frame, terms=(coil, *carried), damped=damped),)
    entries |= {f"{copy}.{damper_name}.a": damper.chassis, f"{copy}.{damper_name}.b": damper.moving}
    entries[f"{copy}.{damper_name}.length"] = 0.0
    return (
        Link(name=spring_name, a="chassis", b=frame, terms=(coil,)),
        Link(name=damper_name, a="chassis", b=frame, terms=carried, damped=damped),
    )


def put_spring(entries: Entries, path: str, spring: Spring) -> None:
    """Properties of a coil spring; its `set` is found by the equilibrium at rest."""
    onset, step, rate = np.zeros(STAGES), np.zeros(STAGES), spring.rate.value
    for i, stage in enumerate(spring.stages):
        onset[i], step[i] = stage.at.value, stage.rate.value - rate
        rate = stage.rate.value
    entries |= {
        f"{path}.rate": spring.rate,
        f"{path}.seat": 0.0,
        f"{path}.set": 0.0,
        f"{path}.tender_rate": spring.tender_rate or 0.0,
        f"{path}.tender_travel": spring.tender_travel or 0.0,
        f"{path}.extra_onset": onset,
        f"{path}.extra_step": step,
        f"{path}.bind": spring.bind or np.inf,
    }


def damper_terms(
    entries: Entries, path: str, stops: tuple[Stop | None, Stop | None], damper: Damper | None
) -> tuple[Term, ...]:
    """Stops and gas force on a damper's line."""
    terms: list[Term] = []
    for name, sense, stop in (("bump_stop", -1.0, stops[0]), ("droop_stop", 1.0, stops[1])):
        if stop is None:
            continue
        terms.append(Term(name=name, kind="stop"))
        second = 0.0 if stop.second_rate is None else stop.second_rate.value - stop.rate.value
        entries |= {
            f"{path}.{name}.sense": sense,
            f"{path}.{name}.gap": stop.gap,
            f"{path}.{name}.rate": stop.rate,
            f"{path}.{name}.second_onset": stop.second_at or 0.0,
            f"{path}.{name}.second_step": second,
            f"{path}.{name}.packer": stop.packer or 0.0,
        }
        put_stated(entries, {f"{path}.{name}.loss": stop.loss})
    if damper is not None:
        terms.append(Term(name="gas", kind="gas"))
        entries[f"{path}.gas.force"] = damper.gas_force
    return tuple(terms)


def put_damping(entries: Entries, path: str, damping: Damping | None) -> bool:
    """The table and settings of a damper on a link; False where there is none. It acts in motion only."""
    if damping is None:
        return False
    path = f"{path}.damping"
    entries |= {
        f"{path}.speed": np.array([speed.value for speed in damping.speeds]),
        f"{path}.clicks": np.array([float(curve.clicks) for curve in damping.curves]),
        f"{path}.compression_clicks": float(damping.compression_clicks),
        f"{path}.rebound_clicks": float(damping.rebound_clicks),
        f"{path}.friction": damping.friction or 0.0,
    }
    for way in ("compression", "rebound"):
        entries[f"{path}.{way}"] = np.array([force.value for c in damping.curves for force in getattr(c, way)])
    return True


def locating_link(
    entries: Entries,
    copy: str,
    name: str,
    ends: LinkEnds,
    terms: tuple[Term, ...] = (),
    to: str = "axle",
    damped: bool = False,
) -> Link:
    """A link from the chassis to the axle, or to a part on it: rigid, or compliant when it has a stiffness and no terms
    of its own.
    """
    path = f"{copy}.{name}"
    entries |= {f"{path}.a": ends.chassis, f"{path}.b": ends.axle, f"{path}.length": 0.0}
    if ends.stiffness is not None and not terms:
        entries[f"{path}.compliant.stiffness"] = ends.stiffness
        put_stated(entries, {f"{path}.compliant.loss": ends.loss})
        terms = (Term(name="compliant", kind="compliant"),)
    return Link(name=name, a="chassis", b=to, terms=terms, damped=damped)


def drive_link(entries: Entries, copy: str, link: DriveLink) -> Link:
    """The drive-side torque link; its `set` is found by the equilibrium at rest."""
    path = f"{copy}.drive_link.drive"
    entries |= {
        f"{path}.seat_rate": link.seat_rate,
        f"{path}.preload": link.preload,
        f"{path}.rate": link.rate,
        f"{path}.travel": link.travel,
        f"{path}.set": 0.0,
    }
    put_stated(entries, {f"{path}.loss": link.loss})
    return locating_link(entries, copy, "drive_link", link, (Term(name="drive", kind="drive_link"),))


def brake_link(entries: Entries, copy: str, link: BrakeLink) -> Link:
    """The brake-side torque link."""
    path = f"{copy}.brake_link.brake"
    second = 0.0 if link.second_rate is None else link.second_rate.value - link.bumper_rate.value
    entries |= {
        f"{path}.gas": link.gas_force,
        f"{path}.gap": link.gap,
        f"{path}.bumper_rate": link.bumper_rate,
        f"{path}.second_onset": link.second_at or 0.0,
        f"{path}.second_step": second,
        f"{path}.set": 0.0,
    }
    put_stated(entries, {f"{path}.loss": link.loss})
    damped = put_damping(entries, f"{copy}.brake_link", link.damping)
    return locating_link(entries, copy, "brake_link", link, (Term(name="brake", kind="brake_link"),), damped=damped)
