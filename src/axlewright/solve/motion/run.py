"""What an event gives: a car, or several setups of it, followed through time."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

import numpy as np

from axlewright.solve.solved import Solved

Kind = Literal["drive", "brake", "steer", "sweep", "turn", "road", "drop"]


class Seen(NamedTuple):
    """Everything that is seen: SI, signs as everywhere; T times, W wheels in model order, B members, batch last."""

    # (T, B): the chassis origin on the road and its attitude to it
    x: np.ndarray
    y: np.ndarray
    yaw: np.ndarray
    distance: np.ndarray
    heave: np.ndarray
    pitch: np.ndarray
    roll: np.ndarray
    # (T, B): the centre of mass, along and across the heading and up
    speed: np.ndarray
    sideslip: np.ndarray
    yaw_rate: np.ndarray
    pitch_rate: np.ndarray
    roll_rate: np.ndarray
    ax: np.ndarray
    ay: np.ndarray
    az: np.ndarray
    # (T, B): controls and driveline
    rack: np.ndarray  # travel, left steer positive
    axle_torque: np.ndarray
    difference: np.ndarray  # left less right, N m
    driveline_speed: np.ndarray  # of the engine's side, at the axle, rad/s
    # (T, W, B)
    load: np.ndarray
    longitudinal: np.ndarray
    lateral: np.ndarray
    slip_ratio: np.ndarray
    slip_angle: np.ndarray
    use: np.ndarray  # force over the most that the tyre could give in its direction of slip: 1 at the peak
    past_peak: np.ndarray  # 1 beyond it
    spin: np.ndarray
    brake_torque: np.ndarray
    deflection: np.ndarray
    centre_height: np.ndarray  # of the wheel centre above the road plane
    road_height: np.ndarray
    # path -> (T, B), such as "rear.drive_link", "front.left.spring"
    tension: dict[str, np.ndarray]
    extension: dict[str, np.ndarray]  # from the drawn length; links that give
    extension_rate: dict[str, np.ndarray]
    damper_push: dict[str, np.ndarray]  # damping and seal, without gas; compression positive
    wind_up: dict[str, np.ndarray]  # body -> pinion nose up against the chassis from the car at rest, rad
    wind_up_rate: dict[str, np.ndarray]
    energy: dict[
        str, np.ndarray
    ]  # "kinetic", "weight", "elastic", and the work since the start of what acts on the car
    ends: dict[str, np.ndarray]  # link -> (T, 3, 2, B) where its ends are, chassis axes, m
    drift: np.ndarray  # (T, B) largest error of a rigid length before it was put right, m


@dataclass(frozen=True)
class Run:
    """An event: B setups of one car under one script."""

    cars: tuple[str, ...]
    time: np.ndarray  # (T,) s
    seen: Seen
    ended: np.ndarray  # (B,) 0 done, 1 stopped before its end
    sentences: tuple[str, ...]  # one a member: "" or what went wrong, when and in which part
    held: Solved  # where it began
    event: str  # what was done, in words
    kind: Kind
    begins: float = 0.0  # s, when it was done
    swept: tuple[float, float] | None = None  # Hz, of a sweep
    steps: int = 0  # of the integrator, those taken back included

    @property
    def batch(self) -> int:
        return len(self.cars)

    @property
    def wheels(self) -> tuple[str, ...]:
        """Names in the order of the wheel axis."""
        return self.held.machine.topology.mechanism.wheels

    @property
    def driven(self) -> np.ndarray:
        """(W,) which wheels are driven."""
        return np.any(np.abs(self.held.wheel_parameter("driven")) > 0, axis=-1)


def member(run: Run, i: int) -> Run:
    """One member of a run, as a run of its own."""

    def one(value: object) -> object:
        if isinstance(value, dict):
            return {name: each[..., i : i + 1] for name, each in value.items()}
        return value[..., i : i + 1]  # type: ignore[index]

    seen = Seen(*(one(value) for value in run.seen))  # type: ignore[arg-type]
    held = run.held.take(np.array([i])) if run.batch > 1 else run.held
    return replace(
        run,
        cars=run.cars[i : i + 1],
        seen=seen,
        ended=run.ended[i : i + 1],
        sentences=run.sentences[i : i + 1],
        held=held,
    )
