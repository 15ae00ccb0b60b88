"""What is worth looking at over time, for each kind of event: the command line's plots and the page's, one choice."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from axlewright.draw.axis import Axis
from axlewright.readings.motion.thrust import demand, thrust
from axlewright.solve.motion.run import Kind, Run
from axlewright.units import scale

Found = Sequence[tuple[str, Run]]
TIME = Axis("time since it was done", "s", more="later")
DEG, G = scale("deg")[0], scale("g")[0]
WHEELS = ("left front", "right front", "left rear", "right rear")
TORQUE_LINKS = ("drive_link", "brake_link", "upper_link", "upper", "torque_arm")


class Quantity(NamedTuple):
    """Something that changes through a run. `read` takes a run of one member and gives (T,), SI; NaN where it has
    none. `aside`: there is room for it on a page, not on one picture.
    """

    id: str
    axis: Axis
    read: Callable[[Run], np.ndarray]
    aside: bool = False


def quantities(kind: Kind) -> tuple[Quantity, ...]:
    """What is shown of a kind of event, most telling first; a sweep is shown over frequency instead."""
    if kind in ("drive", "brake"):
        return _hit(kind)
    if kind in ("road", "drop"):
        return _road()
    return _steer()


def there(found: Found, wanted: Sequence[Quantity]) -> list[Quantity]:
    """Those that at least one of the runs has."""
    return [one for one in wanted if any(np.isfinite(one.read(run)).any() for _, run in found)]


def _hit(kind: Kind) -> tuple[Quantity, ...]:
    pushes = "pushes more" if kind == "drive" else "brakes more"
    return (
        Quantity("force", Axis("force of the tyres that are asked", "kN", 1e3, pushes), lambda run: thrust(run)[:, 0]),
        _use("use", "largest share of its grip that one uses", lambda run: demand(run)[:, 0]),
        _wind_up(),
        Quantity("rear_load", Axis("mean rear tyre load", "kN", 1e3), lambda run: run.seen.load[:, 2:, 0].mean(axis=1)),
        *(_link(name) for name in TORQUE_LINKS),
        *(_load(w, aside=True) for w in ((2, 3) if kind == "drive" else range(4))),
        _own("ax", "acceleration along the car", "g", G, "forward"),
    )


def _steer() -> tuple[Quantity, ...]:
    return (
        _own("yaw_rate", "yaw rate", "deg/s", DEG, "turns left", aside=False),
        _own("ay", "lateral acceleration", "g", G, "to the left", aside=False),
        _own("sideslip", "sideslip", "deg", DEG, "moves left of its heading", aside=False),
        _own("roll", "roll to the road", "deg", DEG, "right side down", aside=False),
        _own("speed", "speed", "m/s", 1.0, "faster", aside=False),
        _use("use_front", "larger share of its grip that a front tyre uses", lambda run: _most(run, 0), aside=True),
        _use("use_rear", "larger share of its grip that a rear tyre uses", lambda run: _most(run, 2), aside=True),
        *(_load(w, aside=True) for w in range(4)),
    )


def _road() -> tuple[Quantity, ...]:
    road = Axis("road under the left front wheel", "mm", 1e-3, "higher")
    return (
        Quantity("road", road, lambda run: run.seen.road_height[:, 0, 0]),
        *(_load(w, aside=w == 1) for w in (0, 2, 3, 1)),
        _own("az", "vertical acceleration", "g", G, "upward", aside=False),
        _wind_up(aside=True),
        *(_link(name) for name in TORQUE_LINKS),
    )


def _own(name: str, words: str, unit: str, size: float, more: str, *, aside: bool = True) -> Quantity:
    """Something of the chassis that a run keeps under this name."""
    return Quantity(name, Axis(words, unit, size, more), lambda run: getattr(run.seen, name)[:, 0], aside)


def _use(name: str, words: str, read: Callable[[Run], np.ndarray], *, aside: bool = False) -> Quantity:
    return Quantity(name, Axis(words, "%", 0.01, "nearer to sliding"), read, aside)


def _most(run: Run, first: int) -> np.ndarray:
    return run.seen.use[:, first : first + 2, 0].max(axis=1)


def _load(wheel: int, *, aside: bool) -> Quantity:
    axis = Axis(f"{WHEELS[wheel]} tyre load", "kN", 1e3)
    return Quantity(f"load_{wheel}", axis, lambda run: run.seen.load[:, wheel, 0], aside)


def _wind_up(*, aside: bool = False) -> Quantity:
    return Quantity("wind_up", Axis("wind-up", "deg", DEG, "pinion nose up", "nose down"), _wound, aside)


def _wound(run: Run) -> np.ndarray:
    return _only(run, next(iter(run.seen.wind_up.values()), None))


def _link(name: str) -> Quantity:
    axis = Axis(f"{name.replace('_', ' ')}: force", "kN", 1e3, "tension", "compression")

    return Quantity(name, axis, lambda run: _only(run, run.seen.tension.get(f"rear.{name}")), aside=True)


def _only(run: Run, values: np.ndarray | None) -> np.ndarray:
    return np.full(len(run.time), np.nan) if values is None else values[:, 0]
