"""Roads: height and grip under the left and the right track against distance. Pure numbers, no car.

Distance counts along the car's heading from where the middle of its front axle line is when an event begins; a wheel
stands on the road of its own side. Roads add up: `bump + rough` has both heights, and the product of both grips.
"""

from axlewright.road.measured import measured
from axlewright.road.obstacle import bump, kerb, ripples
from axlewright.road.patch import patch
from axlewright.road.profile import Road, level
from axlewright.road.rough import CLASSES, rough

__all__ = ["CLASSES", "Road", "bump", "kerb", "level", "measured", "patch", "ripples", "rough"]
