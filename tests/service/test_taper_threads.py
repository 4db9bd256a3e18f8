"""Taper threads through the service: planned, turned, on the job sheet, in both units.

Sizes: ASME B1.20.1, Table 2 for 1-11.5 NPT (E1 1.23863 in, L1 0.400 in); ISO 7-1 for R 1 (gauge
length 10.4 mm). The taper is 1 in 16 on the diameter in both.
"""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

PIPE = {
    "unit": "in",
    "designation": "1-11.5 NPT",
    "side": "external",
    "thread_length": 0.7,
    "material": "42CrMo4",
    "hardness": 300,
    "hardness_scale": "HB",
    "cutter_diameter": 0.5,
    "cutter_teeth": 4,
    "cutter_nose_flat": 0.003,
}
SOCKET = {**PIPE, "side": "internal", "cutter_diameter": 0.4}
TURNED = {
    key: value for key, value in PIPE.items() if key not in ("cutter_diameter", "cutter_teeth")
}


def answered(http: FlaskClient, operation: str, keys: dict[str, Any]) -> dict[str, Any]:
    answer = http.post(f"/v1/{operation}", json=keys)
    assert answer.status_code == 200, answer.text
    return dict(answer.json or {})


def told(answer: dict[str, Any], code: str) -> str:
    (detail,) = [each["detail"] for each in answer["cautions"] if each["code"] == code]
    return str(detail)


def test_outside_the_plane_is_the_gauge_plane_and_the_radius_grows_inwards(
    http: FlaskClient,
) -> None:
    answer = answered(http, "pass-plan", PIPE)
    plan = answer["result"]
    assert plan["plane_height"] == -0.4
    assert plan["pitch_diameter_aim"] == 1.23863
    path = plan["path"]
    rise = path["start_height"] - path["end_height"]
    assert path["end_radius"] - path["start_radius"] == pytest.approx(rise / 32, abs=2e-6)
    at_plane = path["start_radius"] + (path["start_height"] + 0.4) / 32
    assert at_plane == pytest.approx(path["cutter_centre_radius"], abs=2e-6)
    assert "grows by 0.002717 in a turn" in told(answer, "taper-path")  # 1/11.5/32
    assert "0.4 in below the face" in told(answer, "taper-blank")
    assert "0.0125 in deeper" in told(answer, "taper-blank")  # 0.4/32


def test_inside_the_plane_is_the_face(http: FlaskClient) -> None:
    answer = answered(http, "pass-plan", SOCKET)
    plan = answer["result"]
    assert plan["plane_height"] == 0
    high, low = sorted(
        zip(
            (plan["path"]["start_height"], plan["path"]["end_height"]),
            (plan["path"]["start_radius"], plan["path"]["end_radius"]),
            strict=True,
        ),
        reverse=True,
    )
    assert high[1] - low[1] == pytest.approx((high[0] - low[0]) / 32, abs=2e-6)
    assert "at the face" in told(answer, "taper-blank")


def test_millimetres_and_inches_are_the_same_plan(http: FlaskClient) -> None:
    metric = {
        **PIPE,
        "unit": "mm",
        "thread_length": 0.7 * 25.4,
        "cutter_diameter": 0.5 * 25.4,
        "cutter_nose_flat": 0.003 * 25.4,
    }
    inch = answered(http, "pass-plan", PIPE)["result"]
    mm = answered(http, "pass-plan", metric)["result"]
    for key in ("plane_height", "root_diameter", "cutter_centre_radius"):
        assert mm[key] == pytest.approx(25.4 * inch[key], abs=3e-5)
    start = inch["path"]["start_radius"]
    assert mm["path"]["start_radius"] == pytest.approx(25.4 * start, abs=3e-5)
    assert mm["cutting_time_s"] == pytest.approx(inch["cutting_time_s"], rel=1e-5)


def test_left_hand_goes_the_same_cone_the_other_way(http: FlaskClient) -> None:
    right = answered(http, "pass-plan", PIPE)["result"]["path"]
    left = answered(http, "pass-plan", {**PIPE, "hand": "left"})["result"]["path"]
    assert left["start_radius"] == right["end_radius"]
    assert left["start_height"] == right["end_height"]
    assert left["travel"] == right["travel"]
    assert left["axial"] != right["axial"]


