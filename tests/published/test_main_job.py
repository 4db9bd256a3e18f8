"""The main job as a whole, over HTTP, against handbook examples and a calculation by hand.

Each expected value is worked here from the published formula or number named beside it; nothing
comes from the code under test.
"""

from __future__ import annotations

import math

import pytest
from flask.testing import FlaskClient

MM = 25.4


def sheet(http: FlaskClient, **keys: object) -> dict[str, object]:
    answer = http.post("/v1/job-sheet", json=keys)
    assert answer.status_code == 200, answer.text
    return dict(answer.json["result"])


def at(record: object, path: str) -> float:
    for step in path.split("."):
        record = record[int(step)] if isinstance(record, list) else record[step]
    assert isinstance(record, (int, float))
    return float(record)


STUD = {
    "unit": "in",
    "designation": "3/4-16 UNF-2A",
    "thread_length": 1.0,
    "material": "D2",
    "hardness": 50,
    "hardness_scale": "HRC",
    "cutter_diameter": 0.375,
    "cutter_teeth": 4,
    "cutter_nose_flat": 0.004,
    "cutter_included_angle_deg": 60,
    "cutter_neck_diameter": 0.27,
    "cutter_neck_length": 1.25,
    "cutter_shank_diameter": 0.375,
    "cutter_stick_out": 1.3,
    "blank_diameter": 0.745,
    "runout": 0,
    "quantity": 12,
    "setup_time_min": 60,
    "load_time_s": 120,
    "first_article_trials": 1,
    "measure_time_s": 120,
    "correction_time_s": 60,
    "measure_every": 5,
    "machine_rate": 60,
    "tool_cost": 0,
    "spindle_start_time_s": 2,
    "spindle_stop_time_s": 2,
}


def test_limits_of_a_stud_by_hand(http: FlaskClient) -> None:
    """3/4-16 UNF-2A by the formulas of ASME B1.1 as the Machinery's Handbook prints them."""
    pitch = 1 / 16
    tolerance_2a = round(
        0.0015 * math.cbrt(0.75) + 0.0015 * math.sqrt(0.75) + 0.015 * math.cbrt(pitch**2), 6
    )
    allowance = round(0.3 * tolerance_2a, 4)
    basic = round(0.75 - 0.64951905 * pitch, 4)
    thread = sheet(http, **STUD)["thread"]
    assert at(thread, "allowance") == allowance
    assert at(thread, "limits.pitch_diameter.max") == pytest.approx(basic - allowance, abs=1e-9)
    assert at(thread, "limits.pitch_diameter.min") == pytest.approx(
        basic - allowance - round(tolerance_2a, 4), abs=1e-9
    )
    assert at(thread, "limits.major_diameter.max") == pytest.approx(0.75 - allowance, abs=1e-9)
    major_tolerance = round(0.06 * math.cbrt(pitch**2), 4)
    assert at(thread, "limits.major_diameter.min") == pytest.approx(
        0.75 - allowance - major_tolerance, abs=1e-9
    )


def test_depth_of_a_stud_by_hand(http: FlaskClient) -> None:
    """The root for a 0.004 in nose: trigonometry of the 60° groove, the helix to second order.

    d_root = d2 - 0.8660254 P + 1.7320508 w for the nose; the swept helix takes off
    3 p² |1/r2 - 1/e| more (p the lead over 2π), which the path gives back; bend and run-out as
    the sheet tells them. The second order is within 0.1 µm here.
    """
    result = sheet(http, **STUD)
    plan, thread = result["plan"], result["thread"]
    pitch, nose = 1 / 16, 0.004
    aim = (at(thread, "limits.pitch_diameter.max") + at(thread, "limits.pitch_diameter.min")) / 2
    nominal = aim - math.sqrt(3) / 2 * pitch + math.sqrt(3) * nose
    centre = nominal / 2 + 0.375 / 2
    lead_over_turn = pitch / (2 * math.pi)
    over_cut = 3 * lead_over_turn**2 * abs(2 / aim - 1 / centre)
    expected = (
        nominal + over_cut + at(plan, "deflection_correction") + at(plan, "runout_correction")
    )
    assert at(plan, "root_diameter") == pytest.approx(expected, abs=1e-5)
    assert at(plan, "over_cut.pitch_diameter") == pytest.approx(-over_cut, abs=5e-6)
    assert at(plan, "expected_pitch_diameter") == pytest.approx(aim, abs=2e-5)
    # The reference's example: the handbook's root (flat P/8) with this nose leaves the pitch
    # diameter large by (P/8 - w) / tan 30° = 0.0066 in.
    handbook_root = aim - 0.64951905 * pitch
    assert handbook_root - nominal == pytest.approx((pitch / 8 - nose) * math.sqrt(3), abs=1e-6)
    assert (pitch / 8 - nose) * math.sqrt(3) == pytest.approx(0.0066, abs=5e-5)


