"""Cutting data over HTTP: what a call-out completes, what has no part, what cannot be.

Expected values are worked out here from definitions, or are common practice where it says so.
"""

from __future__ import annotations

import re
from math import acos, pi, sin
from typing import Any

import pytest
from flask.testing import FlaskClient

SIDE: dict[str, Any] = {
    "unit": "mm",
    "process": "side-milling",
    "material": "304",
    "cutter_diameter": 10,
    "cutter_teeth": 4,
    "radial_width": 1,
    "axial_depth": 10,
}
DRILL: dict[str, Any] = {
    "unit": "mm",
    "process": "drilling",
    "material": "304",
    "cutter_diameter": 8.5,
    "cutter_teeth": 2,
}
TAP: dict[str, Any] = {
    "unit": "mm",
    "process": "tapping",
    "material": "304",
    "cutter_material": "high-speed-steel",
    "cutter_diameter": 10,
    "cutter_teeth": 3,
    "designation": "M10-6H",
}
MILLED: dict[str, Any] = {
    "unit": "mm",
    "process": "thread-milling",
    "material": "42CrMo4",
    "hardness": 30,
    "hardness_scale": "HRC",
    "cutter_diameter": 12,
    "cutter_teeth": 4,
    "designation": "M30x2-6H",
}


def told(http: FlaskClient, request: dict[str, Any]) -> dict[str, Any]:
    answer = http.post("/v1/cutting-data", json=request)
    assert answer.status_code == 200, answer.text
    return dict(answer.json or {})


def fault(http: FlaskClient, request: dict[str, Any]) -> dict[str, Any]:
    answer = http.post("/v1/cutting-data", json=request)
    assert answer.status_code == 422, answer.text
    (found,) = answer.json["errors"]
    assert found["detail"]
    assert found["accepted"]
    return dict(found)


def codes(answer: dict[str, Any]) -> list[str]:
    return [caution["code"] for caution in answer["cautions"]]


def assumed(answer: dict[str, Any]) -> dict[str, Any]:
    return {each["parameter"]: each["value"] for each in answer["assumed"]}


def test_three_inches_a_minute_is_about_three_ten_thousandths_a_tooth(http: FlaskClient) -> None:
    """Common practice: 1,655 rev/min, 6 teeth, 3 in/min; twice the feed, twice the chip."""
    request = {
        "unit": "in",
        "process": "side-milling",
        "material": "4140",
        "hardness": 50,
        "hardness_scale": "HRC",
        "cutter_diameter": 0.75,
        "cutter_teeth": 6,
        "radial_width": 0.0225,
        "axial_depth": 0.5,
        "spindle_speed": 1655,
        "feed_rate": 3,
    }
    one = told(http, request)["result"]
    two = told(http, {**request, "feed_rate": 6})["result"]
    assert round(one["feed_per_tooth"], 4) == 0.0003
    assert one["surface_speed"] == pytest.approx(pi * 0.75 / 12 * 1655, abs=0.01)
    arc = acos(1 - 2 * 0.03)
    assert two["chip_thickness_max"] == pytest.approx(6 / 1655 / 6 * sin(arc), abs=1e-6)
    assert two["tool_life_min"] < one["tool_life_min"]


