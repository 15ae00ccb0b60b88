"""One block of a mechanism as a MuJoCo model, and its poses by a Newton on MuJoCo's own lengths and Jacobians.

Bodies are free, one-degree-of-freedom parts are hinges or slides, links are spatial tendons between sites and ball
joints are `connect` constraints between sites. The chassis is the world; a relay linkage is a pitman and an idler arm
hinged to it, with the relay link hinged to the pitman arm. Everything is written from the mechanism's lists, so that
any block can be compared; nothing of the package's mathematics is used.
"""

# pyright: reportAttributeAccessIssue=false
# MuJoCo is an extension module without type stubs: the checker does not see its functions.
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from xml.etree import ElementTree as Xml

import mujoco
import numpy as np

from axlewright.car.mechanism import CHASSIS, Block, Values

STEPS = 30
CLOSED = 1e-12  # m
LONGEST = 0.15  # m or rad of a Newton step: stays on the side of a toggle on which it starts
SAME = 1e-9  # of the largest singular value: rows that say the same, such as a planar joint's third
ANY = 1.0  # kg, kg m2 of a massless part where nothing accelerates
SMALL = 1e-4  # of one that moves; a smaller one drowns in the softness of the constraints
G = 9.81
# As stiff as MuJoCo's soft constraints go: time constant 2 ms, and within 1e-4 of the unsoftened constraint force.
STIFF = {"solref": "0.002 1", "solimp": "0.9999 0.9999 0.001 0.5 2"}


@dataclass(frozen=True)
class Engine:
    """A compiled model with its data."""

    block: Block
    model: mujoco.MjModel
    data: mujoco.MjData
    drawn: dict[str, float]  # tendon lengths at the drawn pose, with length adjusters
    held: tuple[str, ...]  # links that keep their lengths
    shared: Mapping[str, float]  # links that would fight each other -> stiffness, N/m: least strain energy
    pitman: float | None  # m: radius of the pitman arm's end about its axis, positive where turning on moves it left

    @property
    def rigid(self) -> list[str]:
        return [link.name for link in self.block.links if not link.terms]

    def place(self, body: str) -> tuple[np.ndarray, np.ndarray]:
        """Present position (3,) of a body's reference point and its rotation (3, 3) from the drawn pose."""
        at = self.data.body(body)
        return at.xpos.copy(), at.xmat.reshape(3, 3).copy()

    def part(self, name: str) -> float:
        """How far a part has turned (rad) or slid (m) from the drawn pose."""
        return float(self.data.joint(name).qpos[0])

    def site(self, name: str) -> np.ndarray:
        """Present position of a site, (3,) m."""
        return self.data.site(name).xpos.copy()

    def site_rate(self, name: str) -> np.ndarray:
        """Its derivative to the degrees of freedom, (3, nv)."""
        rate = np.zeros((3, self.model.nv))
        mujoco.mj_jacSite(self.model, self.data, rate, None, self.model.site(name).id)
        return rate

    def length_rate(self, name: str) -> np.ndarray:
        """Derivative of a tendon's length to the degrees of freedom, (nv,)."""
        i = self.model.tendon(name).id
        first, count = self.model.ten_J_rowadr[i], self.model.ten_J_rownnz[i]
        row = np.zeros(self.model.nv)
        row[self.model.ten_J_colind[first : first + count]] = self.data.ten_J[first : first + count]
        return row

    def constraint_rows(self) -> list[int]:
        """Rows of MuJoCo's constraints: the rigid links, then three a joint."""
        names = self.rigid + [joint.name for joint in self.block.joints]
        ids = [self.model.equality(name).id for name in names]
        return [int(row) for i in ids for row in np.flatnonzero(self.data.efc_id[: self.data.nefc] == i)]

    def forward(self) -> None:
        """Positions, constraint forces and accelerations at the present pose, at rest."""
        mujoco.mj_forward(self.model, self.data)

    def slide(self, name: str, shift: float) -> None:
        """Move a site on the chassis sideways: the rack end of a tie rod."""
        self.model.site(name).pos[1] += shift

    def steer(self, travel: float) -> None:
        """Move what the rack ends sit on, from the drawn pose: `travel` in m, left positive."""
        if self.pitman is not None:
            self.data.joint("pitman").qpos[0] = travel / self.pitman
            return
        for link in self.block.links:
            if link.on_rack:
                self.slide(f"{link.name}.a", travel)

    def _closures(self) -> tuple[list, list]:
        """Misfit of all that holds the linkage together, m, and its rates (rows, nv)."""
        residual, rows = [], []
        for name in self.held:
            residual.append(self.data.tendon(name).length[0] - self.drawn[name])
            rows.append(self.length_rate(name))
        joints = [joint.name for joint in self.block.joints] + (["relay"] if self.pitman is not None else [])
        for joint in joints:
            a, b = f"{joint}.a", f"{joint}.b"
            residual += list(self.site(b) - self.site(a))
            rows += list(self.site_rate(b) - self.site_rate(a))
        return residual, rows

    def reach(self, marks: list[str], heights: np.ndarray) -> None:
        """Bring the sites `marks` to `heights` (k,), keeping held links and joints, from the present pose.

        A pitman arm stays as `steer` has turned it.
        """
        error = np.inf
        for _ in range(STEPS):
            self.forward()
            residual, rows = self._closures()
            for mark, height in zip(marks, heights, strict=True):
                residual.append(self.site(mark)[2] - height)
                rows.append(self.site_rate(mark)[2])
            if self.pitman is not None:
                residual.append(0.0)
                rows.append(np.eye(self.model.nv)[self.model.joint("pitman").dofadr[0]])
            step = self._step(np.array(residual), np.array(rows))
            error = float(np.abs(residual).max())
            if error < CLOSED and (not self.shared or np.abs(step).max() < CLOSED):
                return
            step *= min(1.0, LONGEST / max(np.abs(step).max(), CLOSED))
            mujoco.mj_integratePos(self.model, self.data.qpos, step, 1.0)
        raise AssertionError(f"MuJoCo's pose not reached: {error} m")

    def _step(self, residual: np.ndarray, rows: np.ndarray) -> np.ndarray:
        """Newton step that closes `rows`; of what is left free, the one to the least strain energy (Gauss-Newton)."""
        if not self.shared:
            return np.linalg.lstsq(rows, -residual, rcond=SAME)[0]
        weight = np.array(list(self.shared.values())) / max(self.shared.values())
        soft = np.array([self.length_rate(name) for name in self.shared])
        stretch = np.array([self.data.tendon(name).length[0] - self.drawn[name] for name in self.shared])
        k, n = rows.shape
        matrix = np.block([[soft.T @ (weight[:, None] * soft), rows.T], [rows, np.zeros((k, k))]])
        right = -np.concatenate([soft.T @ (weight * stretch), residual])
        return np.linalg.lstsq(matrix, right, rcond=SAME)[0][:n]


