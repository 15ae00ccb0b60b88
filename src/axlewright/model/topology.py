"""Static index tables of a mechanism: which array slot belongs to which frame, unknown and equation.

Unknowns of one block copy, in order: pose of each body (translation 3, Cayley rotation 3, relative to the chassis), one
angle or slide for each part, tension of each rigid link, force of each ball joint (3). Equations in the same number:
force and moment balance of each body (6), moment balance of each part about its axis (force along it, if it slides),
rigid lengths, joint closures (3).

The border couples the blocks: chassis attitude, controls, differential, slip of each wheel, twist torque of each bar
and the twist of a chassis that is not stiff.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from axlewright.car.mechanism import CHASSIS, Block, Mechanism, Term

CONTROLS = ("heave", "pitch", "roll", "rack", "sideslip", "effort", "difference")


@dataclass(frozen=True)
class BlockTopology:
    """Index tables of one block. Rigid links come before elastic ones in every link array."""

    block: Block
    # one an end, then one a copy: (bar index, sign with which the bar counts the arm's angle: -1 the right arm of a bar
    # that resists roll, else +1)
    bar_ends: tuple[tuple[tuple[int, float], ...], ...]
    bar_sides: tuple[tuple[str, ...], ...]  # the same: "left" or "right"
    bar_end_frames: tuple[str, ...]

    @cached_property
    def frames(self) -> tuple[str, ...]:
        """Chassis first, then bodies, then parts."""
        return (CHASSIS, *self.block.bodies, *(part.name for part in self.block.parts))

    @cached_property
    def rigid(self) -> tuple[str, ...]:
        return tuple(link.name for link in self.block.links if not link.terms)

    @cached_property
    def elastic(self) -> tuple[str, ...]:
        return tuple(link.name for link in self.block.links if link.terms)

    @cached_property
    def links(self) -> tuple[str, ...]:
        return self.rigid + self.elastic

    def link(self, name: str):  # noqa: ANN201 - the type is plain from the body
        return next(link for link in self.block.links if link.name == name)

    @cached_property
    def terms(self) -> tuple[tuple[int, str, Term], ...]:
        """(elastic link index, link name, term) of every elastic term."""
        return tuple((i, name, term) for i, name in enumerate(self.elastic) for term in self.link(name).terms)

    @cached_property
    def damped(self) -> tuple[int, ...]:
        """Elastic links that carry a damper."""
        return tuple(i for i, name in enumerate(self.elastic) if self.link(name).damped)

    @cached_property
    def link_frames_a(self) -> tuple[int, ...]:
        return tuple(self.frames.index(self.link(name).a) for name in self.links)

    @cached_property
    def link_frames_b(self) -> tuple[int, ...]:
        return tuple(self.frames.index(self.link(name).b) for name in self.links)

    @cached_property
    def rack_links(self) -> tuple[int, ...]:
        return tuple(i for i, name in enumerate(self.links) if self.link(name).on_rack)

    @cached_property
    def joint_frames_a(self) -> tuple[int, ...]:
        return tuple(self.frames.index(joint.a) for joint in self.block.joints)

    @cached_property
    def joint_frames_b(self) -> tuple[int, ...]:
        return tuple(self.frames.index(joint.b) for joint in self.block.joints)

    @cached_property
    def part_parents(self) -> tuple[int, ...]:
        return tuple(self.frames.index(part.parent) for part in self.block.parts)

    @cached_property
    def part_slides(self) -> tuple[bool, ...]:
        """Which parts slide along their axis instead of turning about it."""
        return tuple(part.slides for part in self.block.parts)

    @cached_property
    def brake_parts(self) -> tuple[int | None, ...]:
        """Part that takes each wheel's brake torque, None where the brake is on the body or the chassis."""
        names = [part.name for part in self.block.parts]
        return tuple(w.brake_frame if w.brake_frame is None else names.index(w.brake_frame) for w in self.block.wheels)

    @cached_property
    def end_frames(self) -> tuple[int, ...]:
        return tuple(self.frames.index(frame) for frame in self.bar_end_frames)

    @cached_property
    def wheel_frames(self) -> tuple[int, ...]:
        return tuple(self.frames.index(wheel.frame) for wheel in self.block.wheels)

    @cached_property
    def point_frames(self) -> tuple[int, ...]:
        """Frame of every point: link ends a, link ends b, joints a, joints b, drop-link ends."""
        return (
            *self.link_frames_a,
            *self.link_frames_b,
            *self.joint_frames_a,
            *self.joint_frames_b,
            *self.end_frames,
        )

    def carried_points(self, body: int) -> tuple[bool, ...]:
        """Which points move with a body: its own and those of the parts it carries."""
        first = 1 + self.n_bodies
        carried = {1 + body} | {first + k for k, parent in enumerate(self.part_parents) if parent == 1 + body}
        return tuple(frame in carried for frame in self.point_frames)

    @property
    def n_bodies(self) -> int:
        return len(self.block.bodies)

    @property
    def n_parts(self) -> int:
        return len(self.block.parts)

    @property
    def n_rigid(self) -> int:
        return len(self.rigid)

    @property
    def n_joints(self) -> int:
        return len(self.block.joints)

    @property
    def n_wheels(self) -> int:
        return len(self.block.wheels)

    @property
    def n_copies(self) -> int:
        return len(self.block.copies)

    @property
    def n_motion(self) -> int:
        """Unknowns that move something: body poses and part angles or slides."""
        return 6 * self.n_bodies + self.n_parts

    @property
    def n_forces(self) -> int:
        """Unknowns that are forces: rigid tensions and joint forces."""
        return self.n_rigid + 3 * self.n_joints

    @property
    def size(self) -> int:
        """Unknowns (and equations) of one copy; raises if they differ, which is a mistake in the mechanism."""
        return self.n_motion + self.n_forces

    @cached_property
    def unknown_names(self) -> tuple[str, ...]:
        pose = ("x", "y", "z", "rotation x", "rotation y", "rotation z")
        return (
            *(f"{body} {axis}" for body in self.block.bodies for axis in pose),
            *(f"{part.name} {'slide' if part.slides else 'angle'}" for part in self.block.parts),
            *(f"{name} tension" for name in self.rigid),
            *(f"{joint.name} force {axis}" for joint in self.block.joints for axis in "xyz"),
        )


