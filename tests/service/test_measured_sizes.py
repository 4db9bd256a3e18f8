"""Sizes that a caller has measured, over HTTP: implausible ones are refused, defaults are told."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient


def answer(http: FlaskClient, path: str, **keys: Any) -> tuple[int, dict[str, Any]]:
    told = http.post(f"/v1/{path}", json=keys)
    body: Any = told.json
    return told.status_code, body


@pytest.mark.parametrize(
    ("path", "key", "value", "unit", "says"),
    [
        ("wire-measurement", "measured", 102.285, "mm", "102.285 mm is not a reading"),
        ("wire-measurement", "measured", 10.2285, "in", "it may be mm given as inches"),
        ("wire-measurement", "measured", 0.4027, "mm", "it may be inches given as mm"),
        ("thread-limits", "measured_pitch_diameter", 89.3, "mm", "not a pitch diameter"),
        ("thread-limits", "measured_pitch_diameter", 8.93, "in", "it may be mm given as inches"),
        ("size-correction", "measured", [0.3528], "mm", "it may be inches given as mm"),
        ("size-correction", "measured", [10.262], "mm", "a reading over wires must say so"),
    ],
)
def test_what_the_thread_cannot_have_is_refused(
    http: FlaskClient, path: str, key: str, value: Any, unit: str, says: str
) -> None:
    """M10x1.5-6g: 8.862 to 8.994 mm, 10.163 to 10.295 mm over its best wire (derivation)."""
    status, told = answer(http, path, designation="M10x1.5-6g", unit=unit, **{key: value})
    assert status == 422
    (error,) = told["errors"]
    assert error["parameter"] == key
    assert says in error["detail"]
    assert unit in error["accepted"]


def test_the_error_of_one_flank_is_taken_for_both_and_told(http: FlaskClient) -> None:
    keys = {"designation": "M10x1.5-6g", "unit": "mm", "measured_pitch_diameter": 8.93}
    _, one = answer(http, "thread-limits", flank_angle_error_deg=-0.25, **keys)
    _, both = answer(
        http,
        "thread-limits",
        flank_angle_error_deg=-0.25,
        clearance_flank_angle_error_deg=-0.25,
        **keys,
    )
    assert one["result"]["functional_size"] == both["result"]["functional_size"]
    assumed = {each["parameter"]: each["value"] for each in one["assumed"]}
    assert assumed["clearance_flank_angle_error_deg"] == -0.25
    assert "clearance_flank_angle_error_deg" not in {e["parameter"] for e in both["assumed"]}


def test_a_small_length_in_a_sentence_has_no_exponent(http: FlaskClient) -> None:
    # By hand: four times 0.0004 in on the pitch diameter, less the allowance of 0.0015 in.
    answer = http.get(
        "/v1/thread-limits?designation=3/4-16+UNF-2A&unit=in&coating_thickness=0.0004"
    )
    told = {each["code"]: each["detail"] for each in answer.json["cautions"]}
    assert "passes the basic size by 0.0001 in:" in told["coating-too-thick"]


def test_a_limit_in_a_sentence_is_told_as_closely_as_in_the_answer(http: FlaskClient) -> None:
    # 1.3212 and 1.3288 in: told as 1.321 and 1.329, the second would be outside the gauges.
    answer = http.get("/v1/gauge-limits?designation=1+3/8-12+UNF-2B").json
    zone = answer["result"]["accepted_pitch_diameter"]
    told = {each["code"]: each["detail"] for each in answer["cautions"]}["gauge-zone"]
    assert f"from {zone['min']} in to {zone['max']} in;" in told