def engine(
    block: Block,
    copy: str,
    values: Values,
    marks: Mapping[str, tuple[str, np.ndarray]],
    *,
    held: tuple[str, ...] | None = None,
    shared: Mapping[str, float] | None = None,
    relay: bool = False,
    step: float | None = None,
) -> Engine:
    """The model of one copy of a block; `marks` are extra sites: name -> (frame, drawn point (3,)).

    `held` links keep their lengths, those that have no elastic terms when left out; `shared` as in `Engine`; with
    `relay`, links on the rack ride on the relay link of a relay linkage.

    With `step`, s, the model can be moved: true inertias, weight, Runge-Kutta steps, a motor LINK along each elastic
    link (its control is what pushes the ends apart, N) and motors MARK.x and MARK.z for forces on the marks.
    """
    root = Xml.Element("mujoco")
    option = Xml.SubElement(root, "option", gravity="0 0 0", tolerance="1e-14", iterations="200")
    stiff = STIFF if step is None else STIFF | {"solref": f"{step} 0.5"}
    if step is not None:
        for key, value in {"timestep": repr(step), "integrator": "RK4", "gravity": f"0 0 {-G}"}.items():
            option.set(key, value)
        Xml.SubElement(option, "flag", refsafe="disable")
    world = Xml.SubElement(root, "worldbody")
    frames = {CHASSIS: (world, np.zeros(3))}
    for body in block.bodies:
        at = _point(values, f"{copy}.{body}.at")
        element = Xml.SubElement(world, "body", name=body, pos=_text(at))
        Xml.SubElement(element, "freejoint")
        mass = float(np.asarray(values[f"{copy}.{body}.mass"]))
        axes = ("roll", "pitch", "yaw")
        own = np.array([5.0 if step is None else values[f"{copy}.{body}.{axis}_inertia"] for axis in axes])
        Xml.SubElement(element, "inertial", pos="0 0 0", mass=repr(mass), diaginertia=_text(own))
        frames[body] = (element, at)
    for part in block.parts:
        a, b = (_point(values, f"{copy}.{part.name}.axis_{end}") for end in "ab")
        kind, inertia = "slide" if part.slides else "hinge", ANY if step is None else SMALL
        frames[part.name] = _jointed(frames[part.parent], part.name, a, b - a, kind, inertia)
    pitman = _relay(frames, values) if relay else None
    tendons, equality = Xml.SubElement(root, "tendon"), Xml.SubElement(root, "equality")
    drawn = {}
    for link in block.links:
        a, b = (_point(values, f"{copy}.{link.name}.{end}") for end in "ab")
        drawn[link.name] = float(np.linalg.norm(b - a) + np.asarray(values.get(f"{copy}.{link.name}.length", 0.0)))
        _site(frames["relay" if relay and link.on_rack else link.a], f"{link.name}.a", a)
        _site(frames[link.b], f"{link.name}.b", b)
        spatial = Xml.SubElement(tendons, "spatial", name=link.name)
        for end in "ab":
            Xml.SubElement(spatial, "site", site=f"{link.name}.{end}")
        if not link.terms:
            Xml.SubElement(equality, "tendon", stiff, name=link.name, tendon1=link.name)
    for joint in block.joints:
        at = _point(values, f"{copy}.{joint.name}.at")
        _site(frames[joint.a], f"{joint.name}.a", at)
        _site(frames[joint.b], f"{joint.name}.b", at)
        Xml.SubElement(equality, "connect", stiff, name=joint.name, site1=f"{joint.name}.a", site2=f"{joint.name}.b")
    for name, (frame, at) in marks.items():
        _site(frames[frame], name, at)
    if step is not None:
        _motors(root, world, block, marks)
    model = mujoco.MjModel.from_xml_string(Xml.tostring(root, encoding="unicode"))
    rigid = tuple(link.name for link in block.links if not link.terms)
    return Engine(block, model, mujoco.MjData(model), drawn, rigid if held is None else held, shared or {}, pitman)