@dataclass(frozen=True)
class Topology:
    """Index tables of a whole car."""

    mechanism: Mechanism

    @cached_property
    def blocks(self) -> tuple[BlockTopology, ...]:
        return tuple(_block_topology(self.mechanism, block) for block in self.mechanism.blocks)

    @cached_property
    def border(self) -> tuple[str, ...]:
        """Names of the border unknowns."""
        twist = ("twist",) if self.mechanism.twisting_chassis else ()
        return (
            *CONTROLS,
            *(f"slip {wheel}" for wheel in self.mechanism.wheels),
            *(f"{bar.name} torque" for bar in self.mechanism.bars),
            *twist,
        )

    @property
    def n_border(self) -> int:
        return len(self.border)

    @property
    def first_slip(self) -> int:
        return len(CONTROLS)

    @property
    def first_bar(self) -> int:
        return len(CONTROLS) + len(self.mechanism.wheels)

    @property
    def twist(self) -> int | None:
        return self.n_border - 1 if self.mechanism.twisting_chassis else None

    def wheel_slots(self, block: int) -> tuple[tuple[int, ...], ...]:
        """Border index of each wheel's slip: one tuple a wheel of the block, one entry a copy."""
        start = sum(b.n_wheels * b.n_copies for b in self.blocks[:block])
        n = self.blocks[block].n_wheels
        return tuple(
            tuple(self.first_slip + start + copy * n + wheel for copy in range(self.blocks[block].n_copies))
            for wheel in range(n)
        )

    def count(self, *, rest: bool = False) -> int:
        """Unknowns of the held or rest problem as they are usually counted.

        A bar's torque is an explicit law of its two arm angles; the solver carries it as a bordering unknown only so
        that left and right stay separate blocks, so it is not counted. At rest rack, sideslip, effort, the slips and
        the torque difference drop out.
        """
        local = sum(b.size * b.n_copies for b in self.blocks)
        border = self.n_border - len(self.mechanism.bars)
        return local + border - (4 + len(self.mechanism.wheels) if rest else 0)


def _block_topology(mechanism: Mechanism, block: Block) -> BlockTopology:
    """Collect the bar ends of a block, one list a copy; copies must carry the same ends."""
    ends: dict[str, list[tuple[int, str, str]]] = {copy: [] for copy in block.copies}
    for index, bar in enumerate(mechanism.bars):
        for end, side in ((bar.left, "left"), (bar.right, "right")):
            if end.copy in ends:
                ends[end.copy].append((index, side, end.frame))
    lists = list(ends.values())
    frames = tuple(frame for _, _, frame in lists[0])
    if any(tuple(frame for _, _, frame in one) != frames for one in lists):
        raise ValueError(f"block {block.name}: a bar must be tied to the same frame on every copy, found {ends}")
    parts = {part.name: part for part in block.parts}
    for part in block.parts:
        if part.parent not in (CHASSIS, *block.bodies):
            raise ValueError(f"block {block.name}: {part.name} must be carried by the chassis or a body")
    for wheel in block.wheels:
        part = parts.get(wheel.brake_frame or "")
        if wheel.brake_frame and (part is None or part.slides or part.parent != wheel.frame or not wheel.brake_on_body):
            raise ValueError(f"block {block.name}: {wheel.brake_frame} must turn on {wheel.frame} to take its brakes")
    sign = {
        (i, side): -1.0 if side == "right" and not bar.heave else 1.0
        for i, bar in enumerate(mechanism.bars)
        for side in ("left", "right")
    }
    return BlockTopology(
        block=block,
        bar_ends=tuple(tuple((one[i][0], sign[one[i][:2]]) for one in lists) for i in range(len(frames))),
        bar_sides=tuple(tuple(one[i][1] for one in lists) for i in range(len(frames))),
        bar_end_frames=frames,
    )
