"""A thread that is coated or hardened afterwards is planned, read, corrected by what is cut.

By hand: a coating of thickness t moves the pitch diameter of a 60 degree thread by 4 t, crests and
roots by 2 t (the trade's rule, a plating article and by geometry 2/sin 30°). 3/4-16 UNF-2A has
0.7079 to 0.7029 in and 0.7485 to 0.7391 in (ASME B1.1).
"""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

THREAD = {"designation": "3/4-16 UNF-2A", "unit": "in"}
COATED = {**THREAD, "coating_thickness": 0.0003, "coating_thickness_min": 0.0002}
PITCH = {"max": 0.7079 - 4 * 0.0003, "min": 0.7029 - 4 * 0.0002}
MAJOR = {"max": 0.7485 - 2 * 0.0003, "min": 0.7391 - 2 * 0.0002}
WORK = {
    "thread_length": 1,
    "material": "42CrMo4",
    "hardness": 300,
    "hardness_scale": "HB",
    "cutter_nose_flat": 0.004,
}
MILLED = {**WORK, "cutter_diameter": 0.375, "cutter_teeth": 4}
ASKED: dict[str, dict[str, Any]] = {
    "pass-plan": MILLED,
    "turning-plan": WORK,
    "job-sheet": {**MILLED, "quantity": 4},
    "wire-measurement": {},
    "gauge-limits": {},
    "size-correction": {"measured": [0.705]},
}


def answered(http: FlaskClient, operation: str, keys: dict[str, Any]) -> dict[str, Any]:
    answer = http.post(f"/v1/{operation}", json=keys)
    assert answer.status_code == 200, answer.text
    return dict(answer.json or {})


def thread_of(answer: dict[str, Any]) -> dict[str, Any]:
    return dict(answer.get("thread") or answer["result"]["thread"])


@pytest.mark.parametrize("operation", ASKED)
def test_limits_are_those_before_the_coating(operation: str, http: FlaskClient) -> None:
    answer = answered(http, operation, {**COATED, **ASKED[operation]})
    thread = thread_of(answer)
    assert thread["state"] == "before-coating"
    assert thread["limits"]["pitch_diameter"] == pytest.approx(PITCH)
    assert thread["limits"]["major_diameter"] == pytest.approx(MAJOR)
    (told,) = [each for each in answer["cautions"] if each["code"] == "cut-before-treatment"]
    assert "from 0.7029 in to 0.7079 in" in told["detail"]
    plain = thread_of(answered(http, operation, {**THREAD, **ASKED[operation]}))
    assert plain["state"] == "finished"
    assert plain["limits"]["pitch_diameter"] == {"max": 0.7079, "min": 0.7029}


def test_the_plan_aims_at_the_middle_of_what_is_left(http: FlaskClient) -> None:
    plan = answered(http, "pass-plan", {**COATED, **MILLED})["result"]
    assert plan["pitch_diameter_aim"] == pytest.approx((PITCH["max"] + PITCH["min"]) / 2)
    assert plan["blank_diameter"] == pytest.approx((MAJOR["max"] + MAJOR["min"]) / 2)
    finished = answered(http, "pass-plan", {**THREAD, **MILLED})["result"]
    # A coating of 0.00025 in on average: the tip goes in by 2 times that, as 4 t/2 on the radius.
    assert finished["root_diameter"] - plan["root_diameter"] == pytest.approx(0.001, abs=2e-5)


def test_one_sheet_says_all_of_the_part_that_is_cut(http: FlaskClient) -> None:
    keys = {**COATED, **ASKED["job-sheet"]}
    sheet = answered(http, "job-sheet", keys)["result"]
    reading = answered(http, "wire-measurement", COATED)["result"]["reading"]
    assert sheet["wires"]["reading"] == reading
    assert sheet["gauges"]["go"]["pitch_diameter"]["nominal"] == pytest.approx(PITCH["max"])
    page = http.post("/v1/job-sheet?format=html", json=keys).text
    assert "Limits before coating, from ASME B1.1" in page


def test_verdict_of_a_reading_is_by_the_part_that_is_cut(http: FlaskClient) -> None:
    """0.7075 in is inside the finished limits, and too large before a coating."""
    wire = answered(http, "wire-measurement", {**THREAD, "measured": 0.7609})["result"]
    over = {"measured": 0.7609, "wire_diameter": wire["wire_diameter"]}
    before = answered(http, "wire-measurement", {**COATED, **over})["result"]
    assert PITCH["max"] < before["pitch_diameter"] < 0.7079
    assert (wire["verdict"], before["verdict"]) == ("accept", "reject")


def test_hardening_after_cutting_and_both(http: FlaskClient) -> None:
    """M10-6g grown by 0.02 to 0.04 %; then coated: the coating is taken back first."""
    grown = {
        "designation": "M10-6g", "unit": "mm", "length_of_engagement": 10,
        "growth_min": 0.0002, "growth_max": 0.0004,
    }  # fmt: skip
    own = answered(http, "thread-limits", grown)["result"]["before_heat_treatment"]
    thread = thread_of(answered(http, "wire-measurement", grown))
    assert thread["state"] == "before-hardening"
    for name in ("pitch_diameter", "major_diameter"):
        assert thread["limits"][name] == pytest.approx({k: own[name][k] for k in ("max", "min")})
    both = thread_of(answered(http, "wire-measurement", {**grown, "coating_thickness": 0.008}))
    assert both["state"] == "before-hardening-and-coating"
    largest = thread["limits"]["major_diameter"]["max"] - 2 * 0.008 / 1.0004
    assert both["limits"]["major_diameter"]["max"] == pytest.approx(largest, abs=1.1e-5)


@pytest.mark.parametrize(
    ("keys", "parameter"),
    [
        ({"coating_thickness_min": 0.0002}, "coating_thickness"),
        ({"growth_min": 0.0002}, "growth_max"),
        ({"coating_thickness": 0.0002, "coating_thickness_min": 0.0003}, "coating_thickness_min"),
        ({"coating_thickness": 0.002, "coating_thickness_min": 0.0}, "coating_thickness"),
    ],
)
def test_a_treatment_that_cannot_be_is_refused_by_name(
    keys: dict[str, float], parameter: str, http: FlaskClient
) -> None:
    answer = http.post("/v1/pass-plan", json={**THREAD, **MILLED, **keys})
    assert answer.status_code == 422, answer.text
    assert (answer.json or {})["errors"][0]["parameter"] == parameter
