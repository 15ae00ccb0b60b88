"""Every body of a held car cut free, and the forces and moments on it added up: plain numpy, one state at a time.

Nothing of the model's balances is used. Taken from the solution are the pose unknowns, the tensions, the tyres' loads
and forces, slips and torques; where points are, what a force does there, weights, inertia, air and gyroscopic loads are
worked out here from the car's values, as the design states them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq

from axlewright.car.mechanism import Link, Wheel
from axlewright.model.ground import KEEP_TURNING, SPIN_FADE_LOAD
from axlewright.model.reader import is_list
from axlewright.solve.solved import Solved

LOCKED = -1.0 + 1e-6  # slip ratio
UP = np.array([0.0, 0.0, 1.0])


def turn_about(axis: np.ndarray, angle: float) -> np.ndarray:
    """Rotation matrix (Rodrigues)."""
    x, y, z = axis / np.linalg.norm(axis)
    k = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.eye(3) + np.sin(angle) * k + (1.0 - np.cos(angle)) * k @ k


def turn_of_cayley(r: np.ndarray) -> np.ndarray:
    """Rotation of the vector r = 2 tan(angle / 2) along its axis."""
    size = float(np.linalg.norm(r))
    return np.eye(3) if size == 0.0 else turn_about(r, 2.0 * np.arctan(0.5 * size))


@dataclass
class Load:
    """Force and moment about the road origin, road axes."""

    force: np.ndarray
    moment: np.ndarray

    def add(self, at: np.ndarray, force: np.ndarray) -> None:
        self.force = self.force + force
        self.moment = self.moment + np.cross(at, force)

    def about(self, at: np.ndarray) -> np.ndarray:
        return self.moment - np.cross(at, self.force)


class FreeBodies:
    """One member of a batch. Frames are named (copy, frame); `chassis` is both halves together."""

    def __init__(self, solved: Solved, member: int, changes: Mapping[str, object] | None = None) -> None:
        self.solved, self.i, self.changes = solved, member, changes or {}
        self.asked = [np.asarray(field)[..., member] for field in solved.asked]
        self.border = dict(zip(solved.machine.topology.border, solved.unknowns.border[:, member], strict=True))
        self.loads: dict[tuple[str, str], Load] = {}
        self.about: dict[tuple[str, str], np.ndarray] = {}  # reference point of each frame, road axes
        self.parts: dict[tuple[str, str], float] = {}  # moment about the part's own axis, or force along it
        self.lengths: dict[str, float] = {}  # how far links and joints are from closing, m
        self.bars: dict[str, float] = {}  # left and right arm's moment about the bar's axis, added, or less each other
        self.torques: dict[tuple[str, str], float] = {}  # of each arm about the bar's axis
        self.spins: dict[str, float] = {}
        self.rear = Load(np.zeros(3), np.zeros(3))  # on the rear half of the chassis, all but its sprung mass
        self.outside = Load(np.zeros(3), np.zeros(3))  # everything that is no force between parts of the car
        for k in range(len(solved.machine.topology.blocks)):
            for c in range(solved.machine.topology.blocks[k].n_copies):
                self._block(k, c)
        self._chassis()

    def value(self, path: str, default: float | None = None) -> np.ndarray:
        values = self.solved.machine.values
        if path not in values and default is not None:
            return np.asarray(default)
        value = np.asarray(self.changes.get(path, values[path]), dtype=float)
        return value[..., 0] if value.ndim > int(is_list(path)) else value

    def ask(self, name: str) -> np.ndarray:
        return self.asked[self.solved.asked._fields.index(name)]

    def on(self, frame: tuple[str, str]) -> Load:
        return self.loads.setdefault(frame, Load(np.zeros(3), np.zeros(3)))

    def push(self, frame: tuple[str, str], at: np.ndarray, force: np.ndarray) -> None:
        """A force from outside the car."""
        self.on(frame).add(at, force)
        self.outside.add(at, force)

    def twist(self, frame: tuple[str, str], moment: np.ndarray) -> None:
        """A moment from outside the car (of inertia)."""
        self.on(frame).moment = self.on(frame).moment + moment
        self.outside.moment = self.outside.moment + moment

    # --- places ------------------------------------------------------------------------------------------------

    @property
    def road(self) -> np.ndarray:
        """Ry(pitch) Rx(roll) of the chassis."""
        y, x = np.array([0.0, 1.0, 0.0]), np.array([1.0, 0.0, 0.0])
        return turn_about(y, self.border["pitch"]) @ turn_about(x, self.border["roll"])

    def half(self, rear: bool) -> tuple[np.ndarray, np.ndarray]:
        """Rotation and origin of a chassis half in road axes."""
        origin = np.array([0.0, 0.0, self.border["heave"]])
        if not rear or "twist" not in self.border:
            return self.road, origin
        centre = np.array([0.0, 0.0, float(self.value("chassis.torsion_height"))])
        turn = turn_about(np.array([1.0, 0.0, 0.0]), self.border["twist"])
        return self.road @ turn, origin + self.road @ (centre - turn @ centre)

    def inertia(self, at: np.ndarray) -> np.ndarray:
        """Weight less acceleration times mass, per kg, at a road point."""
        drawn = np.asarray(self.solved.parameters.centre)[:, self.i]
        yaw = np.cross(float(self.ask("yaw_acceleration")) * UP, at - drawn)
        speed = float(self.ask("speed"))
        rate = float(self.ask("ay")) / speed if speed > 0.1 else 0.0  # the model leaves the sideslip out of this one
        outward = rate**2 * np.array([1.0, 1.0, 0.0]) * (at - drawn)
        return self.ask("force") - yaw + outward

    # --- one block copy ------------------------------------------------------------------------------------------

    def _block(self, k: int, c: int) -> None:
        cut = _Cut(self, k, c)
        for link in cut.block.block.links:
            self._link(cut, link)
        for joint in cut.block.block.joints:
            at = self.value(f"{cut.copy}.{joint.name}.at")
            start, end = cut.place(joint.a, at), cut.place(joint.b, at)
            self.lengths[f"{cut.copy}.{joint.name}"] = float(np.linalg.norm(end - start))
            force = cut.turn @ np.array([cut.local[f"{joint.name} force {axis}"] for axis in "xyz"])
            cut.pull(joint.a, start, force)
            cut.pull(joint.b, end, -force)
        self._drop_links(cut)
        for body in cut.block.block.bodies:
            self._mass(cut, body)
        for wheel in cut.block.block.wheels:
            self._wheel(cut, wheel)
        if cut.block.block.pinion_body is not None:
            torque = float(self.value("driveline.sense")) * self.axle_torque / float(self.value("driveline.ratio"))
            forward = cut.turn[:, 0] * torque
            self.on((cut.copy, cut.block.block.pinion_body)).moment -= forward
            cut.on_chassis(np.zeros(3), np.zeros(3), forward)

    def _link(self, cut: _Cut, link: Link) -> None:
        path = f"{cut.copy}.{link.name}"
        a, b = self.value(f"{path}.a"), self.value(f"{path}.b")
        drawn = float(np.linalg.norm(b - a))
        if link.on_rack:  # arms ahead of the wheel centre steer left when they are pulled left, those behind it right
            centre = self.value(f"{cut.block.block.wheels[0].names[cut.c]}.centre")
            shift = self.border["rack"] * (1.0 if b[0] >= centre[0] else -1.0)
            relay = self.solved.machine.topology.mechanism.steering == "relay"
            a = self._on_relay(a, shift) if relay else a + np.array([0.0, shift, 0.0])
        start, end = cut.place(link.a, a), cut.place(link.b, b)
        length = float(np.linalg.norm(end - start))
        if not link.terms:
            self.lengths[path] = length - drawn - float(self.value(f"{path}.length", 0.0))
            tension = cut.local[f"{link.name} tension"]
        else:
            tension = self.solved.link(cut.k, link.name, "tension")[cut.c, self.i]
        along = (end - start) / length
        cut.pull(link.a, start, tension * along)
        cut.pull(link.b, end, -tension * along)

    def _on_relay(self, point: np.ndarray, shift: float) -> np.ndarray:
        """Where a point of the relay link is: idler arm by bisection, the link turned about the axes of the arms."""
        foot, axis, end, far, far_end = (
            self.value(f"relay.{name}")
            for name in ("pitman_axis_a", "pitman_axis_b", "pitman_end", "idler_axis_a", "idler_end")
        )
        axis = axis - foot
        crank = end - foot
        square = crank - axis * (axis @ crank) / (axis @ axis)
        way = np.sign(np.cross(axis, square)[1])  # the pitman end goes left
        start = foot + turn_about(axis, way * shift / np.linalg.norm(square)) @ crank
        stop = lambda angle: far + turn_about(axis, angle) @ (far_end - far)  # noqa: E731 - used twice below
        length = np.linalg.norm(far_end - end)
        misfit = lambda angle: float(np.linalg.norm(stop(angle) - start) - length)  # noqa: E731 - as above
        angle = float(np.asarray(brentq(misfit, -0.6, 0.6, xtol=1e-15)))
        first, now = far_end - end, stop(angle) - start
        unit = axis / np.linalg.norm(axis)
        turned = np.arctan2(unit @ np.cross(first, now), first @ now - (unit @ first) * (unit @ now))
        return start + turn_about(unit, float(turned)) @ (point - end)

    @property
    def axle_torque(self) -> float:
        return 0.0 if self.ask("braking") else float(self.border["effort"])

    def _drop_links(self, cut: _Cut) -> None:
        """A bar's arm turns about its axis on the chassis; its bearings take all but the moment about that axis."""
        place, details = cut.place, self.solved.blocks[cut.k].details
        for e, ends in enumerate(cut.block.bar_ends):
            whole = self.solved.machine.topology.mechanism.bars[ends[cut.c][0]]
            bar, side = whole.name, cut.block.bar_sides[e][cut.c]
            path = f"{bar}.{side}"
            sign = -1.0 if whole.heave and side == "right" else 1.0  # a third spring turns both arms back alike
            pivot, axis, outward = (self.value(f"{path}.{name}") for name in ("pivot", "axis", "direction"))
            angle, tension = (np.asarray(a)[e, cut.c, self.i] for a in (details.arm_angle, details.drop_tension))
            lower = place(cut.block.bar_end_frames[e], self.value(f"{path}.drop_point"))
            hole = place("chassis", pivot + turn_about(axis, angle) @ outward * float(self.value(f"{path}.arm")))
            drawn = np.linalg.norm(pivot + outward * self.value(f"{path}.arm") - self.value(f"{path}.drop_point"))
            span = hole - lower
            self.lengths[path] = float(np.linalg.norm(span) - drawn - self.value(f"{path}.drop_link", 0.0))
            force = tension * span / np.linalg.norm(span)
            cut.pull(cut.block.bar_end_frames[e], lower, force)
            cut.on_chassis(hole, -force)
            base, tip = place("chassis", pivot), place("chassis", pivot + axis)
            moment = float((tip - base) @ np.cross(hole - base, -force))
            self.bars[bar] = self.bars.get(bar, 0.0) + sign * moment
            self.torques[bar, side] = moment

    def _mass(self, cut: _Cut, body: str) -> None:
        copy = cut.copy
        at = cut.place(body, self.value(f"{copy}.{body}.at"))
        self.about[copy, body] = at
        self.push((copy, body), at, self.inertia(at) * float(self.value(f"{copy}.{body}.mass")))
        yaw = float(self.value(f"{copy}.{body}.yaw_inertia", 0.0)) * float(self.ask("yaw_acceleration"))
        self.twist((copy, body), -yaw * UP)

    def _wheel(self, cut: _Cut, wheel: Wheel) -> None:
        copy, name = cut.copy, wheel.names[cut.c]
        centre = cut.place(wheel.frame, self.value(f"{name}.centre"))
        order = self.solved.machine.topology.mechanism.wheels.index(name)
        of = lambda field: np.asarray(self.solved.wheel(field))[..., order, self.i]  # noqa: E731 - used below
        drawn = self.value(f"{name}.centre")
        side = np.sign(drawn[1])
        toe, camber = float(self.value(f"{name}.toe")), float(self.value(f"{name}.camber"))
        leaning = turn_about(np.array([1.0, 0.0, 0.0]), -side * camber)  # top outward: a left wheel leans to the left
        spin = turn_about(UP, -side * toe) @ leaning @ np.array([0.0, 1.0, 0.0])
        axis = cut.place(wheel.frame, drawn + spin) - centre
        down = axis * (axis @ UP) - UP
        down /= np.linalg.norm(down)
        height = float(self.ask("road_height")[order])
        point = centre + down * (centre[2] - height) / -down[2]
        forward = np.cross(axis, UP)
        forward /= np.linalg.norm(forward)
        load = float(of("load"))
        force = float(of("longitudinal")) * forward + float(of("lateral")) * np.cross(UP, forward) + load * UP
        self.push((copy, wheel.frame), point, force)
        slip, beta, speed = self.border[f"slip {name}"], self.border["sideslip"], float(self.ask("speed"))
        # yaw rate times spin speed: (ay cos b - ax sin b) / V times V turning; no yaw at standstill
        yaw = float(self.ask("ay")) * np.cos(beta) - float(self.ask("ax")) * np.sin(beta) if speed > 0.1 else 0.0
        # the wheel's own path: the car's direction of travel, and its turning about the centre of mass
        from_centre = point - np.asarray(self.solved.parameters.centre)[:, self.i]
        curvature = yaw / speed**2 if speed > 0.1 else 0.0
        travel = np.array([np.cos(beta), np.sin(beta), 0.0]) + curvature * np.cross(UP, from_centre)
        turning = (1.0 + slip) * float(travel @ forward) / float(of("rolling_radius"))
        inertia = float(self.value(f"{name}.spin_inertia"))
        fade = load / (load + SPIN_FADE_LOAD)
        spin_up = inertia * float(self.ask("ax")) * turning * fade
        self.twist((copy, wheel.frame), -spin_up * axis - inertia * yaw * turning * np.cross(UP, axis))
        drag = float(self.value(f"{name}.bearing_drag", 0.0)) * speed * turning
        if not wheel.driven:
            drag = drag * fade + KEEP_TURNING * slip
        drive = 0.5 * (self.axle_torque + side * self.border["difference"]) if wheel.driven else 0.0
        most = float(self.value(f"{name}.brake_gain")) * self.border["effort"] if self.ask("braking") else 0.0
        surplus = float(axis @ np.cross(point - centre, force)) + drive - drag - spin_up - most
        locked = bool(self.ask("braking")) and slip < LOCKED
        self.spins[name] = max(0.0, surplus) if locked else surplus  # a locked wheel's brake has some in hand
        held = most + (surplus if locked else 0.0)  # the brake turns the wheel back and what holds it forward
        # a shaft to the chassis turns the wheel forward, or back where the brake is at its other end
        shaft = drive * (not wheel.drive_on_body) - held * (not wheel.brake_on_body)
        self.on((copy, wheel.frame)).moment = self.on((copy, wheel.frame)).moment + shaft * axis
        cut.on_chassis(np.zeros(3), np.zeros(3), -shaft * axis)
        if wheel.brake_frame is not None:
            a, b = (cut.place(wheel.frame, point) for point in cut.axis(wheel.brake_frame))
            own = self.parts.get((copy, wheel.brake_frame), 0.0)
            self.parts[copy, wheel.brake_frame] = own + held * float(axis @ (b - a)) / float(np.linalg.norm(b - a))

    # --- chassis ---------------------------------------------------------------------------------------------------

    def _chassis(self) -> None:
        turn, origin = self.half(rear=False)
        frame = ("", "chassis")
        for item in self.solved.machine.topology.mechanism.mass_items:
            at = origin + turn @ self.value(f"chassis.{item}.at")
            self.push(frame, at, self.inertia(at) * float(self.value(f"chassis.{item}.mass")))
        yaw = float(self.value("chassis.yaw_inertia", 0.0)) * float(self.ask("yaw_acceleration"))
        self.twist(frame, -yaw * UP)
        pressure = 0.5 * float(self.value("aero.air_density")) * float(self.ask("speed")) ** 2
        drag_at = np.array([np.asarray(self.solved.parameters.centre)[0, self.i], 0.0, self.value("aero.drag_height")])
        self.push(frame, origin + turn @ drag_at, np.array([-pressure * self.value("aero.drag_area"), 0.0, 0.0]))
        for end in ("front", "rear"):
            at = origin + turn @ np.array([float(self.value(f"aero.x_{end}")), 0.0, 0.0])
            self.push(frame, at, -pressure * self.value(f"aero.lift_area_{end}") * UP)
        self.about[frame] = origin

    def twist_moment(self) -> float:
        """Moment about the twist axis that the rear half passes on to the front half, N m."""
        turn, origin = self.half(rear=False)
        axis = origin + turn @ np.array([0.0, 0.0, float(self.value("chassis.torsion_height"))])
        share = float(self.value("chassis.torsion_rear_share"))
        whole = Load(self.rear.force, self.rear.moment)
        for item in self.solved.machine.topology.mechanism.mass_items:
            at = origin + turn @ self.value(f"chassis.{item}.at")
            whole.add(at, share * self.inertia(at) * float(self.value(f"chassis.{item}.mass")))
        return float(turn[:, 0] @ whole.about(axis))