def test_a_full_length_cutter_is_refused(http: FlaskClient) -> None:
    answer = http.post("/v1/pass-plan", json={**PIPE, "cutter_profile": "full"})
    assert answer.status_code == 422
    (fault,) = (answer.json or {})["errors"]
    assert (fault["parameter"], fault["value"]) == ("cutter_profile", "full")
    assert "single" in fault["accepted"]


def test_a_parallel_thread_has_no_plane(http: FlaskClient) -> None:
    plan = answered(http, "pass-plan", {**PIPE, "designation": "1-12 UNF-2A"})["result"]
    assert plan["plane_height"] is None
    path = plan["path"]
    assert path["start_radius"] == path["end_radius"] == path["cutter_centre_radius"]


def test_the_job_sheet_tells_plane_and_radii(http: FlaskClient) -> None:
    lot = {**PIPE, "quantity_right": 3, "quantity_left": 3}
    sheet = answered(http, "job-sheet", lot)["result"]
    assert sheet["plan"]["plane_height"] == -0.4
    assert sheet["other_hand"]["path"]["start_radius"] == sheet["plan"]["path"]["end_radius"]
    page = http.post("/v1/job-sheet?format=html", json=lot).text
    radii = "{start_radius:.6g} to {end_radius:.6g}".format(**sheet["plan"]["path"])
    assert "diameters hold at z</th><td>-0.4</td>" in page
    assert radii in page


def test_parts_of_an_inside_job_sheet_that_a_taper_thread_lacks_are_said(http: FlaskClient) -> None:
    sheet = answered(http, "job-sheet", {**SOCKET, "quantity": 4})
    assert sheet["result"]["hole"] is None
    for what in ("no-hole", "no-wires", "no-gauges"):
        assert told(sheet, what)


def test_a_turned_taper_says_where_its_diameters_hold(http: FlaskClient) -> None:
    answer = answered(http, "turning-plan", TURNED)
    detail = told(answer, "taper-turned")
    assert "0.4 in below the face" in detail
    assert "grows by 0.0625 of the way" in detail
    inside = answered(http, "turning-plan", {**TURNED, "side": "internal"})
    assert "shrinks by 0.0625" in told(inside, "taper-turned")


def test_metric_taper_thread_by_its_gauge_length(http: FlaskClient) -> None:
    keys = {**PIPE, "unit": "mm", "designation": "R 1", "thread_length": 17, "cutter_diameter": 12}
    keys |= {"cutter_nose_flat": 0.1, "cutter_included_angle_deg": 55}
    del keys["side"]
    assert answered(http, "pass-plan", keys)["result"]["plane_height"] == -10.4


@pytest.mark.parametrize("operation", ["pass-plan", "turning-plan"])
def test_a_length_that_no_taper_thread_has_is_refused(operation: str, http: FlaskClient) -> None:
    """L4 of 1-11.5 NPT is 0.9845 in (ASME B1.20.1, Table 2)."""
    keys = PIPE if operation == "pass-plan" else TURNED
    answer = http.post(f"/v1/{operation}", json={**keys, "thread_length": 7})
    assert answer.status_code == 422, answer.text
    (fault,) = (answer.json or {})["errors"]
    assert (fault["parameter"], fault["value"]) == ("thread_length", 7)
    assert fault["accepted"].startswith("up to 2.953")
    long = answered(http, operation, {**keys, "thread_length": 1.2})
    assert "has 0.9845 in in all" in told(long, "taper-long")


def test_a_lead_in_beyond_the_point_of_the_cone_is_refused(http: FlaskClient) -> None:
    """1.24 in less 1/16 of the way: nothing is left 20 in above the face."""
    answer = http.post("/v1/pass-plan", json={**PIPE, "lead_in": 20})
    assert answer.status_code == 422
    assert (answer.json or {})["errors"][0]["parameter"] == "lead_in"


def test_a_crest_that_the_blank_does_not_reach_is_not_missed(http: FlaskClient) -> None:
    """The largest major diameter is nearly sharp; the blank in the middle of its limits is not."""
    plan = answered(http, "pass-plan", {**PIPE, "coating_thickness": 0.001})
    assert plan["result"]["failings"] == []
    assert "crest-cut-away" not in {each["code"] for each in plan["cautions"]}
