"""Everything that can be wrong with a car that has been read: one file a question. Numpy only, nothing is solved."""

from __future__ import annotations

from axlewright.car.adjusters import adjuster_problems
from axlewright.car.checks.assembly import assembly_problems
from axlewright.car.checks.freedoms import freedom_problems
from axlewright.car.checks.sides import side_problems
from axlewright.car.checks.weights import height_problems, weight_problems
from axlewright.car.describe import describe
from axlewright.car.schema import Car
from axlewright.errors import Problem


def problems_of_car(car: Car) -> list[Problem]:
    """What makes a car unusable, in three stages, because each needs what the one before has looked at."""
    found = side_problems(car) or [*assembly_problems(car), *height_problems(car), *weight_problems(car)]
    if found:
        return found
    mechanism, values = describe(car)
    return [*freedom_problems(mechanism, values, link_paths(car)), *adjuster_problems(car)]


def link_paths(car: Car) -> dict[str, str]:
    """Key path of each link, by its name in the mechanism."""
    paths = {"tie_rod": "front.tie_rod", "panhard": "rear.panhard"}
    for arm in ("upper", "lower"):
        paths |= {f"{arm}_{leg}": f"front.{arm}_wishbone.{leg}" for leg in ("front", "rear")}
    paths |= {f"watt_{side}": f"rear.watt.{side}_end" for side in ("left", "right")}
    paths |= {link: f"rear.{link}" for link in ("drive_link", "brake_link")}
    for i, link in enumerate(car.rear.links):
        names = [f"{link.name}_left", f"{link.name}_right"] if link.pair else [link.name]
        paths |= dict.fromkeys(names, f"rear.links[{i + 1}]")
    return paths
