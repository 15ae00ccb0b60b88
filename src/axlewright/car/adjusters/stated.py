"""What a car file says about its adjusters: `[adjusters.ID]` changes or adds one, `[setup]` says where they are now."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import replace

from axlewright.car.adjusters.adjuster import RECHECKS, Adjuster
from axlewright.car.adjusters.hand import tidy
from axlewright.car.adjusters.together import placed, together
from axlewright.car.schema import Car
from axlewright.car.schema.rest import Adjuster as Stated
from axlewright.errors import Problem

OUTSIDE = 1e-9  # counts; a position this far outside its range is rounding


def as_stated(car: Car, standard: Mapping[str, Adjuster]) -> tuple[dict[str, Adjuster], list[Problem]]:
    """The car's adjusters with its file's own words and positions, and what is wrong with those."""
    found, problems = dict(standard), []
    for key, stated in car.adjusters.items():
        path = f"adjusters.{key}"
        problems += _wrong_codes(path, stated)
        if key in standard:
            problems += _wrong_change(path, stated, standard[key])
            found[key] = _changed(standard[key], stated)
        elif stated.made_of is None:
            problems.append(_unknown(path, key, standard, "or `made_of` for one of your own"))
        else:
            wrong = _wrong_members(path, stated.made_of, standard)
            problems += wrong
            if not wrong:
                found[key] = _own(key, stated, standard)
    setup, wrong = _known_positions(car.setup, found, "setup")
    problems += wrong
    if not problems:
        drawn = found
        found = positioned(drawn, setup, car.adjusters)
        problems += _outside(found, "setup", setup, car)
        for name, kept in car.setups.items():
            path = f"setups.{name}.positions"
            known, wrong = _known_positions(kept.positions, drawn, path)
            problems += wrong or _outside(positioned(drawn, known, car.adjusters), path, known, car)
    return found, problems


def _changed(adjuster: Adjuster, stated: Stated) -> Adjuster:
    said = {
        "name": stated.name,
        "step": stated.step,
        "lo": stated.low,
        "hi": stated.high,
        "minutes": None if stated.time is None else stated.time.value / 60.0,
        "place": stated.place,
        "reference": stated.reference,
        "direction": stated.direction,
        "recheck": stated.recheck if stated.recheck is not None and set(stated.recheck) <= RECHECKS.keys() else None,
        "unit": stated.unit,
    }
    return replace(adjuster, off=stated.off, **{key: value for key, value in said.items() if value is not None})


def _own(key: str, stated: Stated, standard: Mapping[str, Adjuster]) -> Adjuster:
    """An adjuster of the owner's, made of standard ones; it counts from zero."""
    members = [(standard[member], share) for member, share in _singles(stated.made_of or {}, standard).items()]
    first = members[0][0]
    whole = together(
        members,
        key,
        name=key.replace("_", " "),
        group=first.group if len({m.group for m, _ in members}) == 1 else "whole car",
        minutes=max(m.minutes for m, _ in members),
        from_zero=True,
        unit="step",
        step=1.0,
        family="own",
        reference="from where it was when the car was measured",
        direction="more: as its parts in the car file",
        recheck=tuple(c for c in RECHECKS if any(c in m.recheck for m, _ in members)),
        rezero=tuple(c for c in RECHECKS if any(c in m.rezero for m, _ in members)),
        cautions=tuple(dict.fromkeys(c for m, _ in members for c in m.cautions)),
        note="",
    )
    return _changed(whole, stated)


def _singles(made_of: Mapping[str, float], standard: Mapping[str, Adjuster]) -> dict[str, float]:
    """Members that are made of others taken apart, so that only single adjusters are left."""
    singles: dict[str, float] = {}
    for member, share in made_of.items():
        for single, part in standard[member].made_of or ((member, 1.0),):
            singles[single] = singles.get(single, 0.0) + share * part
    return {single: share for single, share in singles.items() if share}


