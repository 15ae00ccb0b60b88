"""The whole range of an adjuster against single holds, the effects table, hand formulas and practice."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from axlewright import load, whole_range
from axlewright.car.adjusters import adjusters_of
from axlewright.car.file import read as read_file
from axlewright.errors import RequestError
from axlewright.readings import READINGS, readings_of
from axlewright.solve.verbs import hold, rest
from axlewright.tune import range_readings
from axlewright.tune.effects import effects
from axlewright.tune.put_right import put_right
from axlewright.tune.whole_range import AT_REST, WholeRange, positions_of
from tests.cars import BRAMBLE, TEASEL
from tests.textbook_car import read

CORNER, EXIT = "mid-corner, left", "exit, left"
# Both are states to the solver's last digits, reached from other starts; some readings are differences of large forces.
SOLVED, LAST_DIGITS = 1e-6, 1e-7
# physics.md 2: 10 mm of pivot = 9.7 mm of roll centre on the demo car; to half of the last digit given.
PRACTICE, ROUNDED = 0.97, 0.005
SCREW = 1.75e-3  # m a turn, teasel's
# checks/mechanical.md ARB-2: the rate of a bar with stiff arms goes as 1 / arm^2. The drop link of the demo car stands
# still at its lower end while its upper one moves along the arm, so it leans and the arm swings: 0.07 in the exponent.
ARB_2, LEAN = 2.0, 0.1
KEPT = 1e-8  # rad; a millionth of what half a turn of the link does
HANDS = 1e-3  # turns; what `put_right` calls settled, 1e-5 rad, is worth less


@cache
def mount() -> WholeRange:
    """The drive-side mount, as turned and with the pinion angle held."""
    return whole_range(
        TEASEL.car, "drive_mount_chassis", phases=["mid-corner", "exit"], hold={"pinion_angle": "drive_length"},
        readings=["anti_squat", "pinion_angle", "balance", "tension.rear.drive_link"],
    )  # fmt: skip


@cache
def pivot() -> WholeRange:
    return whole_range(TEASEL.car, "watt_pivot", phases=["mid-corner"])


@cache
def holes(*which: str) -> WholeRange:
    return whole_range(TEASEL.car, which, phases=["mid-corner"], readings=["bar_rate_front", "balance"])


def same(found: np.ndarray, expected: np.ndarray) -> None:
    np.testing.assert_allclose(found, expected, rtol=SOLVED, atol=LAST_DIGITS)


def test_every_position_is_the_single_hold_there():
    found = mount()
    for i, hole in enumerate(found.positions[0]):
        held = hold(TEASEL.car, found.phases, {"drive_mount_chassis": float(hole)})
        standing = rest(TEASEL.car, {"drive_mount_chassis": float(hole)})
        for reading in found.readings:
            same(np.array([found.values(reading.id, state)[i] for state in (CORNER, EXIT)]), reading.read(held))
            if reading.at_rest:
                same(found.values(reading.id)[i], reading.read(standing)[0])


def test_neighbours_of_the_present_position_are_the_effects_table():
    found, at = pivot(), pivot().now[0]
    ids = [reading.id for reading in found.readings]
    table = effects(
        TEASEL.car, phases=["mid-corner"], adjusters=["watt_pivot"], readings=ids, turns=("left",), restored=False,
        confidence=False,
    )  # fmt: skip
    for steps in (1, -1):
        for r, name in enumerate(ids):
            values = found.values(name, CORNER)
            assert values[at] == pytest.approx(table.base[0, r], rel=SOLVED)
            change = table.row("watt_pivot", steps).change[0, r]
            assert values[at + steps] - values[at] == pytest.approx(change, abs=SOLVED * abs(values[at]) + LAST_DIGITS)


def test_the_roll_centre_follows_watts_pivot_as_in_practice():
    found = pivot()
    height, moved = found.values("roll_centre_height_rear"), found.positions[0] * SCREW
    slopes = np.diff(height) / np.diff(moved)
    assert slopes[2:4] == pytest.approx([PRACTICE, PRACTICE], abs=ROUNDED)  # about the present position
    assert (np.diff(found.values("balance", CORNER)) > 0.0).all()  # a higher rear roll centre is looser; practice


def test_a_bars_rate_goes_as_one_over_the_arm_squared():
    found = holes("front_bar_hole")
    arms = np.array([0.20, 0.225, 0.25, 0.275, 0.30])  # m, teasel's holes
    rate = found.values("bar_rate_front")
    exponents = -np.diff(np.log(rate)) / np.diff(np.log(arms))
    assert exponents[1:3].mean() == pytest.approx(ARB_2, abs=LEAN)
    assert (np.diff(rate) < 0.0).all()
    # Softer in front is looser; common practice, no source.
    assert (np.diff(found.values("balance", CORNER)) > 0.0).all()


def test_a_staggered_bar_is_half_a_step():
    """One side alone does about half of what both do to the rate; exactly as two arms of one torsion bar do."""
    both, one = holes("front_bar_hole"), holes("front_bar_hole_left")
    now = both.values("bar_rate_front")[both.now]
    whole, half = both.values("bar_rate_front")[3] - now, one.values("bar_rate_front")[3] - now
    assert half / whole == pytest.approx(0.5, abs=0.02)  # to first order; the second is 0.1 of it, of both alike


def test_both_sides_as_a_grid_are_symmetric_and_hold_the_single_ranges():
    grid = holes("front_bar_hole_left", "front_bar_hole_right")
    rate = grid.values("bar_rate_front")
    assert rate.shape == (5, 5)
    assert grid.now == (2, 2)
    # the car stands askew by its cross weight and driver, so left and right differ by little
    np.testing.assert_allclose(rate, rate.T, rtol=1e-4)
    same(np.diag(rate), holes("front_bar_hole").values("bar_rate_front"))
    same(rate[:, 2], holes("front_bar_hole_left").values("bar_rate_front"))
    same(np.diag(grid.values("balance", CORNER)), holes("front_bar_hole").values("balance", CORNER))


def test_a_held_reading_is_held_and_was_not_so_as_turned():
    found = mount()
    turned, kept = (found.values("pinion_angle", kind=kind) for kind in ("as-turned", "kept"))
    np.testing.assert_allclose(kept, turned[found.now], atol=KEPT)
    assert np.degrees(np.ptp(turned)) > 1.0
    for i, hole in enumerate(found.positions[0]):
        setup = {"drive_mount_chassis": float(hole), "drive_length": float(found.sweeps[1].counts[i, 0])}
        standing, held = rest(TEASEL.car, setup), hold(TEASEL.car, found.phases, setup)
        same(read(standing, "pinion_angle")[0], kept[i])
        same(read(standing, "anti_squat")[0], found.values("anti_squat", kind="kept")[i])
        same(read(held, "balance")[1], found.values("balance", EXIT, "kept")[i])


def test_the_length_is_what_putting_right_finds():
    found = mount()
    done = put_right(TEASEL.machine, adjusters_of(TEASEL.car), [{"drive_mount_chassis": 5.0}], [("PA",)])
    assert done.settled[0]
    assert found.sweeps[1].counts[4, 0] == pytest.approx(done.moves[0]["drive_length"], abs=HANDS)


def test_a_perch_that_holds_cross_weight_at_the_end_of_its_range_says_so():
    """Rear springs from soft to stiff, heights kept by no hand: cross weight by one perch, which then runs out."""
    found = whole_range(TEASEL.car, "perch_RF", readings=["cross_weight"], hold={"cross_weight": "perch_LF"})
    kept, counts = found.values("cross_weight", kind="kept"), found.sweeps[1].counts[:, 0]
    np.testing.assert_allclose(kept, kept[found.now], atol=1e-8)
    outside = np.abs(counts) > 10.0
    assert outside.any()
    np.testing.assert_array_equal(found.sweeps[1].notes != "", outside)
    assert "left front perch would have to go to" in found.sweeps[1].notes[outside][0]


def test_phases_only_where_a_reading_needs_them():
    assert whole_range(TEASEL.car, "watt_pivot", readings=["roll_centre_height_rear"]).states == (AT_REST,)
    assert whole_range(
        TEASEL.car, "watt_pivot", readings=["vehicle_roll"], phases=["entry"], turns=("right",)
    ).states == (
        AT_REST,
        "entry, right",
    )
    assert len(whole_range(TEASEL.car, "brake_gap").states) == 1 + len(TEASEL.car.phases)


def test_what_has_no_meaning_at_rest_has_no_value_there():
    assert np.isnan(pivot().values("balance")).all()
    assert np.isfinite(pivot().values("balance", CORNER)).all()
    assert (pivot().sweeps[0].reasons == "").all()


def test_a_state_past_the_limit_is_a_reason_and_spoils_no_other():
    found = whole_range(TEASEL.car, "tyre_set_front", phases=["mid-corner"])
    reasons, balance = found.sweeps[0].reasons[:, 1], found.values("balance", CORNER)
    assert set(reasons) == {"", "more than the tyres hold"}
    np.testing.assert_array_equal(np.isfinite(balance), reasons == "")
    assert (reasons[found.now[0] :] == "").all()
    assert (found.sweeps[0].reasons[:, 0] == "").all()
    assert (np.diff(balance[np.isfinite(balance)]) > 0.0).all()  # more front grip is looser


def test_positions_that_no_linkage_reaches_are_reasons_and_never_another_assembly(tmp_path):
    """A Watt's link wound far beyond its thread: the bellcrank comes to toggle at both ends."""
    path = Path(tmp_path / "far.toml")
    extra = "\n[adjusters.watt_length_left]\nlow = -120\nhigh = 120\nstep = 20\n"
    path.write_text(read_file("teasel") + extra, encoding="utf-8")
    found = whole_range(load(path), "watt_length_left", readings=["axle_sideways"])
    reasons, sideways = found.sweeps[0].reasons[:, 0], found.values("axle_sideways")
    reached = reasons == ""
    assert not reached[0]
    assert not reached[-1]
    assert reached[found.now[0] - 1 : found.now[0] + 2].all()
    assert all("the car finds no rest with it there" in reason for reason in reasons[~reached])
    np.testing.assert_array_equal(np.isfinite(sideways), reached)
    assert (np.diff(sideways[reached]) > 0.0).all()
    assert (np.diff(np.flatnonzero(reached)) == 1).all()