class _Cut:
    """One copy of a block: where its points are in road axes, and what pulls on its frames."""

    def __init__(self, bodies: FreeBodies, k: int, c: int) -> None:
        self.bodies, self.k, self.c = bodies, k, c
        self.block = bodies.solved.machine.topology.blocks[k]
        self.copy = self.block.block.copies[c]
        unknowns = np.asarray(bodies.solved.unknowns.local[k])[:, c, bodies.i]
        self.local = dict(zip(self.block.unknown_names, unknowns, strict=True))
        self.turn, self.origin = bodies.half(self.block.block.rear)
        self.parents = {part.name: part.parent for part in self.block.block.parts}
        self.slides = {part.name for part in self.block.block.parts if part.slides}

    def axis(self, part: str) -> tuple[np.ndarray, np.ndarray]:
        """Two drawn points on a part's axis."""
        return self.bodies.value(f"{self.copy}.{part}.axis_a"), self.bodies.value(f"{self.copy}.{part}.axis_b")

    def in_half(self, frame: str, point: np.ndarray) -> np.ndarray:
        """A drawn point of a frame where it is now, in axes of the chassis half."""
        if frame == "chassis":
            return point
        if frame in self.parents:
            a, b = self.axis(frame)
            if frame in self.slides:
                moved = point + self.local[f"{frame} slide"] * (b - a) / np.linalg.norm(b - a)
            else:
                moved = a + turn_about(b - a, self.local[f"{frame} angle"]) @ (point - a)
            return self.in_half(self.parents[frame], moved)
        at = self.bodies.value(f"{self.copy}.{frame}.at")
        moved = np.array([self.local[f"{frame} {axis}"] for axis in "xyz"])
        turned = turn_of_cayley(np.array([self.local[f"{frame} rotation {axis}"] for axis in "xyz"]))
        return at + moved + turned @ (point - at)

    def place(self, frame: str, point: np.ndarray) -> np.ndarray:
        """The same in road axes."""
        return self.origin + self.turn @ self.in_half(frame, point)

    def pull(self, frame: str, at: np.ndarray, force: np.ndarray) -> None:
        """A force of one part on another. A massless part hands it on to what it turns on or slides in, all but its own
        moment about its axis or its own force along it.
        """
        carrier = self.parents.get(frame, frame)
        if carrier == "chassis":
            self.on_chassis(at, force)
        else:
            self.bodies.on((self.copy, carrier)).add(at, force)
        if frame in self.parents:
            a, b = (self.place(carrier, point) for point in self.axis(frame))
            own = self.bodies.parts.get((self.copy, frame), 0.0)
            moment = (b - a) @ (force if frame in self.slides else np.cross(at - a, force)) / np.linalg.norm(b - a)
            self.bodies.parts[self.copy, frame] = own + float(moment)

    def on_chassis(self, at: np.ndarray, force: np.ndarray, moment: np.ndarray | float = 0.0) -> None:
        """A force and a moment on the half of the chassis that carries the block."""
        for load in (self.bodies.on(("", "chassis")), *([self.bodies.rear] if self.block.block.rear else [])):
            load.add(at, force)
            load.moment = load.moment + moment
