"""Exudyn: a rigid body and a rotor with distance constraints, springs and loads of its own; generalised-alpha steps."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import exudyn
import numpy as np
from exudyn import utilities as items

from benchmarks.engines.hit import RIGID, SPRUNG, History, Hit, moments

NAME = "Exudyn, generalised alpha"
NEEDS = "exudyn"
SETTINGS = (1e-3, 2e-4)  # s
CRANK_INERTIA = 1e-6  # kg m2; the smallest that does not change the answer
# A rotor turns about its own z axis: lay that along x
LYING = np.array([[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])


def solver(hit: Hit, step: float) -> Callable[[], History]:
    """One run with a fixed step, s."""
    container = exudyn.SystemContainer()
    system: Any = container.AddSystem()  # its methods are not typed
    ground = system.AddObject(items.ObjectGround())
    node = system.AddNode(items.NodeRigidBodyEP(referenceCoordinates=[*hit.centre, 1.0, 0.0, 0.0, 0.0]))
    inertia = [*hit.inertia, 0.0, 0.0, 0.0]
    body = system.AddObject(items.ObjectRigidBody(mass=hit.mass, inertia=inertia, nodeNumber=node))
    turn = system.AddNode(items.Node1D(referenceCoordinates=[0.0]))
    crank = system.AddObject(
        items.ObjectRotationalMass1D(
            inertia=CRANK_INERTIA, nodeNumber=turn, referencePosition=list(hit.pivot), referenceRotation=LYING
        )
    )

    def marker(on: int, point: np.ndarray) -> int:
        return system.AddMarker(items.MarkerBodyRigid(bodyNumber=on, localPosition=list(point)))

    def position(on: int, point: np.ndarray) -> int:
        return system.AddMarker(items.MarkerBodyPosition(bodyNumber=on, localPosition=list(point)))

    springs = []
    for i, (name, length) in enumerate(zip((*RIGID, *SPRUNG), hit.lengths, strict=True)):
        on_crank = name.startswith("watt")
        inner = marker(crank, LYING.T @ (hit.inner[i] - hit.pivot)) if on_crank else position(ground, hit.inner[i])
        ends = [inner, marker(body, hit.outer[i] - hit.centre)]
        if name in RIGID:
            system.AddObject(items.ObjectConnectorDistance(markerNumbers=ends, distance=length))
            continue
        k, c, pull = (float(a[SPRUNG.index(name)]) for a in (hit.stiffness, hit.damping, hit.preload))
        law = {"stiffness": k, "damping": c, "force": pull, "referenceLength": length}
        springs.append(system.AddObject(items.ObjectConnectorSpringDamper(markerNumbers=ends, **law)))
    system.AddLoad(
        items.LoadForceVector(markerNumber=marker(body, np.zeros(3)), loadVector=[0, 0, -hit.mass * hit.gravity])
    )
    for contact in hit.contacts:
        on_body = marker(body, contact - hit.centre)
        system.AddLoad(items.LoadForceVector(markerNumber=on_body, loadVector=[hit.push, 0.0, 0.0]))
        system.AddObject(
            items.ObjectConnectorCartesianSpringDamper(
                markerNumbers=[position(ground, contact), on_body],
                stiffness=[0.0, 0.0, hit.tyre_rate],
                offset=[0.0, 0.0, hit.load / hit.tyre_rate],
            )
        )
    keep: dict[str, Any] = {"storeInternal": True, "writeToFile": False}
    turned: Any = exudyn.OutputVariableType.RotationMatrix
    turning = system.AddSensor(items.SensorBody(bodyNumber=body, outputVariableType=turned, **keep))
    force: Any = exudyn.OutputVariableType.ForceLocal
    pulling = system.AddSensor(items.SensorObject(objectNumber=springs[0], outputVariableType=force, **keep))
    system.Assemble()
    settings = _settings(step)
    dynamic: Any = exudyn.MainSolverImplicitSecondOrder()
    times = moments()

    def solve() -> History:
        if not dynamic.SolveSystem(system, settings):
            raise AssertionError("not followed to the end")
        rotation, tension = system.GetSensorStoredData(turning), system.GetSensorStoredData(pulling)
        rows = np.searchsorted(rotation[:, 0], times - 0.5 * step)
        return History(-np.arcsin(rotation[rows, 7]), tension[rows, 1])

    return solve


def _settings(step: float) -> exudyn.SimulationSettings:
    settings = exudyn.SimulationSettings()
    times = moments()
    dynamic = settings.timeIntegration
    dynamic.endTime = float(times[-1])
    dynamic.numberOfSteps = round(times[-1] / step)
    dynamic.verboseMode = 0
    dynamic.newton.useModifiedNewton = True
    settings.solution.sensors.writePeriod = float(times[0])
    settings.solution.sensors.writeHeader = False
    settings.solution.file.write = False
    settings.linearSolver.solverType = exudyn.LinearSolverType.EXUdense
    return settings