def test_feed_and_time_of_a_stud_by_hand(http: FlaskClient) -> None:
    """Feed at the centre is the edge's by e/Rf; a pass is its path over the feed."""
    plan = sheet(http, **STUD)["plan"]
    for number, each in enumerate(plan["passes"]):
        root, centre = at(each, "root_diameter") / 2, at(each, "cutter_centre_radius")
        assert centre == pytest.approx(root + 0.375 / 2, abs=2e-6)
        assert at(each, "feed_centre") == pytest.approx(
            at(each, "feed_edge") * centre / root, rel=1e-4
        )
        edge = at(each, "spindle_speed") * 4 * at(each, "feed_per_tooth")
        assert at(each, "feed_edge") == pytest.approx(edge, rel=2e-3), number
        seconds = 60 * at(each, "path_length") / at(each, "feed_centre")
        assert at(each, "cutting_time_s") == pytest.approx(seconds, rel=2e-3)
    path = plan["path"]
    turn = math.hypot(2 * math.pi * at(path, "cutter_centre_radius"), 1 / 16)
    assert at(path, "helix_length") == pytest.approx(at(path, "turns") * turn, abs=1e-4)
    assert path["travel"] == "clockwise"
    assert path["axial"] == "down"


def test_lot_of_studs_by_hand(http: FlaskClient) -> None:
    """Twelve parts, one trial cut, the first part and every fifth measured: plain sums."""
    result = sheet(http, **STUD)
    time = result["time"]
    cycle_s = at(time, "part.cutting_time_s") + at(time, "part.rapid_time_s") + 2 + 2
    assert at(time, "part.time_s") == pytest.approx(cycle_s + 120, abs=0.01)
    # One trial cut before the first part, measured and corrected.
    first_article_s = at(time, "part.trial_time_s") + 120 + 60
    measured = 3  # parts 1, 6, 11
    lot_s = 60 * 60 + first_article_s + 12 * (cycle_s + 120) + measured * 120
    assert at(time, "lot.measured") == measured
    assert at(time, "lot.time_min") == pytest.approx(lot_s / 60, rel=1e-4)
    assert at(time, "lot.cost") == pytest.approx(lot_s / 3600 * 60, rel=1e-4)


@pytest.mark.parametrize(
    ("designation", "wire", "over_wires", "best"),
    [
        # A college's worked example, 3/4-10 with basic pitch diameter 0.6850 (Amarillo College,
        # "Thread Calculations"): best wire 0.0577, 0.7716 over three of them. It leaves out the
        # lead correction, 0.0001 in here.
        ("3/4-10 UNC-3A", 0.0577, 0.7716, 0.0577),
        # Machinery's Handbook wire table, as quoted in a course handbook: 1-8 over 0.0900.
        ("1-8 UNC-3A", 0.09, 1.0806, 0.0722),
        # A shop textbook's 7/16-14 over 0.045: 0.464; best wire 0.041.
        ("7/16-14 UNC-3A", 0.045, 0.4643, 0.0412),
    ],
)
def test_wires_against_worked_examples(
    designation: str, wire: float, over_wires: float, best: float, http: FlaskClient
) -> None:
    """Class 3A has no allowance, so its largest pitch diameter is the basic one of the examples."""
    result = sheet(
        http,
        **{
            **STUD,
            "designation": designation,
            "wire_diameter": wire,
            "blank_diameter": nominal_diameter(designation) - 0.004,
            "cutter_diameter": 0.375,
            "cutter_neck_diameter": 0.17,
            "cutter_nose_flat": 0.003,
        },
    )
    wires = result["wires"]
    printed = at(wires, "reading.max") - at(wires, "lead_correction")
    # Half a unit of the printed digits, and half a unit of the table's rounded pitch diameter,
    # from which the examples do not start.
    assert printed == pytest.approx(over_wires, abs=0.00011)
    assert at(wires, "best_wire_diameter") == pytest.approx(best, abs=1e-4)


def nominal_diameter(designation: str) -> float:
    """Nominal diameter of the three examples, in inches."""
    return {"3/4-10 UNC-3A": 0.75, "1-8 UNC-3A": 1.0, "7/16-14 UNC-3A": 0.4375}[designation]
