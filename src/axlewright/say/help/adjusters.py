"""Help on adjusters: what each of this car's is, which way is which, and what to look at again after a move."""

from __future__ import annotations

import sys

from axlewright.car.adjusters import FAMILIES, PLACES, RECHECKS, Adjuster, adjusters_of
from axlewright.car.describe import describe
from axlewright.car.schema import Car
from axlewright.say.help.entry import Entry, Section, about_module, anchor_of, entry, paragraphs

PART = "Adjusters of this car"


def adjuster_sections(car: Car) -> tuple[Section, ...]:
    """A section a family of adjusters that the car has, then those of its own."""
    now = adjusters_of(car)
    mechanism, values = describe(car)
    found, told = [], set[str]()
    for family in FAMILIES:
        ids = [a.id for a in family(car, mechanism, values) if a.id in now]
        told |= set(ids)
        if ids:
            name = family.__module__
            title, about = about_module(name)
            entries = tuple(_entry(now[ident]) for ident in ids)
            found.append(
                Section(anchor_of(f"section-{name.removeprefix('axlewright.car.')}"), PART, title, about, entries)
            )
    own = tuple(_entry(a) for key, a in now.items() if key not in told)
    if own:
        about = paragraphs(sys.modules["axlewright.car.adjusters.stated"].__doc__)
        found.append(Section("section-adjusters.own", PART, "Adjusters of the car file's own", about, own))
    return tuple(found)


def _entry(a: Adjuster) -> Entry:
    return entry(
        f"adjuster-{a.id}", a.name, a.note,
        more=a.direction.removeprefix("more: "), counted=a.reference, range=f"{a.lo:g} to {a.hi:g} {a.unit}",
        usable_step=f"{a.step:g} {a.unit}", work=f"{a.minutes:g} min, {PLACES[a.place]}",
        re_check=", ".join(RECHECKS[code] for code in a.recheck),
        put_right=", ".join(RECHECKS[code] for code in a.rezero), caution=", ".join(a.cautions),
        acts="" if a.acts == "held" else a.acts, kind=a.family, id=a.id,
    )  # fmt: skip
