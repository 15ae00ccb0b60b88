"""One block of a mechanism as a MuJoCo model, and its poses by a Newton on MuJoCo's own lengths and Jacobians.

Bodies are free, one-degree-of-freedom parts are hinges, links are spatial tendons between sites and ball joints are
`connect` constraints between sites. The chassis is the world. Everything is written from the mechanism's lists, so that
any block can be compared; nothing of the package's mathematics is used.
"""

# pyright: reportAttributeAccessIssue=false
# MuJoCo is an extension module without type stubs: the checker does not see its functions.
from __future__ import annotations

from dataclasses import dataclass
from xml.etree import ElementTree as Xml

import mujoco
import numpy as np

from axlewright.car.mechanism import CHASSIS, Block, Values

STEPS = 15
CLOSED = 1e-12  # m
# As stiff as MuJoCo's soft constraints go: time constant 2 ms, and within 1e-4 of the unsoftened constraint force.
STIFF = {"solref": "0.002 1", "solimp": "0.9999 0.9999 0.001 0.5 2"}


@dataclass(frozen=True)
class Engine:
    """A compiled model with its data; `marks` are extra sites on the body."""

    block: Block
    model: mujoco.MjModel
    data: mujoco.MjData
    drawn: dict[str, float]  # tendon lengths at the drawn pose, with length adjusters

    @property
    def rigid(self) -> list[str]:
        return [link.name for link in self.block.links if not link.terms]

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

    def reach(self, marks: list[str], heights: np.ndarray) -> None:
        """Bring the sites `marks` to `heights` (k,), keeping all rigid links and joints, from the present pose."""
        error = np.inf
        for _ in range(STEPS):
            self.forward()
            residual, rows = [], []
            for name in self.rigid:
                residual.append(self.data.tendon(name).length[0] - self.drawn[name])
                rows.append(self.length_rate(name))
            for joint in self.block.joints:
                a, b = f"{joint.name}.a", f"{joint.name}.b"
                residual += list(self.site(b) - self.site(a))
                rows += list(self.site_rate(b) - self.site_rate(a))
            for mark, height in zip(marks, heights, strict=True):
                residual.append(self.site(mark)[2] - height)
                rows.append(self.site_rate(mark)[2])
            error = float(np.abs(residual).max())
            if error < CLOSED:
                return
            step = np.linalg.solve(np.array(rows), -np.array(residual))
            mujoco.mj_integratePos(self.model, self.data.qpos, step, 1.0)
        raise AssertionError(f"MuJoCo's pose not reached: {error} m")


def engine(block: Block, copy: str, values: Values, marks: dict[str, np.ndarray]) -> Engine:
    """The model of one copy of a block with one body; `marks` (3,) are drawn points of that body."""
    root = Xml.Element("mujoco")
    Xml.SubElement(root, "option", gravity="0 0 0", tolerance="1e-14", iterations="200")
    world = Xml.SubElement(root, "worldbody")
    frames = {CHASSIS: (world, np.zeros(3))}
    for body in block.bodies:
        at = _point(values, f"{copy}.{body}.at")
        element = Xml.SubElement(world, "body", name=body, pos=_text(at))
        Xml.SubElement(element, "freejoint")
        mass = float(np.asarray(values[f"{copy}.{body}.mass"]))
        Xml.SubElement(element, "inertial", pos="0 0 0", mass=repr(mass), diaginertia="5 5 5")
        frames[body] = (element, at)
    for part in block.parts:
        a, b = (_point(values, f"{copy}.{part.name}.axis_{end}") for end in "ab")
        parent, origin = frames[part.parent]
        element = Xml.SubElement(parent, "body", name=part.name, pos=_text(a - origin))
        Xml.SubElement(element, "joint", type="hinge", axis=_text(b - a))
        Xml.SubElement(element, "inertial", pos="0 0 0", mass="1", diaginertia="1 1 1")  # any: nothing accelerates
        frames[part.name] = (element, a)
    tendons, equality = Xml.SubElement(root, "tendon"), Xml.SubElement(root, "equality")
    drawn = {}
    for link in block.links:
        a, b = (_point(values, f"{copy}.{link.name}.{end}") for end in "ab")
        drawn[link.name] = float(np.linalg.norm(b - a) + np.asarray(values.get(f"{copy}.{link.name}.length", 0.0)))
        _site(frames[link.a], f"{link.name}.a", a)
        _site(frames[link.b], f"{link.name}.b", b)
        spatial = Xml.SubElement(tendons, "spatial", name=link.name)
        for end in "ab":
            Xml.SubElement(spatial, "site", site=f"{link.name}.{end}")
        if not link.terms:
            Xml.SubElement(equality, "tendon", STIFF, name=link.name, tendon1=link.name)
    for joint in block.joints:
        at = _point(values, f"{copy}.{joint.name}.at")
        _site(frames[joint.a], f"{joint.name}.a", at)
        _site(frames[joint.b], f"{joint.name}.b", at)
        Xml.SubElement(equality, "connect", STIFF, name=joint.name, site1=f"{joint.name}.a", site2=f"{joint.name}.b")
    for name, at in marks.items():
        _site(frames[block.bodies[0]], name, at)
    model = mujoco.MjModel.from_xml_string(Xml.tostring(root, encoding="unicode"))
    return Engine(block, model, mujoco.MjData(model), drawn)


def _site(frame: tuple[Xml.Element, np.ndarray], name: str, at: np.ndarray) -> None:
    element, origin = frame
    Xml.SubElement(element, "site", name=name, pos=_text(at - origin))


def _point(values: Values, path: str) -> np.ndarray:
    return np.asarray(values[path], dtype=float)


def _text(numbers: np.ndarray) -> str:
    return " ".join(repr(float(number)) for number in numbers)
