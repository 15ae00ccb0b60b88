"""The links that locate the axle fore and aft: lengths and mounts, each side, both, and one against the other."""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster
from axlewright.car.adjusters.hand import length
from axlewright.car.adjusters.lengths import link_length
from axlewright.car.adjusters.mounts import mount
from axlewright.car.adjusters.together import together
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.rear import BeamAxle, Link, LinkEnds
from axlewright.car.schema.sides import SIDES

HEIGHT_RANGE = 30e-3  # m either way; common practice, no source
FRAMES = (("chassis", "a"), ("axle", "b"))


def axle_links(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Adjusters of every locating link of the axle."""
    del mechanism, values
    found: list[Adjuster] = []
    for link in car.rear.links if isinstance(car.rear, BeamAxle) else ():
        found += _pair(car, link) if link.pair else _single(car, link)
    return found


def _single(car: Car, link: Link) -> list[Adjuster]:
    name = link.name.replace("_", " ")
    mounts = [_mount(car, link.name, link, f"{name} link", frame) for frame, _ in FRAMES if _offered(link, frame)]
    return [_length(car, link.name, link, f"{name} link"), *mounts]


def _pair(car: Car, link: Link) -> list[Adjuster]:
    name = f"{link.name.replace('_', ' ')} link"
    ends = {side: link.ends(side) for side in SIDES}
    left, right = (_length(car, f"{link.name}_{side}", ends[side], f"{side} {name}") for side in SIDES)
    both = together(
        [(left, 1.0), (right, 1.0)],
        f"{link.name}_length",
        name=f"{name}s, length, both",
        group="axle",
        minutes=15.0,
        direction="more: longer links, a longer wheelbase",
    )
    square = together(
        [(left, 1.0), (right, -1.0)],
        f"{link.name}_square",
        name=f"{name}s, one longer and one shorter: axle square",
        group="axle",
        minutes=15.0,
        from_zero=True,
        direction="more: left link longer, right link shorter, left wheel further back",
    )
    found = [both, square, left, right]
    for frame, _ in FRAMES:
        if _offered(link, frame):
            found += _mounts(car, link, ends, name, frame)
    return found


def _mounts(car: Car, link: Link, ends: dict[str, LinkEnds], name: str, frame: str) -> list[Adjuster]:
    left, right = (_mount(car, f"{link.name}_{side}", ends[side], f"{side} {name}", frame) for side in SIDES)
    both = together(
        [(left, 1.0), (right, 1.0)],
        f"{link.name}_mount_{frame}",
        name=f"{name}s, {frame} mounts, both sides",
        group="axle",
        minutes=1.5 * left.minutes,
        note=f"same hole on both sides? {left.note}",
    )
    return [both, left, right]


def _offered(link: LinkEnds, frame: str) -> bool:
    """Chassis mounts always, axle mounts where the car file lists several holes."""
    return frame == "chassis" or getattr(link, frame).adjustable


def _mount(car: Car, path: str, ends: LinkEnds, name: str, frame: str) -> Adjuster:
    found = mount(
        {f"rear.{path}.{dict(FRAMES)[frame]}": getattr(ends, frame)},
        length(car, 5.0, 0.25),
        HEIGHT_RANGE,
        key=_key(path, f"mount_{frame}"),
        name=f"{name}, {frame} mount",
        family="axle link mount",
        group="axle",
        minutes=15.0,
        recheck=("AC", "PA", "TL"),
        rezero=("PA", "TL"),
    )
    return found


def _length(car: Car, path: str, ends: LinkEnds, name: str) -> Adjuster:
    return link_length(
        car,
        f"rear.{path}",
        ends.thread,
        key=_key(path, "length"),
        name=f"{name}, length",
        family="axle link length",
        minutes=10.0,
        recheck=("AC", "PA", "TL"),
        rezero=("PA", "TL"),
        cautions=("car in the air", "prove by degrees"),
        note="enough thread left in the rod ends? look at the propeller shaft's slip joint",
    )


def _key(path: str, what: str) -> str:
    """lower_left and length make lower_length_left."""
    for side in SIDES:
        if path.endswith(f"_{side}"):
            return f"{path.removesuffix(f'_{side}')}_{what}_{side}"
    return f"{path}_{what}"