def test_far_positions_are_reached_by_way_of_their_neighbours():
    """Smaller tyres lower one end by as much as the drawn car stands off the ground: too far for one leap."""
    found = whole_range(TEASEL.car, "tyre_size_front", readings=["cross_weight"])
    assert (found.sweeps[0].reasons == "").all()


def test_two_adjusters_that_move_one_thing_out_of_its_range():
    found = holes("front_bar_hole", "front_bar_hole_left")
    reasons = found.sweeps[0].reasons[..., 0]
    sums = found.positions[0][:, None] + found.positions[1] - 3.0  # the left arm's hole
    np.testing.assert_array_equal(reasons != "", (sums < 1.0) | (sums > 5.0))
    assert "front bar, hole, left side only at 7 hole is outside its range from 1 to 5" in reasons[4, 4]
    np.testing.assert_array_equal(np.isnan(found.values("bar_rate_front")), reasons != "")


def test_a_setup_moves_where_it_begins():
    moved = whole_range(TEASEL.car, "watt_pivot", setup={"watt_pivot": 6.0, "fuel": 20.0}, phases=["mid-corner"])
    assert moved.positions[0][moved.now[0]] == 6.0
    alone = hold(TEASEL.car, moved.phases, {"watt_pivot": 12.0, "fuel": 20.0})
    same(moved.values("balance", CORNER)[list(moved.positions[0]).index(12.0)], read(alone, "balance")[0])