def positioned(
    found: Mapping[str, Adjuster], setup: Mapping[str, float], stated: Mapping[str, Stated]
) -> dict[str, Adjuster]:
    """Adjusters where a setup puts them: what it says of a single one, and of those that it is part of.

    What the setup does not name stands as drawn.
    """
    now = {key: setup.get(key, a.drawn) for key, a in found.items() if not a.made_of}
    for key, position in setup.items():
        for member, share in found[key].made_of:
            now[member] += share * (position - found[key].drawn)
    singles = {key: replace(found[key], position=tidy(position)) for key, position in now.items()}
    return {
        key: singles[key] if key in singles else _narrowed(placed(a, singles), stated.get(key))
        for key, a in found.items()
    }


def _narrowed(whole: Adjuster, stated: Stated | None) -> Adjuster:
    """A whole's range can be said to be narrower than its members leave it."""
    low = whole.lo if stated is None or stated.low is None else max(whole.lo, stated.low)
    high = whole.hi if stated is None or stated.high is None else min(whole.hi, stated.high)
    return replace(whole, lo=low, hi=high)


def _known_positions(
    setup: Mapping[str, float], found: Mapping[str, Adjuster], path: str
) -> tuple[dict[str, float], list[Problem]]:
    problems = [_unknown(f"{path}.{key}", key, found, "as they are listed") for key in setup if key not in found]
    return {key: position for key, position in setup.items() if key in found}, problems


def _outside(found: Mapping[str, Adjuster], path: str, setup: Mapping[str, float], car: Car) -> list[Problem]:
    """Single adjusters that a setup puts outside their range."""
    problems = []
    for a in found.values():
        if not a.made_of and not a.lo - OUTSIDE <= a.position <= a.hi + OUTSIDE:
            place = f"{path}.{a.id}" if a.id in setup or a.id not in car.adjusters else f"adjusters.{a.id}"
            expected = f"from {a.lo:g} to {a.hi:g}"
            fix = f"change the position, or give `low` or `high` in [adjusters.{a.id}]"
            problems.append(Problem(place, f"{a.name} at {a.position:g} {a.unit}", expected, fix))
    return problems


def _unknown(path: str, key: str, known: Iterable[str], more: str) -> Problem:
    near = difflib.get_close_matches(key, list(known), n=1, cutoff=0.5)
    fix = f"write `{near[0]}` instead of `{key}`" if near else "remove it"
    return Problem(path, f"the unknown adjuster `{key}`", f"one of this car's adjusters, {more}", fix)


def _wrong_codes(path: str, stated: Stated) -> list[Problem]:
    wrong = [code for code in stated.recheck or () if code not in RECHECKS]
    expected = f"codes out of {', '.join(RECHECKS)}"
    return [Problem(f"{path}.recheck", f"{', '.join(wrong)}", expected, "use these codes")] if wrong else []


def _wrong_change(path: str, stated: Stated, standard: Adjuster) -> list[Problem]:
    """A standard adjuster keeps its count, since its edits are in it."""
    problems = []
    if stated.made_of is not None:
        fix = "give yours another name, or leave `made_of` out"
        problems.append(Problem(f"{path}.made_of", "`made_of` for a standard adjuster", "a name of your own", fix))
    if stated.unit is not None and stated.unit != standard.unit:
        expected = f'"{standard.unit}", which its count is in'
        problems.append(Problem(f"{path}.unit", f'"{stated.unit}"', expected, "leave `unit` out"))
    low, high = (stated.low, stated.high)
    low, high = standard.lo if low is None else low, standard.hi if high is None else high
    if low > high:
        problems.append(Problem(path, f"a range from {low:g} to {high:g}", "`low` below `high`", "swap them"))
    return problems


def _wrong_members(path: str, made_of: Mapping[str, float], standard: Mapping[str, Adjuster]) -> list[Problem]:
    unknown = [
        _unknown(f"{path}.made_of", member, standard, "as they are listed")
        for member in made_of
        if member not in standard
    ]
    if unknown:
        return unknown
    asleep = [member for member in made_of if standard[member].acts != "held"]
    if asleep or not _singles(made_of, standard):
        found = f"`{asleep[0]}`, which acts only in motion" if asleep else "parts that add up to nothing"
        return [Problem(f"{path}.made_of", found, "adjusters that act at rest or held", "name others")]
    return []
