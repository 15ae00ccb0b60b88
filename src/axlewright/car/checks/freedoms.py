"""Does the mechanism move as a suspension must? Freedoms counted by the rank of the rigid constraints.

A front corner must keep one freedom (the wheel goes up and down) and a live axle two (heave and roll) once everything
that locates it is counted; a link with a stiffness and a torque link leave theirs to forces. Counted at rest, at 40 mm
up and down and at 3 degrees of roll either way, because a layout may lose or gain a freedom on the way.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

import numpy as np

from axlewright.car.checks.kinematics import located
from axlewright.car.checks.linkage import CLOSED, Linkage, Pose, reach, wheel_heights
from axlewright.car.mechanism import Link, Mechanism, Values
from axlewright.errors import Problem

# A singular value of s turns a bracket error of 1 mm into 1/s mm of motion: below this, more than half a metre. The
# least one of an ordinary over-constrained four-link is 0.018, so the two are far apart.
RANK = 2e-3
HEAVE, ROLL = 0.040, np.radians(3.0)  # m, rad: the travel of a stiffly sprung car
NOTICED = 0.3  # share of a motion's largest part from which on another part gives it its name
MISFIT = 1e-4  # m; a tape can't see less than a tenth of a millimetre
STIFFNESS = "20 to 60 kN/mm for a rod end, 2 to 10 kN/mm for a bush"
WHAT_HOLDS = {
    "fore-and-aft": "links that run fore and aft, one on each side",
    "sideways": "a Panhard rod or a Watt's linkage",
    "wind-up": "an upper link, or a drive-side and a brake-side link",
    "yaw": "links that run fore and aft, one on each side",
}
CORNER_HOLDS = {
    "fore-and-aft": "a link that runs fore and aft",
    "sideways": "a link that runs across the car",
    "camber": "a link across the car, above or below the others",
    "wind-up": "a link fore and aft, above or below the others",
    "toe": "a tie rod or toe link",
}


class Place(NamedTuple):
    """Where freedoms are counted."""

    words: str
    pose: Pose


def freedom_problems(mechanism: Mechanism, values: Values, paths: Mapping[str, str]) -> list[Problem]:
    """What is wrong with the mechanism; `paths` gives the key path of links, by `BLOCK.LINK`.

    Only the first problem of a block is told: the others usually follow from it.
    """
    found = []
    for block in mechanism.blocks:
        for i, copy in enumerate(block.copies):
            linkage = located(mechanism, values, block.name, i)
            problem = next(_problems(linkage, copy, paths), None)
            if problem is not None:
                found.append(problem)
                break
    return found


def _problems(linkage: Linkage, copy: str, paths: Mapping[str, str]) -> Iterator[Problem]:
    where, wanted = copy.split(".", maxsplit=1)[0], len(linkage.block.wheels)
    rest = Place("at rest", linkage.drawn())
    yield from _redundant(linkage, where, rest, paths)
    yield from _missing(linkage, where, wanted, rest)
    for words, heights in _travels(linkage):
        pose, error = reach(linkage, heights)
        if error > MISFIT:
            yield _cannot_reach(linkage, where, words, pose, paths)
            return
        if error > CLOSED:
            continue  # reached as well as a tape could tell, but too near a dead centre to count there
        yield from _redundant(linkage, where, Place(words, pose), paths)
        yield from _missing(linkage, where, wanted, Place(words, pose))


def _travels(linkage: Linkage) -> Iterator[tuple[str, np.ndarray]]:
    index = linkage.block.copies.index(linkage.copy)
    sides = np.array([linkage.wheel_centre(wheel.names[index])[1] for wheel in linkage.block.wheels])
    for sign, words in ((1, "up"), (-1, "down")):
        yield f"{HEAVE * 1e3:.0f} mm {words}", np.full(len(sides), sign * HEAVE)
    for sign, words in ((1, "right side down"), (-1, "left side down")):
        yield f"at {np.degrees(ROLL):.0f} degrees of roll, {words}", -sign * np.tan(ROLL) * sides


def _redundant(linkage: Linkage, where: str, place: Place, paths: Mapping[str, str]) -> Iterator[Problem]:
    """Rigid links that fight each other, by rank loss or by leaving too few freedoms."""
    rows = linkage.jacobian(place.pose)
    if not len(rows):
        return
    left, sizes, _ = np.linalg.svd(rows)
    rank = int((sizes > RANK).sum())
    wanted = len(linkage.block.wheels)
    freedoms = linkage.count - rank
    if rank < len(rows):
        share = np.linalg.norm(left[:, rank:], axis=1)[: len(linkage.rigid)]
        names = [link.name for link, part in zip(linkage.rigid, share, strict=True) if part > 0.3 * share.max()]
        found = f"{len(rows) - rank} rigid constraint too many {place.words}: {_list(names)} hold the same motion"
        yield Problem(_path(names, where, paths), found, "links that each hold a motion of their own", _soften(names))
    elif freedoms < wanted:
        carried = {part.name for part in linkage.block.parts}  # what ties a bellcrank or a bracket ties no axle
        names = [link.name for link in linkage.rigid if not {link.a, link.b} & carried]
        found = f"{len(rows)} rigid constraints that leave {_freedoms(freedoms)} {place.words}"
        expected = f"{_freedoms(wanted)} ({'heave and roll' if wanted == 2 else 'up and down'})"
        yield Problem(_path(names, where, paths), found, expected, _soften(names))


def _soften(names: list[str]) -> str:
    return f"give `stiffness` to {_list(names)} ({STIFFNESS}), or take one away"


def _missing(linkage: Linkage, where: str, wanted: int, place: Place) -> Iterator[Problem]:
    """Motions that nothing holds, counted with each torque link alone, because each acts one way only."""
    elastic = [link for link in linkage.block.links if _locates(link)]
    one_way = [link for link in elastic if link.name in ("drive_link", "brake_link")]
    both_ways = [link for link in elastic if link not in one_way]
    drive, brake = ([link for link in one_way if link.name == name] for name in ("drive_link", "brake_link"))
    for holding, load in ((drive, "drive"), (brake, "braking")):
        rows = [linkage.jacobian(place.pose)]
        rows += [linkage.length_rate(place.pose, link)[None] for link in (*both_ways, *holding)]
        matrix = np.vstack(rows)
        _, sizes, across = np.linalg.svd(matrix)
        free = across[int((sizes > RANK).sum()) :]
        if len(free) <= wanted:
            continue
        motion = _motion(linkage, place.pose, free)
        torque = f" under {load}" if motion == "wind-up" and one_way else ""
        holds = WHAT_HOLDS if wanted == 2 else CORNER_HOLDS
        link = f"`rear.{'drive' if load == 'drive' else 'brake'}_link`" if torque else holds.get(motion, "a link")
        found = f"{_freedoms(len(free))} {place.words}: nothing holds {motion}{torque}"
        expected = f"{_freedoms(wanted)} ({'heave and roll' if wanted == 2 else 'up and down'})"
        yield Problem(where, found, expected, f"add {link}, and check its points")
        return


def _locates(link: Link) -> bool:
    return any(term.kind in ("compliant", "drive_link", "brake_link") for term in link.terms)


def _motion(linkage: Linkage, pose: Pose, free: np.ndarray) -> str:
    """The word for the body's motion that is left while the wheel centres stay at their height."""
    rises = wheel_heights(linkage, pose)[1] @ free.T
    level = np.linalg.svd(rises)[2][len(rises) :] @ free
    strongest = np.linalg.svd(level[:, linkage.columns[linkage.block.bodies[0]]])[2][0]
    size = np.abs(strongest) / np.abs(strongest).max()
    if len(linkage.block.wheels) == 1:
        turns = {"fore-and-aft": 0, "sideways": 1, "camber": 3, "wind-up": 4, "toe": 5}
        return max(turns, key=lambda word: size[turns[word]])
    # Torque links let the housing wind up along with a motion of another kind, which is then the one that is not held.
    words = {"sideways": 1, "fore-and-aft": 0, "yaw": 5}
    return next((word for word, i in words.items() if size[i] > NOTICED), "wind-up")


def _cannot_reach(linkage: Linkage, where: str, words: str, pose: Pose, paths: Mapping[str, str]) -> Problem:
    errors = linkage.closure(pose)[: len(linkage.rigid)]
    if not len(errors) or np.abs(errors).max() < MISFIT:
        fix = "check the ball joints and inner pivots"
        return Problem(where, f"joints that come apart {words}", "a suspension that can move there", fix)
    worst = int(np.abs(errors).argmax())
    name, size = linkage.rigid[worst].name, errors[worst] * 1e3
    found = f"{name} too {'short' if size > 0 else 'long'} by {abs(size):.1f} mm {words}"
    return Problem(
        _path([name], where, paths), found, "points that can be assembled there", "check both ends of that link"
    )


def _path(names: list[str], where: str, paths: Mapping[str, str]) -> str:
    """Key path of one link; of several, their end."""
    one = f"{where}.{names[0]}"
    return paths.get(one, one) if len(names) == 1 else where


def _freedoms(count: int) -> str:
    return "1 freedom" if count == 1 else f"{count} freedoms"


def _list(names: list[str]) -> str:
    return ", ".join(names[:-1]) + f" and {names[-1]}" if len(names) > 1 else "".join(names)