Frame = tuple[Xml.Element, np.ndarray]  # a body and where its origin is drawn


def _motors(root: Xml.Element, world: Xml.Element, block: Block, marks: Mapping[str, tuple[str, np.ndarray]]) -> None:
    actuators = Xml.SubElement(root, "actuator")
    for link in block.links:
        if link.terms:
            Xml.SubElement(actuators, "motor", name=link.name, tendon=link.name)
    Xml.SubElement(world, "site", name=CHASSIS, pos="0 0 0")  # forces on marks keep its axes
    for name in marks:
        for axis, gear in (("x", "1 0 0 0 0 0"), ("z", "0 0 1 0 0 0")):
            Xml.SubElement(actuators, "motor", name=f"{name}.{axis}", site=name, refsite=CHASSIS, gear=gear)


def _jointed(parent: Frame, name: str, at: np.ndarray, axis: np.ndarray, kind: str, inertia: float = ANY) -> Frame:
    """A massless part on another: hinge or slide along `axis` (3,) through `at` (3,)."""
    element = Xml.SubElement(parent[0], "body", name=name, pos=_text(at - parent[1]))
    Xml.SubElement(element, "joint", type=kind, axis=_text(axis), name=name)
    Xml.SubElement(element, "inertial", pos="0 0 0", mass=repr(inertia), diaginertia=_text(np.full(3, inertia)))
    return element, at


def _relay(frames: dict[str, Frame], values: Values) -> float:
    """Pitman arm, idler arm and relay link; the signed radius of the pitman arm's end."""
    at = {
        name: _point(values, f"relay.{name}")
        for name in ("pitman_axis_a", "pitman_axis_b", "pitman_end", "idler_axis_a", "idler_axis_b", "idler_end")
    }
    axis = at["pitman_axis_b"] - at["pitman_axis_a"]
    world = frames[CHASSIS]
    pitman = _jointed(world, "pitman", at["pitman_axis_a"], axis, "hinge")
    idler = _jointed(world, "idler", at["idler_axis_a"], at["idler_axis_b"] - at["idler_axis_a"], "hinge")
    frames["relay"] = _jointed(pitman, "relay", at["pitman_end"], axis, "hinge")
    _site(frames["relay"], "relay.a", at["idler_end"])
    _site(idler, "relay.b", at["idler_end"])
    rate = np.cross(axis / np.linalg.norm(axis), at["pitman_end"] - at["pitman_axis_a"])
    return float(np.copysign(np.linalg.norm(rate), rate[1]))


def _site(frame: tuple[Xml.Element, np.ndarray], name: str, at: np.ndarray) -> None:
    element, origin = frame
    Xml.SubElement(element, "site", name=name, pos=_text(at - origin))


def _point(values: Values, path: str) -> np.ndarray:
    return np.asarray(values[path], dtype=float)


def _text(numbers: np.ndarray) -> str:
    return " ".join(repr(float(number)) for number in numbers)
