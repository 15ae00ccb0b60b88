"""MuJoCo: a free axle and a hinged bellcrank, links as tendons, road and push as actuators; Runge-Kutta of order 4.

Everything is native: no Python runs within a step. Rigid links are soft constraints, half critically damped at a time
constant of one step: stiffer is unstable, softer and more damped is less exact, by trial.
"""

# pyright: reportAttributeAccessIssue=false
# MuJoCo is an extension module without type stubs: the checker does not see its functions.
from __future__ import annotations

from collections.abc import Callable

import mujoco
import numpy as np

from benchmarks.engines.hit import RIGID, SPRUNG, History, Hit, moments

NAME = "MuJoCo, RK4"
NEEDS = "mujoco"
SETTINGS = (1e-3, 5e-4)  # s
CRANK_INERTIA = 1e-4  # kg m2; a smaller one drowns in the softness of the links
IMPEDANCE = 0.9999  # MuJoCo's greatest


def solver(hit: Hit, step: float) -> Callable[[], History]:
    """One run with a fixed step, s."""
    model = mujoco.MjModel.from_xml_string(_model(hit, step))
    data = mujoco.MjData(model)
    axle, upper = model.body("axle").id, len(RIGID)
    times = moments()
    each = round(times[0] / step)
    free = hit.lengths[upper] - hit.preload[0] / hit.stiffness[0]

    def solve() -> History:
        found = History(np.empty(len(times)), np.empty(len(times)))
        mujoco.mj_resetData(model, data)
        for i in range(len(times)):
            mujoco.mj_step(model, data, each)
            mujoco.mj_fwdPosition(model, data)
            mujoco.mj_fwdVelocity(model, data)
            found.pitch[i] = -np.arcsin(data.xmat[axle, 6])
            stretch, rate = data.ten_length[upper] - free, data.ten_velocity[upper]
            found.tension[i] = hit.stiffness[0] * stretch + hit.damping[0] * rate
        return found

    return solve


def _model(hit: Hit, step: float) -> str:
    def text(point: np.ndarray) -> str:
        return " ".join(repr(float(x)) for x in point)

    def site(name: str, point: np.ndarray, origin: np.ndarray | float = 0.0) -> str:
        return f'<site name="{name}" pos="{text(point - origin)}"/>'

    names = (*RIGID, *SPRUNG)
    crank = [i for i, name in enumerate(names) if name.startswith("watt")]
    fixed = [i for i in range(len(names)) if i not in crank]
    laws = [""] * len(RIGID) + [
        f'stiffness="{k!r}" damping="{c!r}" springlength="{length - pull / k!r}"'
        for k, c, pull, length in zip(
            *(map(float, a) for a in (hit.stiffness, hit.damping, hit.preload)),
            map(float, hit.lengths[len(RIGID) :]),
            strict=True,
        )
    ]
    tendons = "".join(
        f'<spatial name="{name}" {law}><site site="a{i}"/><site site="b{i}"/></spatial>'
        for i, (name, law) in enumerate(zip(names, laws, strict=True))
    )
    equality = "".join(
        f'<tendon tendon1="{name}" solref="{step} 0.5" solimp="{IMPEDANCE} {IMPEDANCE} 0.001 0.5 2"/>' for name in RIGID
    )
    # a site's actuator sees its position in the axes of its reference site: here the chassis'
    roads = "".join(
        f'<general site="contact{i}" refsite="chassis" gear="{axis}" biastype="affine" biasprm="{bias}" gainprm="0"/>'
        for i in range(2)
        for axis, bias in (("1 0 0 0 0 0", f"{hit.push} 0 0"), ("0 0 1 0 0 0", f"{hit.load} {-hit.tyre_rate} 0"))
    )
    return f"""<mujoco><option timestep="{step}" integrator="RK4" gravity="0 0 {-hit.gravity}" tolerance="1e-12"
            iterations="100"><flag refsafe="disable"/></option><worldbody>
        {site("chassis", np.zeros(3))}{"".join(site(f"a{i}", hit.inner[i]) for i in fixed)}
        <body name="axle" pos="{text(hit.centre)}"><freejoint/>
            <inertial pos="0 0 0" mass="{hit.mass}" diaginertia="{text(hit.inertia)}"/>
            {"".join(site(f"b{i}", hit.outer[i], hit.centre) for i in range(len(names)))}
            {"".join(site(f"contact{i}", hit.contacts[i], hit.centre) for i in range(2))}
        </body>
        <body pos="{text(hit.pivot)}"><joint type="hinge" axis="1 0 0"/>
            <inertial pos="0 0 0" mass="{CRANK_INERTIA}" diaginertia="{text(np.full(3, CRANK_INERTIA))}"/>
            {"".join(site(f"a{i}", hit.inner[i], hit.pivot) for i in crank)}
        </body>
    </worldbody><tendon>{tendons}</tendon><equality>{equality}</equality><actuator>{roads}</actuator></mujoco>"""
