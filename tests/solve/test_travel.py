"""The linkage moved by its wheels: links keep their lengths, wheels are where they were asked to be, and it stops."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.spatial.transform import Rotation

from axlewright.errors import RequestError
from axlewright.model.topology import BlockTopology
from axlewright.readings import readings_of
from axlewright.solve.poses import grid
from axlewright.solve.solved import Solved
from axlewright.solve.travel import Travelled, travel
from tests.cars import BRAMBLE, DUNNOCK, TEASEL, Demo

CLOSED = 1e-9  # m: what `travel` calls reached
WHEELS = ("LF", "RF", "LR", "RR")
SMALL_ENERGY = 1e-6  # N m; scipy's minimiser stops at about that above the least


@cache
def moved(demo: Demo) -> Travelled:
    return travel(demo.car, grid(bump=[-0.04, 0.0, 0.05], roll=np.radians([-3.0, 0.0, 2.0]), steer=[-0.02, 0.0]))


def rotation(cayley: np.ndarray) -> np.ndarray:
    """Rotation matrices (B, 3, 3) of Cayley vectors (3, B), by another library: angle 2 atan(r/2) about r."""
    size = np.linalg.norm(cayley, axis=0)
    scale = np.where(size > 0, 2.0 * np.arctan(size / 2.0) / np.where(size > 0, size, 1.0), 0.0)
    return Rotation.from_rotvec((cayley * scale).T).as_matrix()


class Body:
    """Where points of the only body of a block copy are, worked out anew from the pose unknowns."""

    def __init__(self, solved: Solved, block: int, copy: int) -> None:
        local = np.asarray(solved.unknowns.local[block])[:6, copy]
        self.turn, self.shift = rotation(local[3:]), local[:3].T
        values, topology = solved.machine.values, solved.machine.topology.blocks[block]
        self.reference = np.asarray(values[f"{topology.block.copies[copy]}.{topology.block.bodies[0]}.at"]).ravel()

    def at(self, drawn: np.ndarray) -> np.ndarray:
        """(B, 3)"""
        return self.reference + self.shift + self.turn @ (drawn - self.reference)


def whole_links(topology: BlockTopology) -> list[str]:
    """Rigid links straight from the chassis to the body."""
    ends = ("chassis", topology.block.bodies[0])
    return [name for name in topology.rigid if (topology.link(name).a, topology.link(name).b) == ends]


@pytest.mark.parametrize("demo", [TEASEL, BRAMBLE, DUNNOCK], ids=lambda demo: demo.name)
def test_rigid_links_keep_their_lengths(demo: Demo):
    found = moved(demo)
    values = found.solved.machine.values
    assert found.reached.all()
    checked = 0
    for i, topology in enumerate(found.solved.machine.topology.blocks):
        for c, copy in enumerate(topology.block.copies):
            body = Body(found.solved, i, c)
            for name in whole_links(topology):
                a, b = (np.asarray(values[f"{copy}.{name}.{end}"]) for end in "ab")
                drawn = np.linalg.norm(b - a)
                slide = found.poses.steer if topology.link(name).on_rack else 0.0 * found.poses.steer
                start = a + slide[:, None] * np.array([0.0, 1.0, 0.0])  # both cars have their racks ahead of the axle
                assert np.abs(np.linalg.norm(body.at(b) - start, axis=1) - drawn).max() < CLOSED, (copy, name)
                checked += 1
    assert checked >= 6


@pytest.mark.parametrize("demo", [TEASEL, BRAMBLE], ids=lambda demo: demo.name)
def test_wheel_centres_are_where_they_were_asked_to_be(demo: Demo):
    found = moved(demo)
    centre = found.solved.wheel("centre")
    for i, wheel in enumerate(WHEELS):
        drawn = np.asarray(found.solved.machine.values[f"{wheel}.centre"]).ravel()
        asked = drawn[2] + found.poses.bump - drawn[1] * np.tan(found.poses.roll)
        assert np.abs(centre[2, i] - asked).max() < CLOSED


def test_tyres_keep_the_radius_that_they_have_at_rest():
    found = moved(TEASEL)
    rest = TEASEL.rest.wheel("deflection")
    assert np.abs(found.solved.wheel("deflection") - rest).max() < CLOSED


def test_the_drive_link_keeps_its_length_or_the_brake_link_does():
    poses = grid(bump=[-0.05, 0.05], roll=np.radians([0.0, 3.0]))
    for active, other in (("drive", "brake"), ("brake", "drive")):
        solved = travel(TEASEL.car, poses, active=active).solved
        block = next(i for i, b in enumerate(solved.machine.topology.blocks) if b.block.rear)
        drawn = TEASEL.rest
        for name, kept in ((f"{active}_link", True), (f"{other}_link", False)):
            change = solved.link(block, name, "length")[0] - drawn.link(block, name, "length")[0]
            assert (np.abs(change).max() < CLOSED) == kept, (active, name)


def test_wind_up_is_added_to_the_pitch_that_the_links_give():
    nose_up = readings_of(TEASEL.machine)["pinion_angle"].read
    asked = np.radians([-2.0, 0.0, 3.0])
    for bump in (0.0, 0.05):
        found = nose_up(travel(TEASEL.car, grid(bump=bump, wind_up=asked)).solved)
        assert np.abs(found - found[1] - asked).max() < CLOSED


@pytest.mark.parametrize("demo", [TEASEL, BRAMBLE], ids=lambda demo: demo.name)
def test_a_wheel_alone_leaves_the_other_front_wheel_alone(demo: Demo):
    solved = travel(demo.car, grid(LF=0.03)).solved
    drawn = travel(demo.car, grid()).solved
    assert np.abs(solved.wheel("centre")[:, 1] - drawn.wheel("centre")[:, 1]).max() < CLOSED
    assert solved.wheel("centre")[2, 0] - drawn.wheel("centre")[2, 0] == pytest.approx(0.03, abs=CLOSED)


def test_links_that_fight_each_other_share_the_misfit_by_least_strain_energy():
    """Against a general minimiser of the strain energy: the Panhard rod rigid, wheel centres at their heights."""
    roll = np.radians(3.0)
    found = travel(BRAMBLE.car, grid(roll=roll))
    topology, values = found.solved.machine.topology.blocks[1], found.solved.machine.values
    soft = [name for name in topology.links if any(t.kind == "compliant" for t in topology.link(name).terms)]
    ends = {n: [np.asarray(values[f"rear.{n}.{end}"]).ravel() for end in "ab"] for n in (*soft, "panhard")}
    rates = [float(np.asarray(values[f"rear.{name}.compliant.stiffness"]).ravel()[0]) for name in soft]
    reference = np.asarray(values["rear.axle.at"]).ravel()
    wheels = [np.asarray(values[f"{wheel}.centre"]).ravel() for wheel in ("LR", "RR")]

    def at(x: np.ndarray, point: np.ndarray) -> np.ndarray:
        return reference + x[:3] + Rotation.from_rotvec(x[3:]).as_matrix() @ (point - reference)

    def stretch(x: np.ndarray, name: str) -> float:
        a, b = ends[name]
        return float(np.linalg.norm(at(x, b) - a) - np.linalg.norm(b - a))

    def energy(x: np.ndarray) -> float:
        return 0.5 * float(np.dot(rates, np.square([stretch(x, name) for name in soft])))

    def kept(x: np.ndarray) -> np.ndarray:
        return np.array([*((at(x, w) - w)[2] + w[1] * np.tan(roll) for w in wheels), stretch(x, "panhard")])

    local = np.asarray(found.solved.unknowns.local[1])[:6, 0, 0]
    ours = np.concatenate([local[:3], Rotation.from_matrix(rotation(local[3:, None])[0]).as_rotvec()])
    least = minimize(energy, ours + 1e-3, constraints={"type": "eq", "fun": kept}, method="SLSQP",
                     options={"ftol": 1e-14, "maxiter": 500})  # fmt: skip
    assert np.abs(kept(ours)).max() < CLOSED
    assert energy(ours) <= least.fun + SMALL_ENERGY
    assert energy(np.zeros(6) + ours * 1.01) > energy(ours) + SMALL_ENERGY  # it is no plateau


def test_it_stops_at_a_toggle_and_says_so():
    found = travel(TEASEL.car, grid(bump=[0.05, 0.30]))
    assert found.reached.tolist() == [True, False]
    assert found.reasons[0] == ""
    assert "the rear stops at bump +24" in found.reasons[1]
    assert "come into line (toggle)" in found.reasons[1]
    assert "watt left" in found.reasons[1]
    up = found.solved.wheel("centre")[2, 2] - np.asarray(found.solved.machine.values["LR.centre"])[2]
    assert up[1] == pytest.approx(0.30 * found.share[1], abs=CLOSED)  # shown where it stopped


def test_no_pose_beyond_a_toggle_is_taken_from_the_other_assembly():
    """The same wheel height can be met with the bellcrank folded the other way: Newton may find it, we may not."""
    bump = np.linspace(0.20, 0.40, 41)
    found = travel(TEASEL.car, grid(bump=bump))
    last = int(found.reached.sum())
    assert 0 < last < bump.size
    assert found.reached[:last].all()
    local = np.asarray(found.solved.unknowns.local[1])
    assert np.abs(local[6]).max() < np.pi / 2


def test_a_moved_adjuster_moves_the_path():
    read = readings_of(TEASEL.machine)["roll_centre_height_rear"].read
    drawn, lifted = (travel(TEASEL.car, grid(), setup) for setup in (None, {"watt_pivot": 8.0}))
    assert read(lifted.solved)[0] - read(drawn.solved)[0] == pytest.approx(8 * 1.75e-3, rel=0.1)


@pytest.mark.parametrize(
    ("ask", "said"),
    [
        (lambda: grid(bumb=0.02), "no movement `bumb`: did you mean `bump`"),
        (lambda: grid(bump=[0.01, np.nan]), "expected a number or a list of numbers"),
        (lambda: travel(TEASEL.car, grid(), active="both"), "no torque link `both`"),
    ],
)
def test_what_makes_no_sense_is_refused(ask, said):
    with pytest.raises(RequestError, match=said):
        ask()
