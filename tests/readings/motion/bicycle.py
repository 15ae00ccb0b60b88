"""The linear bicycle model in closed form: two degrees of freedom, cornering compliances from measured cars.

V2.3 in the list of checks: cars A and B of Bundorf and Leffert's cornering compliance concept (SAE 760713), D = axle
weight over axle cornering stiffness. Steering is at the front wheels, one rad a "metre of rack".
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

G = 9.81


@dataclass(frozen=True)
class Bicycle:
    """Front and rear axle a and b m from the centre of mass; compliances in deg/g."""

    a: float
    b: float
    mass: float
    inertia: float
    front: float
    rear: float

    def matrices(self, speed):
        """(A, B) of (lateral velocity, yaw rate)' = A x + B steer."""
        length = self.a + self.b
        cf = self.mass * G * self.b / length / np.radians(self.front)
        cr = self.mass * G * self.a / length / np.radians(self.rear)
        m, i, a, b, v = self.mass, self.inertia, self.a, self.b, speed
        system = np.array(
            [
                [-(cf + cr) / (m * v), -(a * cf - b * cr) / (m * v) - v],
                [-(a * cf - b * cr) / (i * v), -(a * a * cf + b * b * cr) / (i * v)],
            ]
        )
        return system, np.array([cf / m, a * cf / i])

    def outputs(self, speed):
        """(C, D): yaw rate, lateral acceleration, sideslip from the state and its steering."""
        system, steer = self.matrices(speed)
        rows = np.array([[0.0, 1.0], system[0] + np.array([0.0, speed]), [1.0 / speed, 0.0]])
        return rows, np.array([0.0, steer[0], 0.0])

    def respond(self, speed, frequency):
        """Complex response of yaw rate, lateral acceleration, sideslip at frequencies in Hz, (3, F)."""
        system, steer = self.matrices(speed)
        rows, direct = self.outputs(speed)
        found = [
            rows @ np.linalg.solve(2j * np.pi * f * np.eye(2) - system, steer) + direct
            for f in np.atleast_1d(frequency)
        ]
        return np.array(found).T

    def ramped(self, speed, time, ramp):
        """Yaw rate, lateral acceleration, sideslip and steer after steering up to 1 rad within `ramp` s from time 0 on.

        By the eigenvectors: each eigenvalue s answers a unit step with (e^st - 1)/s and a ramp with the integral of it.
        """
        values, vectors = np.linalg.eig(self.matrices(speed)[0])
        part = np.linalg.solve(vectors, self.matrices(speed)[1].astype(complex))

        def integrated(t):
            t = np.maximum(t, 0.0)[:, None]
            return ((np.exp(values * t) - 1.0) / values - t) / values * part

        state = ((integrated(time) - integrated(time - ramp)) / ramp) @ vectors.T
        steer = np.clip(time / ramp, 0.0, 1.0)
        rows, direct = self.outputs(speed)
        return (state.real @ rows.T + steer[:, None] * direct).T, steer


CARS = {
    "A": Bicycle(a=0.996, b=1.624, mass=1450.0, inertia=2345.0, front=9.6, rear=4.1),
    "B": Bicycle(a=1.041, b=1.629, mass=1619.0, inertia=2746.0, front=6.7, rear=3.1),
}
