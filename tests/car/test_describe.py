"""The description of a car: what is connected to what, and the numbers under their paths."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.car.describe import describe, tolerances
from axlewright.car.describe.bars import torsion_of
from axlewright.car.describe.masses import contact_points, sprung_of
from axlewright.car.describe.wheels import shape_of
from axlewright.car.file import DEMO_CARS, checked, from_table, load
from axlewright.car.mechanism import BarEnd, Joint, Link, Part
from axlewright.car.schema.tyres import SimilarityTyre
from tests.car.tables import changed, put, table_of, without

ROUNDING = 1e-12  # relative; a few multiplications of numbers in other units
PRINTED = 0.5  # last digit: a published number agrees to the digits that are printed


def links(mechanism, block: str) -> dict[str, Link]:
    return {link.name: link for part in mechanism.blocks if part.name == block for link in part.links}


def test_teasel_is_connected_as_the_design_counts_it():
    mechanism, _ = describe(load("teasel"))
    front, rear = mechanism.blocks
    assert front.copies == ("front.left", "front.right")
    assert front.parts == (Part(name="lower_arm"),)
    assert front.joints == (Joint(name="lower_ball", a="lower_arm", b="upright"),)
    rigid = {name for name, link in links(mechanism, "front").items() if not link.terms}
    assert rigid == {"upper_front", "upper_rear", "tie_rod"}
    assert links(mechanism, "front")["tie_rod"].on_rack
    assert [(t.name, t.kind) for t in links(mechanism, "front")["spring"].terms] == [
        ("spring", "coil_spring"),
        ("bump_stop", "stop"),
        ("droop_stop", "stop"),
        ("gas", "gas"),
    ]
    assert rear.pinion_body == "axle"
    rigid = {name for name, link in links(mechanism, "rear").items() if not link.terms}
    assert rigid == {"lower_left", "lower_right", "watt_left", "watt_right"}
    assert mechanism.wheels == ("LF", "RF", "LR", "RR")
    assert [bar.name for bar in mechanism.bars] == ["front_bar", "rear_bar"]
    assert mechanism.bars[0].right == BarEnd(copy="front.right", frame="lower_arm")
    assert mechanism.mass_items == ("sprung", "driver", "fuel", "ballast")
    assert mechanism.tyre_law == "similarity"
    assert not mechanism.twisting_chassis


def test_every_path_of_the_mechanism_has_a_value():
    for name in DEMO_CARS:
        mechanism, values = describe(load(name))
        for block in mechanism.blocks:
            for copy in block.copies:
                assert {f"{copy}.{link.name}.{end}" for link in block.links for end in "ab"} <= values.keys()
                assert {f"{copy}.{joint.name}.at" for joint in block.joints} <= values.keys()
                assert {f"{copy}.{part.name}.axis_{end}" for part in block.parts for end in "ab"} <= values.keys()
                assert {f"{copy}.{body}.mass" for body in block.bodies} <= values.keys()
        assert {f"{wheel}.centre" for wheel in mechanism.wheels} <= values.keys()
        assert {f"chassis.{item}.mass" for item in mechanism.mass_items} <= values.keys()
        assert all(
            np.all(np.isfinite(value)) or path.endswith(("bind", "arm_bending")) for path, value in values.items()
        )


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("front.left.upper_front.a", (0.100, 0.400, 0.470)),
        ("front.right.upper_front.a", (0.100, -0.400, 0.470)),
        ("rear.lower_right.b", (-2.700, -0.520, 0.240)),
        ("rear.drive_link.a", (-2.200, -0.150, 0.485)),
        ("rear.brake_link.a", (-2.200, 0.0, 0.440)),
        ("rear.watt_left.a", (-2.950, 0.0, 0.352)),
        ("rear.watt_left.b", (-2.950, 0.55, 0.352)),
        ("front.left.spring.spring.rate", 95e3),
        ("rear.drive_link.drive.preload", 1500.0),
        ("rear.brake_link.brake.gap", 2e-3),
        ("LF.camber", np.radians(-2.2)),
        ("RF.toe", np.radians(-0.10)),
        ("RR.pressure", 22 * 6894.757293168361),  # psi from the pound-force and the inch
        ("LF.tyre.grip_drop", 4.5e-5),
        ("chassis.sprung.mass", 985.0),
        ("chassis.sprung.at", (-1.234, 0.0, 0.497)),
        ("chassis.fuel.mass", 0.0),  # a change from the drawn car
        ("chassis.yaw_inertia", 1550.0),
        ("rear.axle.pitch_inertia", 2.6),
        ("rear.axle.mass", 123.0),
        ("aero.x_rear", -2.75),
        ("driveline.sense", 1.0),
        ("scales.cross_weight", 0.5),
        ("chassis.torsion_rear_share", 1.234 / 2.75),
        ("ride_height.LR", (-2.60, 0.50, 0.084)),
    ],
)
def test_the_numbers_of_teasel_are_those_of_the_design(path, value):
    assert describe(load("teasel"))[1][path] == pytest.approx(value, rel=ROUNDING)


def test_brake_torque_is_shared_front_to_rear_and_left_to_right():
    _, values = describe(load("teasel"))
    gains = np.array([float(values[f"{wheel}.brake_gain"]) for wheel in ("LF", "RF", "LR", "RR")])
    assert gains.sum() == pytest.approx(6000.0, rel=ROUNDING)
    assert gains[0] == gains[1]
    assert gains[:2].sum() == pytest.approx(0.68 * 6000.0, rel=ROUNDING)


def test_bar_rates_are_those_of_the_design():
    """Rates at the drop link in N/mm, hole by hole (the design's table, to the digits printed there)."""
    car = load("teasel")
    for bar, printed in ((car.front.bar, (48, 38, 31, 25, 21)), (car.rear.bar, (17.8, 14.3, 11.8, 9.9, 8.4))):
        assert bar is not None
        digit = 1.0 if bar is car.front.bar else 0.1
        for hole, rate in zip(bar.holes, printed, strict=True):
            assert torsion_of(bar) / hole.value**2 / 1e3 == pytest.approx(rate, abs=PRINTED * digit)


def test_a_measured_bar_rate_comes_back_at_the_drop_link():
    measured = {"rate": "31 N/mm", "hole": 2}
    keys = ("diameter", "length", "shear_modulus")
    bar = changed(put("front.bar.measured", measured), *(without(f"front.bar.{k}") for k in keys)).front.bar
    assert bar is not None
    assert torsion_of(bar) / bar.holes[1].value ** 2 == pytest.approx(31e3, rel=ROUNDING)


def test_a_tube_twists_like_a_solid_bar_less_the_one_that_was_taken_out():
    solid, tube = changed().front.bar, changed(put("front.bar.wall", "4 mm")).front.bar
    core = changed(put("front.bar.diameter", "14 mm")).front.bar
    assert solid is not None
    assert tube is not None
    assert core is not None
    assert torsion_of(tube) == pytest.approx(torsion_of(solid) - torsion_of(core), rel=ROUNDING)


def test_staggered_holes_give_each_side_its_own_arm():
    _, values = describe(changed(put("rear.bar.right", {"hole": 2})))
    assert (values["rear_bar.left.arm"], values["rear_bar.right.arm"]) == (0.270, 0.245)


def test_corner_weights_state_mass_centre_and_cross_weight():
    """Statics back and forth: readings from masses, then masses from the readings."""
    teasel = load("teasel")
    points = np.array(list(contact_points(teasel).values()))
    total, centre, cross = 1180.0, np.array([-1.3151652542372883, 0.004]), 0.502
    rows = np.vstack([np.ones(4), points[:, 0], points[:, 1], [0, 1, 1, 0]])
    readings = np.linalg.solve(rows, [total, *(total * centre), cross * total])
    names = ("left_front", "right_front", "left_rear", "right_rear")
    weights = {name: f"{reading!r} kg" for name, reading in zip(names, readings.tolist(), strict=True)}
    car = changed(
        without("masses.sprung.mass"),
        without("masses.sprung.at"),
        put("masses.sprung.height", "0.497 m"),
        without("scales.cross_weight"),
        put("scales.corner_weights", weights),
    )
    scaled = sprung_of(car)
    assert scaled.mass == pytest.approx(985.0, rel=ROUNDING)
    assert scaled.at == pytest.approx([-1.234, 0.004 * total / 985.0, 0.497], rel=1e-10)  # differences of large numbers
    assert describe(car)[1]["scales.cross_weight"] == pytest.approx(cross, rel=ROUNDING)


def test_camber_moves_the_contact_point_outward_at_the_bottom():
    points = contact_points(load("teasel"))
    assert points["LF"] == pytest.approx([0.0, 0.780 + 0.330 * np.tan(np.radians(2.2)), 0.0], rel=ROUNDING)
    assert points["RF"] == pytest.approx(points["LF"] * [1, -1, 1], rel=ROUNDING)


def test_the_shape_of_a_fall_off_peaks_at_one_and_falls_to_it():
    tyres = table_of("bramble")["tyres"]
    tyre = load("bramble").tyres.front
    assert isinstance(tyre, SimilarityTyre)
    c, b, e = shape_of(tyre)
    slip = np.linspace(0.5, 1.5, 1001)
    curve = np.sin(c * np.arctan(b * slip - e * (b * slip - np.arctan(b * slip))))
    assert tyres["front"]["fall_off"] == "88 %"
    assert slip[curve.argmax()] == pytest.approx(1.0, abs=0.001)  # the grid's step
    assert curve.max() == pytest.approx(1.0, abs=1e-9)
    assert np.sin(c * np.pi / 2) == pytest.approx(0.88, rel=ROUNDING)


def test_where_things_stand_decides_the_layout():
    upper = put("front.spring", {**table_of()["front"]["spring"], "on": "upper-arm", "moving": [0.0, 0.60, 0.485]})
    mechanism, values = describe(changed(upper))
    assert [part.name for part in mechanism.blocks[0].parts] == ["lower_arm", "upper_arm"]
    assert "front.left.upper_ball.at" in values
    mechanism, _ = describe(changed(upper, without("front.bar")))
    assert [part.name for part in mechanism.blocks[0].parts] == ["upper_arm"]
    assert {"lower_front", "lower_rear"} <= links(mechanism, "front").keys()
    assert [bar.name for bar in mechanism.bars] == ["rear_bar"]
    mechanism, _ = describe(load("bramble"))
    assert mechanism.blocks[0].parts == ()
    assert mechanism.twisting_chassis


def test_bramble_has_compliant_links_and_a_rigid_panhard_rod():
    mechanism, values = describe(load("bramble"))
    rear = links(mechanism, "rear")
    names = {"lower_left", "lower_right", "upper_left", "upper_right"}
    assert {name for name, link in rear.items() if [t.kind for t in link.terms] == ["compliant"]} == names
    assert rear["panhard"].terms == ()
    assert values["rear.upper_left.compliant.stiffness"] == pytest.approx(
        170e3 * 4.4482216152605 / 0.0254, rel=ROUNDING
    )


def test_a_bellcrank_on_the_axle_hangs_from_it():
    mechanism, values = describe(changed(put("rear.watt.bellcrank_on", "axle")))
    assert mechanism.blocks[1].parts == (Part(name="bellcrank", parent="axle"),)
    left = links(mechanism, "rear")["watt_left"]
    assert (left.a, left.b) == ("chassis", "bellcrank")
    assert values["rear.watt_left.b"] == pytest.approx([-2.950, 0.0, 0.352])


def test_a_damper_on_a_line_of_its_own_takes_stops_and_gas_with_it():
    damper = {"gas_force": "120 N", "chassis": [0.05, 0.43, 0.6], "moving": [0.05, 0.58, 0.21]}
    mechanism, values = describe(changed(put("front.damper", damper)))
    front = links(mechanism, "front")
    assert [t.name for t in front["spring"].terms] == ["spring"]
    assert [t.name for t in front["damper"].terms] == ["bump_stop", "droop_stop", "gas"]
    assert values["front.right.damper.gas.force"] == 120.0
    assert values["front.right.damper.a"] == pytest.approx([0.05, -0.43, 0.6])


def test_progressive_springs_and_tenders():
    stages = [{"at": "20 mm", "rate": "110 N/mm"}, {"at": "40 mm", "rate": "140 N/mm"}]
    tender = {"tender_rate": "20 N/mm", "tender_travel": "30 mm", "bind": "120 mm", "stages": stages}
    _, values = describe(changed(put("rear.spring", {**table_of()["rear"]["spring"], **tender})))
    path = "rear.spring_left.spring"
    assert values[f"{path}.extra_onset"] == pytest.approx([0.020, 0.040, 0.0])
    assert values[f"{path}.extra_step"] == pytest.approx([68e3, 30e3, 0.0])
    assert (values[f"{path}.tender_rate"], values[f"{path}.bind"]) == (20e3, 0.120)


def test_differentials():
    spool = changed(put("driveline.differential", {"kind": "spool"}))
    assert float(describe(spool)[1]["driveline.preload"]) > 1e5  # N m: more than any axle torque
    opened = describe(changed(put("driveline.differential", {"kind": "open"})))[1]
    assert [opened[f"driveline.{key}"] for key in ("preload", "lock_drive", "lock_coast")] == [0.0, 0.0, 0.0]


def test_magic_formula_coefficients_are_passed_on_as_published():
    """Coefficients of Bakker, Nyborg, Pacejka, SAE 870421 (read in several public copies)."""
    lateral = [-22.1, 1011.0, 1078.0, 1.82, 0.208, 0.0, -0.354, 0.707]
    longitudinal = [-21.3, 1144.0, 49.6, 226.0, 0.069, -0.006, 0.056, 0.486]
    keys = ("pressure", "vertical_rate", "reference_pressure", "vertical_rate_per_pressure")
    casing = {key: table_of()["tyres"]["front"][key] for key in (*keys, "longitudinal_stiffness", "lateral_stiffness")}
    shape = {"lateral_shape": 1.30, "longitudinal_shape": 1.65}
    tyre = {**casing, **shape, "lateral": lateral, "longitudinal": longitudinal}
    mechanism, values = describe(changed(put("tyres", {"law": "magic-1987", "front": tyre, "rear": tyre})))
    assert mechanism.tyre_law == "magic-1987"
    assert values["RR.tyre.lateral"] == pytest.approx(lateral)
    assert values["RR.tyre.longitudinal"] == pytest.approx(longitudinal)
    assert values["LF.tyre.camber"] == pytest.approx([0.0] * 4)


def test_what_is_well_known_is_told_under_the_same_path():
    known, (_, values) = tolerances(load("teasel")), describe(load("teasel"))
    assert known.keys() <= values.keys()
    assert known["chassis.sprung.at"] == pytest.approx([0.005, 0.001, 0.015])
    assert known["front.left.spring.spring.rate"] == pytest.approx(0.03 * 95e3)
    assert known["LF.centre"] == pytest.approx([0.001] * 3)
    assert "aero.drag_area" not in known


def in_inches(value: object) -> object:
    """Every point of a table in inches, 20 in behind another datum, rearward positive."""
    if isinstance(value, dict):
        return {key: in_inches(item) for key, item in value.items()}
    if isinstance(value, list):
        numbers = all(isinstance(item, (int, float)) for item in value)
        if len(value) == 3 and numbers:
            x, y, z = value
            return [-x / 0.0254 - 20.0, y / 0.0254, z / 0.0254]
        return [in_inches(item) for item in value]
    return value


def test_the_description_does_not_depend_on_unit_or_datum():
    table = table_of()
    table["masses"]["sprung"]["at"] = [-1.234, 0.0, 0.497]
    moved = in_inches({key: table[key] for key in ("masses", "ride_heights", "front", "rear", "driveline")})
    assert isinstance(moved, dict)
    points = {"unit": "in", "origin": ["-20 in", "0 in", "0 in"], "x_points": "rearward"}
    _, values = describe(load("teasel"))
    _, other = describe(checked(from_table({**table, **moved, "points": points})))
    assert values.keys() == other.keys()
    for path, value in values.items():
        assert other[path] == pytest.approx(value, rel=ROUNDING, abs=1e-15), path
