"""Exudyn: rigid bodies, distance constraints and prescribed heights, one static solve a pose."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import exudyn
import numpy as np
from exudyn import utilities as items

from benchmarks.engines.axle import STEPS, Axle, Poses

NAME = "Exudyn, static solve a pose"
NEEDS = "exudyn"
CLOSED = 1e-12  # its own norm of the residual


def solver(axle: Axle) -> Callable[[np.ndarray], Poses]:
    """Poses of wheel centres at heights (2, B), m."""
    container = exudyn.SystemContainer()
    system: Any = container.AddSystem()  # its methods are not typed
    ground = system.AddObject(items.ObjectGround())
    node = system.AddNode(items.NodeRigidBodyEP(referenceCoordinates=[*axle.middle, 1.0, 0.0, 0.0, 0.0]))
    body = system.AddObject(items.ObjectRigidBody(mass=1.0, inertia=[1.0, 1.0, 1.0, 0.0, 0.0, 0.0], nodeNumber=node))
    turn = system.AddNode(items.Node1D(referenceCoordinates=[0.0]))
    # A rotor turns about its own z axis: lay that along x
    lying = np.array([[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
    crank = system.AddObject(
        items.ObjectRotationalMass1D(
            inertia=1.0, nodeNumber=turn, referencePosition=list(axle.pivot), referenceRotation=lying
        )
    )

    def marker(on: int, point: np.ndarray) -> int:
        return system.AddMarker(items.MarkerBodyRigid(bodyNumber=on, localPosition=list(point)))

    def position(on: int, point: np.ndarray) -> int:
        return system.AddMarker(items.MarkerBodyPosition(bodyNumber=on, localPosition=list(point)))

    for i, length in enumerate(axle.lengths):
        inner = marker(crank, lying.T @ (axle.inner[i] - axle.pivot)) if i > 2 else position(ground, axle.inner[i])
        outer = marker(body, axle.outer[i] - axle.middle)
        system.AddObject(items.ObjectConnectorDistance(markerNumbers=[inner, outer], distance=length))
    roads = []
    for wheel in axle.wheels:
        roads.append(marker(ground, wheel))
        joint = items.ObjectJointGeneric(
            markerNumbers=[roads[-1], marker(body, wheel - axle.middle)],
            constrainedAxes=[0, 0, 1, 0, 0, 0],
        )
        system.AddObject(joint)
    system.Assemble()
    settings = _settings()
    static: Any = exudyn.MainSolverStatic()
    drawn = system.systemData.GetODE2Coordinates()
    other = system.systemData.GetAECoordinates()

    def solve(heights: np.ndarray) -> Poses:
        batch = heights.shape[1]
        found = Poses(np.empty((batch, 3)), np.empty((batch, 3, 3)), np.empty(batch))
        position, rotation = exudyn.OutputVariableType.Position, exudyn.OutputVariableType.RotationMatrix
        for i, height in enumerate(heights.T):
            for road, wheel, high in zip(roads, axle.wheels, height, strict=True):
                system.SetMarkerParameter(road, "localPosition", [wheel[0], wheel[1], high])
            system.systemData.SetODE2Coordinates(drawn, exudyn.ConfigurationType.Initial)
            system.systemData.SetAECoordinates(other, exudyn.ConfigurationType.Initial)
            if not static.SolveSystem(system, settings):
                raise AssertionError("pose not reached")
            now = exudyn.ConfigurationType.Current
            found.middle[i] = system.GetNodeOutput(node, position, now)
            found.rotation[i] = system.GetNodeOutput(node, rotation, now).reshape(3, 3)
            found.bellcrank[i] = system.GetNodeOutput(turn, exudyn.OutputVariableType.Coordinates, now)
        return found

    return solve


def _settings() -> exudyn.SimulationSettings:
    settings = exudyn.SimulationSettings()
    static = settings.staticSolver
    static.numberOfLoadSteps = 1
    static.verboseMode = 0
    static.newton.relativeTolerance = 1e-14
    static.newton.absoluteTolerance = CLOSED
    static.newton.maxIterations = STEPS
    static.adaptiveStep = False
    settings.solution.file.write = False
    settings.solution.sensors.writeHeader = False
    settings.linearSolver.solverType = exudyn.LinearSolverType.EXUdense
    return settings