def test_the_margin_is_walked_to_at_every_position():
    from axlewright.solve.verbs import limit

    found = whole_range(TEASEL.car, "front_bar_hole", readings=["margin"], phases=["mid-corner"])
    walked = limit(TEASEL.car, found.phases, {"front_bar_hole": 5.0}).margin[0]
    assert found.values("margin", CORNER)[4] == pytest.approx(walked, rel=SOLVED)


@pytest.mark.parametrize("demo", [TEASEL, BRAMBLE], ids=lambda demo: demo.name)
def test_positions_go_from_end_to_end_through_the_present_one(demo):
    for adjuster in adjusters_of(demo.car).values():
        positions = positions_of(adjuster)
        assert (positions[0], positions[-1]) == (adjuster.lo, adjuster.hi)
        assert adjuster.position in positions
        apart = np.diff(positions)
        assert (apart > 0.0).all()
        np.testing.assert_allclose(apart[1:-1], adjuster.step, rtol=1e-6)
        assert (apart <= adjuster.step * (1.0 + 1e-6)).all()


def test_default_readings_exist_and_every_range_has_the_balance():
    names = {
        name.format(end=end)
        for many in range_readings._BY_FAMILY.values()
        for name in many
        for end in ("front", "rear")
    }
    have = READINGS | readings_of(TEASEL.machine)
    assert names <= have.keys()
    every = adjusters_of(TEASEL.car)

    def shown(key: str) -> list[str]:
        return [r.id for r in range_readings.range_readings(have, [every[key]], None)]

    assert shown("watt_pivot") == ["roll_centre_height_rear", "balance"]
    assert shown("drive_mount_axle") == ["anti_squat", "pinion_angle", "balance"]
    assert shown("brake_mount_chassis") == ["anti_lift", "balance"]
    assert shown("rear_bar_hole_left") == ["bar_rate_rear", "balance"]
    assert shown("rear_bar_drop_link_left") == ["cross_weight", "balance"]
    assert all(shown(key)[-1] == "balance" for key in every)


