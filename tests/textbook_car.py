"""A whole car that meets the assumptions behind hand formulas, built on the demo car's mechanism by other numbers.

What a hand formula leaves out is made to vanish:

- roll centres are fixed points of the chassis: front wheels swing about a line along the car at the roll centre's
  height (both wishbones, the tie rod's inner end), the axle about its Watt's pivot, whose links are level;
- springs stay upright and bars' drop links too, being 100 m long, so motion ratios and rates are constant;
- tyres are stiff; their cornering stiffness does not change with load, so side forces don't jack the car up;
- no drag, toe, camber, wheel inertia, gyroscopic or pinion torque, unless asked for.

All cars share one mechanism, so that compiled code is shared too.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache, cached_property

import numpy as np

from axlewright.model.elimination import Pivots
from axlewright.readings import readings_of
from axlewright.solve.demand import held_demand
from axlewright.solve.machine import Machine, build
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import hold_batch, rest
from tests.cars import TEASEL

G = 9.81
FAR = 100.0  # m: how long springs and links are where they must not turn
NEVER = 10.0  # m: gap to stops that are never touched
STIFF_TYRE = 1e7  # N/m
LINK = 10.0  # m: level links
RIGID = 1e7  # N/m, N: seat rate and preload of a torque link; stiffer ones drown the solver in rounding of its length
NO_MASS = 1e-6  # kg
STEPS = 8  # of a demand on its way up from rest
SLOPE = 1.35 * 1.75  # of the demo tyre's curve at no slip: B C
GAS = 20.0  # N on the brake-side link: keeps the drive-side one in tension
FREE = 1e-4  # m between the drive-side link and the brake-side one taking over


def read(solved: Solved, name: str) -> np.ndarray:
    """One reading of solved states, by its id, (B,)."""
    return readings_of(solved.machine)[name].read(solved)


@dataclass(frozen=True, kw_only=True)
class Textbook:
    """Sizes of one car, SI; pairs are (front, rear), both wheels of an end together unless said."""

    wheelbase: float = 2.5
    track: tuple[float, float] = (1.5, 1.5)
    radius: float = 0.3
    sprung: float = 1200.0
    sprung_front: float = 0.5
    height: float = 0.5  # of the sprung centre of mass
    unsprung: tuple[float, float] = (NO_MASS, NO_MASS)
    unsprung_height: tuple[float, float] | None = None  # the radius where left out
    roll_centre: tuple[float, float] = (0.0, 0.3)
    spring: tuple[float, float] = (40e3, 40e3)  # N/m each
    ratio: tuple[float, float] = (1.0, 1.0)  # spring movement per wheel movement
    bar: tuple[float, float] = (1e-9, 1e-9)  # N m/rad of twist
    bar_ratio: tuple[float, float] = (1.0, 1.0)  # rad of arm per m of wheel movement
    cornering: tuple[float, float] = (100e3, 100e3)  # N/rad a tyre
    grip: tuple[float, float] = (1.0, 1.0)
    slip_peak: float = 0.1  # slip ratio
    tyre_rate: tuple[float, float] = (STIFF_TYRE, STIFF_TYRE)
    front_tilt: float = 0.0  # slope of the front wheels' swing axis, higher at the rear: anti-dive
    instant_centre: tuple[float, float] | None = None  # (ahead of the axle, height): links level when left out
    upper_link: tuple[float, float, float] = (0.6, 0.0, 0.0)  # height on the axle, y, rise forward per m when level
    lower_height: float = 0.1
    lower_rise: float = 0.0
    brake_front: float = 0.5
    final_drive: float = 1e9  # no pinion torque
    lock: float = 0.0  # N m of differential preload
    more: dict[str, float | np.ndarray] = field(default_factory=dict)  # any other value

    @property
    def mass(self) -> float:
        return self.sprung + sum(self.unsprung)

    @property
    def loads(self) -> tuple[float, float]:
        """Static load of each end, N."""
        front = G * (self.sprung * self.sprung_front + self.unsprung[0])
        return front, G * self.mass - front

    def changed(self, **sizes: object) -> Textbook:
        return replace(self, **sizes)

    @cached_property
    def machine(self) -> Machine:
        return replace(build(TEASEL.mechanism, self.values), pivots=_order())

    @property
    def values(self) -> dict[str, float | np.ndarray]:
        values = dict(TEASEL.machine.values)
        values.update(self._front())
        values.update(self._rear())
        for name, wheel, end in (("LF", 1, 0), ("RF", -1, 0), ("LR", 1, 1), ("RR", -1, 1)):
            values.update(self._wheel(name, wheel, end))
        values.update(
            {
                "chassis.sprung.mass": self.sprung,
                "chassis.sprung.at": np.array([-self.wheelbase * (1.0 - self.sprung_front), 0.0, self.height]),
                "aero.drag_area": 0.0,
                "aero.lift_area_front": 0.0,
                "aero.lift_area_rear": 0.0,
                "driveline.ratio": self.final_drive,
                "driveline.preload": self.lock,
                "driveline.lock_drive": 0.0,
                "driveline.lock_coast": 0.0,
                "scales.cross_weight": 0.5,
            }
        )
        values.update(self.more)
        return values

    @property
    def rest(self) -> Solved:
        return rest(self.machine)

    def hold(
        self,
        *,
        ax: object = 0.0,
        ay: object = 0.0,
        an: object = 0.0,
        speed: object = 30.0,
        effort: str = "engine",
        solved: bool = True,
    ) -> Solved:
        """Held states of a batch, m/s2 and m/s."""
        ax, ay, an, speed = np.broadcast_arrays(*(np.atleast_1d(np.asarray(x, float)) for x in (ax, ay, an, speed)))
        machine = self.machine
        packed, standing = machine.parameters(machine.values), self.rest
        found = standing
        for share in np.linspace(0.0, 1.0, STEPS + 1)[1:]:  # stiff tyres want small steps
            demand = held_demand(
                ax=share * ax,
                ay=share * ay,
                an=share * an,
                speed=speed,
                effort=np.full(ax.shape, effort),
                grip=np.ones(ax.shape),
                road_height=np.zeros((4, *ax.shape)),
            )
            found = hold_batch(machine, packed, machine.form.demand.pack(demand), found.state, standing)
        assert not solved or (found.result == 0).all(), found.result
        return found

    def _front(self) -> dict[str, float | np.ndarray]:
        half, z, h = 0.5 * self.track[0], self.roll_centre[0], self._heights[0]
        found: dict[str, float | np.ndarray] = {}
        for side, y in (("left", 1.0), ("right", -1.0)):
            on_axis = lambda x: np.array([x, 0.0, z - self.front_tilt * x])  # noqa: E731 - the swing axis
            ball = lambda dz: np.array([0.0, y * half, h + dz])  # noqa: E731, B023 - used in this turn of the loop only
            lever, bar = self.ratio[0] * half, self._bar_lever(0)
            at = f"front.{side}"
            found |= {
                f"{at}.lower_arm.axis_a": on_axis(1.0),
                f"{at}.lower_arm.axis_b": on_axis(-1.0),
                f"{at}.lower_ball.at": ball(-0.1),
                f"{at}.upper_front.a": on_axis(0.5),
                f"{at}.upper_front.b": ball(0.1),
                f"{at}.upper_rear.a": on_axis(-0.5),
                f"{at}.upper_rear.b": ball(0.1),
                f"{at}.tie_rod.a": on_axis(0.15),
                f"{at}.tie_rod.b": np.array([0.15, y * half, h]),
                f"{at}.upright.mass": 0.5 * self.unsprung[0],
                f"{at}.upright.at": np.array([0.0, y * half, h]),
                f"front_bar.{side}.pivot": np.array([0.3, y * bar, z + FAR]),
                f"front_bar.{side}.arm": 0.3,
                f"front_bar.{side}.drop_point": np.array([0.0, y * bar, z]),
            }
            found |= self._spring(f"{at}.spring", np.array([0.0, y * lever, z]), self.spring[0])
        return found | {"front_bar.torsion": self.bar[0]}

    def _rear(self) -> dict[str, float | np.ndarray]:
        x, z, h = -self.wheelbase, self.roll_centre[1], self._heights[1]
        ahead, height = self.instant_centre or (0.0, 0.0)
        low, (top, beside, rise) = self.lower_height, self.upper_link
        slopes = [(height - low) / ahead, (height - top) / ahead] if ahead else [self.lower_rise, rise]
        reach = 0.5 * ahead if ahead else LINK  # links end half way to the instant centre
        links = {
            "lower_left": (0.5, low, slopes[0]),
            "lower_right": (-0.5, low, slopes[0]),
            "drive_link": (beside, top, slopes[1]),
            "brake_link": (0.0, top, slopes[1]),
        }
        found: dict[str, float | np.ndarray] = {}
        for name, (y, start, slope) in links.items():
            found[f"rear.{name}.a"] = np.array([x + reach, y, start + slope * reach])
            found[f"rear.{name}.b"] = np.array([x, y, start])
        for side, y in (("left", 1.0), ("right", -1.0)):
            bar = self._bar_lever(1)
            found |= {
                f"rear.watt_{side}.a": np.array([x, 0.0, z + 0.1 * y]),
                f"rear.watt_{side}.b": np.array([x, 0.55 * y, z + 0.1 * y]),
                f"rear_bar.{side}.pivot": np.array([x + 0.3, y * bar, z + FAR]),
                f"rear_bar.{side}.arm": 0.3,
                f"rear_bar.{side}.drop_point": np.array([x, y * bar, z]),
            }
            lever = 0.5 * self.ratio[1] * self.track[1]
            found |= self._spring(f"rear.spring_{side}", np.array([x, y * lever, z]), self.spring[1])
        return found | {
            "rear.axle.mass": self.unsprung[1],
            "rear.axle.at": np.array([x, 0.0, h]),
            "rear.bellcrank.axis_a": np.array([x, 0.0, z]),
            "rear.bellcrank.axis_b": np.array([x + 1.0, 0.0, z]),
            "rear.drive_link.drive.preload": RIGID,
            "rear.drive_link.drive.seat_rate": RIGID,
            "rear.brake_link.brake.gas": GAS,
            "rear.brake_link.brake.gap": FREE,
            "rear.brake_link.brake.bumper_rate": RIGID,
            "rear_bar.torsion": self.bar[1],
        }

    @property
    def _heights(self) -> tuple[float, float]:
        return self.unsprung_height or (self.radius, self.radius)

    def _bar_lever(self, end: int) -> float:
        """Distance from the centre at which a drop link turns a 0.3 m arm by `bar_ratio` per wheel movement."""
        return self.bar_ratio[end] * 0.3 * 0.5 * self.track[end]

    def _spring(self, path: str, at: np.ndarray, rate: float) -> dict[str, float | np.ndarray]:
        return {
            f"{path}.a": at + np.array([0.0, 0.0, FAR]),
            f"{path}.b": at,
            f"{path}.spring.rate": rate,
            f"{path}.spring.bind": NEVER,
            f"{path}.gas.force": 0.0,
            f"{path}.bump_stop.gap": NEVER,
            f"{path}.droop_stop.gap": NEVER,
        }

    def _wheel(self, name: str, side: int, end: int) -> dict[str, float | np.ndarray]:
        load, grip = 0.5 * self.loads[end], self.grip[end]
        peak = float(np.arctan(grip * load * SLOPE / self.cornering[end]))
        brake = self.brake_front if end == 0 else 1.0 - self.brake_front
        return {
            f"{name}.centre": np.array([-self.wheelbase * end, 0.5 * side * self.track[end], self._heights[end]]),
            f"{name}.camber": 0.0,
            f"{name}.toe": 0.0,
            f"{name}.spin_inertia": 0.0,
            f"{name}.bearing_drag": 0.0,
            f"{name}.brake_gain": 0.5 * brake,
            f"{name}.tyre.grip": grip,
            f"{name}.tyre.reference_load": load,
            f"{name}.tyre.grip_drop": 0.0,
            f"{name}.tyre.grip_camber": 0.0,
            f"{name}.tyre.grip_ratio": 1.0,
            f"{name}.tyre.camber_slip": 0.0,
            f"{name}.tyre.slip_angle_peak": peak,
            f"{name}.tyre.slip_angle_peak_per_load": peak / load,
            f"{name}.tyre.slip_ratio_peak": self.slip_peak,
            f"{name}.tyre.vertical_rate": self.tyre_rate[end],
            f"{name}.tyre.vertical_rate_per_pressure": 0.0,
        }


@cache
def _order() -> tuple[Pivots, ...]:
    """One order of elimination for all these cars, else each would be compiled anew."""
    return build(TEASEL.mechanism, Textbook().values).pivots
