"""MuJoCo: a free axle and a hinged bellcrank, links as tendons; Newton in Python on tendon lengths and Jacobians."""

# pyright: reportAttributeAccessIssue=false
# MuJoCo is an extension module without type stubs: the checker does not see its functions.
from __future__ import annotations

from collections.abc import Callable

import mujoco
import numpy as np

from benchmarks.engines.axle import CLOSED, STEPS, Axle, Poses

NAME = "MuJoCo tendons, Newton in Python"
NEEDS = "mujoco"


def solver(axle: Axle) -> Callable[[np.ndarray], Poses]:
    """Poses of wheel centres at heights (2, B), m."""
    model = mujoco.MjModel.from_xml_string(_model(axle))
    data = mujoco.MjData(model)
    lengths, drawn = axle.lengths, data.qpos.copy()
    body, wheels = model.body("axle").id, [model.site(f"wheel{i}").id for i in range(2)]
    matrix, jacobian = np.zeros((7, 7)), np.zeros((3, 7))
    rows, columns = _places(model)

    def pose(heights: np.ndarray) -> None:
        data.qpos[:] = drawn
        error = np.inf
        for _ in range(STEPS):
            mujoco.mj_kinematics(model, data)
            mujoco.mj_comPos(model, data)
            mujoco.mj_tendon(model, data)
            residual = np.concatenate([data.ten_length - lengths, data.site_xpos[wheels, 2] - heights])
            error = np.abs(residual).max()
            if error < CLOSED:
                return
            matrix[rows, columns] = data.ten_J
            for i, site in enumerate(wheels):
                mujoco.mj_jacSite(model, data, jacobian, None, site)
                matrix[5 + i] = jacobian[2]
            mujoco.mj_integratePos(model, data.qpos, np.linalg.solve(matrix, -residual), 1.0)
        raise AssertionError(f"pose not reached: {error} m")

    def solve(heights: np.ndarray) -> Poses:
        batch = heights.shape[1]
        found = Poses(np.empty((batch, 3)), np.empty((batch, 3, 3)), np.empty(batch))
        for i, height in enumerate(heights.T):
            pose(height)
            found.middle[i], found.rotation[i] = data.xpos[body], data.xmat[body].reshape(3, 3)
            found.bellcrank[i] = data.qpos[7]
        return found

    return solve


def _places(model: mujoco.MjModel) -> tuple[np.ndarray, np.ndarray]:
    """Row and column of each entry of the sparse tendon Jacobian."""
    rows = np.repeat(np.arange(model.ntendon), model.ten_J_rownnz)
    return rows, np.array(model.ten_J_colind)


def _model(axle: Axle) -> str:
    def text(point: np.ndarray) -> str:
        return " ".join(repr(float(x)) for x in point)

    def site(name: str, point: np.ndarray, origin: np.ndarray | float = 0.0) -> str:
        return f'<site name="{name}" pos="{text(point - origin)}"/>'

    inertial = '<inertial pos="0 0 0" mass="1" diaginertia="1 1 1"/>'  # any: nothing accelerates
    tendons = "".join(f'<spatial><site site="a{i}"/><site site="b{i}"/></spatial>' for i in range(5))
    return f"""<mujoco><worldbody>
        {"".join(site(f"a{i}", axle.inner[i]) for i in range(3))}
        <body name="axle" pos="{text(axle.middle)}"><freejoint/>{inertial}
            {"".join(site(f"b{i}", axle.outer[i], axle.middle) for i in range(5))}
            {"".join(site(f"wheel{i}", axle.wheels[i], axle.middle) for i in range(2))}
        </body>
        <body pos="{text(axle.pivot)}"><joint type="hinge" axis="1 0 0"/>{inertial}
            {"".join(site(f"a{i}", axle.inner[i], axle.pivot) for i in range(3, 5))}
        </body>
    </worldbody><tendon>{tendons}</tendon></mujoco>"""