def test_progress_goes_up_to_the_end():
    said: list[tuple[str, int, int]] = []
    whole_range(
        TEASEL.car, "drive_mount_chassis", readings=["anti_squat"], hold={"pinion_angle": "drive_length"},
        progress=lambda *one: said.append(one),
    )  # fmt: skip
    for what in ("every position", "every position, pinion angle in the chassis held"):
        steps = [(done, of) for label, done, of in said if label == what]
        assert steps[0] == (0, 5)
        assert steps[-1] == (5, 5)
        assert steps == sorted(steps)


@pytest.mark.parametrize(
    ("adjusters", "options", "sentence"),
    [
        ("watt_pivott", {}, "no adjuster `watt_pivott`: did you mean `watt_pivot`"),
        (["watt_pivot", "watt_pivot"], {}, "`watt_pivot` was named twice"),
        (["watt_pivot", "fuel", "wing"], {}, "found 3 adjusters; expected one, or two for a grid"),
        ([], {}, "found 0 adjusters"),
        ("damper_front_rebound", {}, "acts only in motion: no held state changes over its range"),
        ("watt_pivot", {"readings": ["anti_sqat"]}, "no reading `anti_sqat`: did you mean `anti_squat`"),
        ("watt_pivot", {"phases": ["entri"]}, "no phase `entri`: did you mean"),
        ("watt_pivot", {"setup": {"fuel": 300.0}}, "fuel at 300 l is outside its range"),
        ("watt_pivot", {"hold": {"pinion": "drive_length"}}, "no reading `pinion`: did you mean `pinion_angle`"),
        ("watt_pivot", {"hold": {"pinion_angle": "drive_lenght"}}, "no adjuster `drive_lenght`: did you mean `dr"),
        ("watt_pivot", {"hold": {"balance": "drive_length"}}, "has no value at rest, where a length is re-set"),
        ("drive_length", {"hold": {"pinion_angle": "drive_length"}}, "is moved already, so it can't hold"),
        ("front_bar_hole", {"hold": {"toe_front": "front_bar_hole_left"}}, "can't be re-set by any amount"),
        ("lower_length", {"hold": {"pinion_angle": "lower_length_left"}}, "is moved already, so it can't hold"),
        ("watt_pivot", {"hold": {"pinion_angle": "diff_preload"}}, "does nothing to pinion angle"),
        ("watt_pivot", {"hold": {"pinion_angle": "damper_front_rebound"}}, "can't be re-set by any amount"),
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_told_in_a_sentence(adjusters, options, sentence):
    with pytest.raises(RequestError, match=sentence):
        whole_range(TEASEL.car, adjusters, **options)


def test_a_range_names_what_it_has():
    with pytest.raises(RequestError, match="no state of this range `exit, left`"):
        pivot().values("balance", EXIT)
    with pytest.raises(RequestError, match="no reading of this range `anti_squat`"):
        pivot().values("anti_squat")
    with pytest.raises(RequestError, match="no way of moving in this range `kept`"):
        pivot().values("balance", kind="kept")
