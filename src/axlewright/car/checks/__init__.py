"""Everything that can be wrong with a car that has been read: one file a question. Numpy only, nothing is solved."""

from __future__ import annotations

from axlewright.car.adjusters import adjuster_problems
from axlewright.car.checks.assembly import assembly_problems
from axlewright.car.checks.carried import carried_problems
from axlewright.car.checks.freedoms import freedom_problems
from axlewright.car.checks.motion import motion_problems
from axlewright.car.checks.room import room_problems
from axlewright.car.checks.sides import side_problems
from axlewright.car.checks.weights import height_problems, weight_problems
from axlewright.car.describe import describe
from axlewright.car.describe.layouts import link_keys
from axlewright.car.schema import Car
from axlewright.errors import Problem


def problems_of_car(car: Car) -> list[Problem]:
    """What makes a car unusable, in three stages, because each needs what the one before has looked at."""
    found = [*carried_problems(car), *side_problems(car)] or [
        *assembly_problems(car),
        *height_problems(car),
        *weight_problems(car),
        *motion_problems(car),
    ]
    if found:
        return found
    mechanism, values = describe(car)
    found = freedom_problems(mechanism, values, link_keys(car))
    return [*found, *adjuster_problems(car), *room_problems(car, mechanism, values)]
