"""Spring, bar and torque-link readings, and what they say of their state, against the laws in the car file."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.readings.states import states, words
from tests.cars import TEASEL
from tests.textbook_car import Textbook, read

PHASES = [phase.name for phase in TEASEL.car.phases]
NEWTON = 0.1  # N; corners of the laws are rounded within micrometres, the springs here are clear of theirs
SEAT = 16.0  # N; the drive link's corner at its preload, 10 um at 6 kN/mm, is 15 N at most
RATIO = 0.005  # motion ratios change by half a per cent in 10 mm


def left(name, phase):
    return float(read(TEASEL.held, name)[2 * PHASES.index(phase)])


@pytest.mark.parametrize(
    ("path", "rate"), [("front.left.spring", 95e3), ("front.right.spring", 95e3), ("rear.spring_left", 42e3)]
)
def test_spring_load_is_rate_times_compression(path, rate):
    """Hooke, from rest."""
    gained = read(TEASEL.held, f"load.{path}.spring") - read(TEASEL.rest, f"load.{path}.spring")
    assert gained == pytest.approx(rate * read(TEASEL.held, f"travel.{path}"), abs=NEWTON)
    assert np.ptp(gained) > 1000.0


def test_drive_link_on_its_spring():
    """Preload plus spring rate times travel: 1500 N + 200 N/mm; 22 mm to its stop."""
    for phase in ("exit", "launch"):
        travel = left("travel.rear.drive_link", phase)
        assert left("tension.rear.drive_link", phase) == pytest.approx(1500.0 + 200e3 * travel, abs=SEAT)
        assert left("travel_share.rear.drive_link", phase) == pytest.approx(travel / 0.022, abs=1e-3)


def test_drive_link_on_its_seat():
    """6 kN/mm below its preload."""
    change = left("tension.rear.drive_link", "mid-corner") - left("tension.rear.drive_link", "kerb")
    moved = left("travel.rear.drive_link", "mid-corner") - left("travel.rear.drive_link", "kerb")
    assert change == pytest.approx(6e6 * moved, abs=NEWTON)


def test_brake_link_on_its_bumper():
    """Gas and 400 N/mm of bumper squeeze in braking, gas alone otherwise."""
    for phase in ("straight braking", "entry"):
        squeeze = left("travel.rear.brake_link", phase)
        assert left("tension.rear.brake_link", phase) == pytest.approx(-180.0 - 400e3 * squeeze, abs=NEWTON)
        assert squeeze > 0.0
    assert left("tension.rear.brake_link", "launch") == pytest.approx(-180.0, abs=NEWTON)


@pytest.mark.parametrize(("bar", "arm"), [("front_bar", 0.25), ("rear_bar", 0.27)])
def test_drop_link_tension_times_arm_is_the_bars_torque(bar, arm):
    """Statics; drop links lean by up to 7 deg in roll, 0.7 %."""
    torque = np.abs(read(TEASEL.held, f"torque.{bar}"))
    for side in ("left", "right"):
        tension = np.abs(read(TEASEL.held, f"tension.{bar}.{side}"))
        turning = torque > 20.0
        assert tension[turning] * arm == pytest.approx(torque[turning], rel=0.01)


@pytest.mark.parametrize("end", ["front", "rear"])
def test_roll_stiffness_of_springs_and_bar_is_the_whole_and_holds_the_roll(end):
    """What springs move in a small turn is roll stiffness x suspension roll over the track (textbook, small angles)."""
    car = Textbook(spring=(30e3, 40e3), ratio=(0.9, 0.6), bar=(800.0, 500.0), roll_centre=(0.05, 0.25))
    solved = car.hold(ay=0.05, speed=100.0)
    stiffness = [read(solved, f"roll_stiffness_{end}_{part}")[0] for part in ("springs", "bar", "whole")]
    assert stiffness[0] + stiffness[1] == pytest.approx(stiffness[2], rel=1e-12)
    index = ("front", "rear").index(end)
    lever = car.ratio[index] * 0.5 * car.track[index]
    assert stiffness[0] == pytest.approx(2.0 * car.spring[index] * lever**2, rel=1e-4)
    assert stiffness[1] == pytest.approx(car.bar[index] * car.track[index] ** 2, rel=1e-4)
    assert read(solved, f"bar_rate_{end}")[0] == pytest.approx(car.bar[index], rel=1e-4)
    held = stiffness[2] * read(solved, f"suspension_roll_{end}")[0] / car.track[index]
    assert read(solved, f"load_transfer_{end}_springs")[0] == pytest.approx(held, rel=1e-3)


WORDS = {  # drive link, brake link
    "straight braking": ("slack", "bumper"),
    "entry": ("slack", "bumper"),
    "mid-corner": ("seat", "gas"),
    "exit": ("spring", "gas"),
    "launch": ("spring", "gas"),
}


@pytest.mark.parametrize("phase", WORDS)
def test_torque_links_say_what_carries_them(phase):
    """Design, section 3: held phases of teasel."""
    said = states(TEASEL.held, 2 * PHASES.index(phase))
    assert (said["rear.drive_link.drive"], said["rear.brake_link.brake"]) == WORDS[phase]
    assert said["LF"] == "rolling"
    assert said["front_bar"] == "turning"


def test_words_at_rest_and_of_a_stop_that_touches():
    said = states(TEASEL.rest, 0)
    assert (said["RR"], said["rear.drive_link.drive"], said["rear.brake_link.brake"]) == ("standing", "seat", "gas")
    close = Textbook(spring=(40e3, 40e3), more={"rear.spring_left.bump_stop.gap": 0.001})
    pressed = close.hold(an=0.3 * 9.81)  # 880 N a wheel is 22 mm of spring
    assert words(pressed)["rear.spring_left.bump_stop"][0] == "touched"
    assert words(pressed)["rear.spring_right.bump_stop"][0] == "clear"
    assert read(pressed, "clearance.rear.spring_left.bump_stop")[0] < 0.0
    assert read(pressed, "load.rear.spring_left.bump_stop")[0] > 100.0