def test_the_feed_on_the_circle_is_told_beside_that_of_the_centre(http: FlaskClient) -> None:
    """Common practice: 3 in/min at 1,655 rev/min and 6 teeth is 0.0003 in a tooth at the centre.

    Round a thread the centre goes on a circle larger by the cutter: the edge gets the less.
    """
    root, cutter = 0.4887, 0.37
    request = {
        "unit": "in",
        "process": "thread-milling",
        "designation": "9/16-20 UN-2A",
        "material": "4140",
        "hardness": 50,
        "hardness_scale": "HRC",
        "cutter_diameter": cutter,
        "cutter_teeth": 6,
        "cutter_nose_flat": 0.003,
        "made_diameter": root,
        "profile_depth": 0.0359,
        "radial_width": 0.01,
        "spindle_speed": 1655,
        "feed_rate": 3,
        "feed_rate_max": 2,
    }
    answer = told(http, request)
    at_centre = 3 / 1655 / 6
    at_edge = at_centre * root / (root + cutter)
    assert answer["result"]["feed_per_tooth"] == pytest.approx(at_edge, abs=1e-6)
    detail = {each["code"]: each["detail"] for each in answer["cautions"]}
    numbers = [
        float(n) for n in re.findall(r"([0-9.]+) in a tooth", detail["feed-differs-at-the-edge"])
    ]
    assert numbers == pytest.approx([at_centre, at_edge], rel=0.01)
    # An inch request is answered in inches, feeds too.
    assert (
        "of 3 in/min is more than the machine's limit of 2 in/min" in detail["beyond-the-machine"]
    )
    assert not re.search(r"\bmm?\b", " ".join(detail.values()))
    along = told(http, {**SIDE, "unit": "mm", "spindle_speed": 1655, "feed_rate": 80})
    assert "feed-differs-at-the-edge" not in codes(along)


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_a_call_out_completes_a_milled_thread(http: FlaskClient, unit: str) -> None:
    """Basic profile of ISO 68-1: depth 5/8 H, flanks at 60 degrees, made to the major diameter."""
    length = 1 if unit == "mm" else 25.4
    answer = told(http, {**MILLED, "unit": unit, "cutter_diameter": 12 / length})
    taken = assumed(answer)
    depth = 5 / 8 * 3**0.5 / 2 * 2
    assert taken["cutter_included_angle_deg"] == 60
    assert taken["made_diameter"] == pytest.approx(30 / length, abs=1e-4)
    assert taken["profile_depth"] == pytest.approx(depth / length, abs=1e-4)
    assert taken["radial_width"] == pytest.approx(depth / length, abs=1e-4)
    # Inside, the centre goes round on 30 - 12 while the edge makes 30.
    result = answer["result"]
    assert result["feed_centre"] == pytest.approx(result["feed_edge"] * (30 - 12) / 30, rel=1e-4)


def test_what_is_given_beside_a_call_out_stays(http: FlaskClient) -> None:
    taken = assumed(
        told(http, {**MILLED, "made_diameter": 30.1, "profile_depth": 1.2, "radial_width": 0.2})
    )
    assert not {"made_diameter", "profile_depth", "radial_width"} & taken.keys()


def test_a_diameter_that_the_thread_cannot_have_is_refused(http: FlaskClient) -> None:
    found = fault(http, {**MILLED, "made_diameter": 300})
    assert (found["parameter"], found["code"]) == ("made_diameter", "infeasible")
    assert "30 mm inside" in found["accepted"]


def test_a_trapezoidal_thread_is_turned_with_its_own_angle(http: FlaskClient) -> None:
    """ISO 2901: 30 degrees. 6 mm a turn at that speed wants room to run up and out."""
    answer = told(
        http,
        {
            "unit": "mm",
            "process": "single-point-threading",
            "material": "12L14",
            "cutter_diameter": 32,
            "cutter_teeth": 1,
            "designation": "Tr32x6-7e",
            "radial_width": 0.15,
            "profile_depth": 3.5,
        },
    )
    assert assumed(answer)["cutter_included_angle_deg"] == 30
    result = answer["result"]
    assert result["feed_centre"] == pytest.approx(6 * result["spindle_speed"], rel=1e-4)
    assert result["feed_centre"] > 3000
    assert "runs-along-fast" in codes(answer)


@pytest.mark.parametrize(
    ("request_", "extra", "key"),
    [
        (DRILL, {"radial_width": 1}, "radial_width"),
        (DRILL, {"profile_depth": 1, "made_diameter": 9}, "made_diameter"),
        (SIDE, {"chamfer_threads": 3}, "chamfer_threads"),
        (SIDE, {"cutter_nose_flat": 0.1}, "cutter_nose_flat"),
        (SIDE, {"hardness_scale": "HB"}, "hardness_scale"),
        (TAP, {"feed_per_tooth": 0.1}, "feed_per_tooth"),
        (TAP, {"deflection_limit": 0.01}, "deflection_limit"),
    ],
)
def test_what_a_process_makes_nothing_of_is_said(
    http: FlaskClient, request_: dict[str, Any], extra: dict[str, Any], key: str
) -> None:
    plain, more = told(http, request_), told(http, {**request_, **extra})
    assert "no-effect" not in codes(plain)
    (sentence,) = [each["detail"] for each in more["cautions"] if each["code"] == "no-effect"]
    assert key in sentence
    assert more["result"] == plain["result"]


def test_a_bending_that_cannot_be_told_is_not_kept_in_silence(http: FlaskClient) -> None:
    found = fault(http, {**SIDE, "deflection_limit": 0.01})
    assert found["parameter"] == "cutter_stick_out"
    kept = told(http, {**SIDE, "deflection_limit": 0.02, "cutter_stick_out": 40})["result"]
    assert kept["deflection"] == pytest.approx(0.02, abs=1e-5)
    assert kept["limited_by"] == "deflection"


def test_a_tap_cuts_no_outside_thread(http: FlaskClient) -> None:
    found = fault(http, {**TAP, "designation": "M10-6g"})
    assert (found["parameter"], found["value"]) == ("process", "tapping")


def test_a_missing_angle_is_asked_for_as_an_angle(http: FlaskClient) -> None:
    found = fault(http, {**SIDE, "process": "chamfering"})
    assert found["parameter"] == "cutter_included_angle_deg"
    assert found["accepted"] == "an angle in degrees"


def test_the_coolant_behind_the_life_is_said(http: FlaskClient) -> None:
    """Common practice: hard steel with air, the rest flooded."""
    assert assumed(told(http, SIDE))["coolant"] == "flood"
    hard = {**SIDE, "material": "D2", "hardness": 60, "hardness_scale": "HRC", "radial_width": 0.3}
    assert assumed(told(http, hard))["coolant"] == "air"
    assert "coolant" not in assumed(told(http, {**hard, "coolant": "dry"}))


@pytest.mark.parametrize(
    ("material", "hardness", "scale"),
    [
        ("Ti-6Al-4V", 36, "HRC"),
        ("alloy 718", 42, "HRC"),
        ("304", 90, "HRB"),
        ("GG25", 220, "HV"),
        ("6061-T6", 107, "HV"),
        ("brass", 75, "HRB"),
        ("D2", 81, "HRA"),
        ("4140", 150, "Rm-ksi"),
    ],
)
def test_a_hardness_is_taken_on_every_scale(
    http: FlaskClient, material: str, hardness: float, scale: str
) -> None:
    request = {**SIDE, "material": material, "hardness": hardness, "hardness_scale": scale}
    assert told(http, request)["result"]["surface_speed"] > 0


@pytest.mark.parametrize(
    ("spelt", "scale", "value"),
    [("HRc", "HRC", 42), ("Rc", "HRC", 42), ("hrc", "HRC", 42), ("BHN", "HB", 390)],
)
def test_a_scale_may_be_spelt_as_shops_do(
    spelt: str, scale: str, value: float, http: FlaskClient
) -> None:
    keys = {
        "unit": "mm", "process": "side-milling", "material": "42CrMo4", "hardness": value,
        "cutter_diameter": 12, "cutter_teeth": 6, "radial_width": 0.3, "axial_depth": 10,
    }  # fmt: skip
    one, two = (
        http.post("/v1/cutting-data", json={**keys, "hardness_scale": each}).json["result"]
        for each in (spelt, scale)
    )
    assert one == two
