"""Size correction, thread hole and hardness over HTTP: what their callers rely on."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient


def result(http: FlaskClient, path: str, **keys: Any) -> dict[str, Any]:
    answer = http.post(f"/v1/{path}", json=keys)
    assert answer.status_code == 200, answer.text
    told: Any = answer.json
    return dict(told["result"])


def refused(http: FlaskClient, path: str, parameter: str, **keys: Any) -> None:
    answer = http.post(f"/v1/{path}", json=keys)
    assert answer.status_code == 422, answer.text
    problem: Any = answer.json
    errors = problem["errors"]
    assert [each["parameter"] for each in errors] == [parameter], errors
    assert errors[0]["accepted"]


def test_a_reading_over_wires_outside(http: FlaskClient) -> None:
    # Derived by hand: M10x1.5-6g, wire 0.866; the target reads 10.2287 at the middle, 8.928.
    found = result(
        http,
        "size-correction",
        designation="M10x1.5-6g",
        unit="mm",
        measured=[10.262],
        method="three-wire",
        wire_diameter=0.866,
        uncertainty=0.005,
    )
    assert found["readings"]["target"] == pytest.approx(10.2287, abs=2e-4)
    assert found["excess"] == pytest.approx(0.0333, abs=2e-4)
    assert found["radius_correction"] == pytest.approx(-0.0167, abs=1e-4)
    assert found["verdict"] == "accept"
    assert found["parts"][0]["zone"] == "yellow-high"


def test_a_reading_between_balls_inside(http: FlaskClient) -> None:
    # Derived by hand: M10x1.5-6H, ball 0.866; centres 8.6812 wanted, 8.655 read.
    found = result(
        http,
        "size-correction",
        designation="M10x1.5-6H",
        unit="mm",
        measured=[8.655],
        wire_diameter=0.866,
    )
    assert found["readings"]["target"] == pytest.approx(8.6812, abs=1e-4)
    assert found["radius_correction"] == pytest.approx(-0.0131, abs=1e-4)


def test_one_value_for_a_cell(http: FlaskClient) -> None:
    keys = "designation=M10x1.5-6g&unit=mm&measured=8.9612"
    answer = http.get(f"/v1/size-correction?{keys}&field=radius_correction")
    assert answer.status_code == 200
    assert float(answer.text) == pytest.approx(-0.0166, abs=1e-6)
    answer = http.get("/v1/hardness?value=40&scale=HRC&to=HB&field=value")
    assert float(answer.text) == 371  # ASTM E140, table 1
    answer = http.get(
        "/v1/thread-hole?designation=1/4-20 UNC-2B&unit=in&hole_diameter=0.201"
        "&field=thread_percentage_3h4"
    )
    assert float(answer.text) == pytest.approx(75.44, abs=0.01)


def test_inch_and_millimetre_answers_agree(http: FlaskClient) -> None:
    inch = result(
        http,
        "size-correction",
        designation="3/4-16 UNF-2A",
        unit="in",
        measured=[0.7068, 0.7064],
        corrections=[0, -0.0002],
    )
    metric = result(
        http,
        "size-correction",
        designation="3/4-16 UNF-2A",
        unit="mm",
        measured=[0.7068 * 25.4, 0.7064 * 25.4],
        corrections=[0, -0.0002 * 25.4],
    )
    for key in ("excess", "radius_correction", "expected_pitch_diameter"):
        assert inch[key] * 25.4 == pytest.approx(metric[key], abs=3e-5), key


def test_gauges_alone(http: FlaskClient) -> None:
    found = result(http, "size-correction", designation="M10x1.5-6g", gauge_go="refuses")
    # 6g of M10 has 132 µm; a quarter of it on the pitch diameter is an eighth on the radius.
    assert found["radius_correction_now"] == pytest.approx(-0.0165)
    assert found["pitch_diameter"] == []
    assert found["procedure"]


@pytest.mark.parametrize(
    ("parameter", "keys"),
    [
        ("measured", {}),
        ("gauge_not_go", {"gauge_go": "passes"}),
        ("uncertainty", {"gauge_go": "refuses", "uncertainty": 0.004}),
        ("wire_diameter", {"gauge_go": "refuses", "wire_diameter": 0.866}),
        ("gauge_not_go", {"measured": [8.93], "gauge_not_go": "refuses"}),
        ("wire_diameter", {"measured": [10.262], "method": "three-wire"}),
        (
            "wire_diameter",
            {"measured": [8.93], "method": "pitch-diameter", "wire_diameter": 0.866},
        ),
        ("ball_line", {"measured": [8.93], "ball_line": "square"}),
        ("measured", {"measured": [10.262]}),
        ("measured", {"measured": [12.0], "wire_diameter": 0.866}),
        ("corrections", {"measured": [8.93, 8.94], "corrections": [0]}),
        ("part_numbers", {"measured": [8.93, 8.94], "part_numbers": [2, 1]}),
        ("pitch_diameter_aim", {"measured": [8.9], "pitch_diameter_aim": 0.5, "wear_start": True}),
        ("uncertainty", {"measured": [8.93], "uncertainty": 0.07}),
    ],
)
def test_size_correction_refuses(http: FlaskClient, parameter: str, keys: dict[str, Any]) -> None:
    refused(http, "size-correction", parameter, designation="M10x1.5-6g", unit="mm", **keys)


@pytest.mark.parametrize(
    ("parameter", "keys"),
    [
        ("tolerance_class", {"designation": "M10x1.5-6g"}),
        ("process", {"designation": "G 1/2", "process": "form-tap"}),
        ("convention", {"designation": "M10x1.5-6H", "process": "form-tap", "convention": "5H/8"}),
        ("hole_diameter", {"designation": "M10x1.5-6H", "hole_diameter": 11}),
        ("thread_percentage", {"designation": "M10x1.5-6H", "thread_percentage": 0}),
    ],
)
def test_thread_hole_refuses(http: FlaskClient, parameter: str, keys: dict[str, Any]) -> None:
    refused(http, "thread-hole", parameter, unit="mm", **keys)


@pytest.mark.parametrize(
    ("parameter", "keys"),
    [
        ("value", {"value": 70, "scale": "HRC"}),
        ("value", {"value": 0, "scale": "HRC"}),
        ("scale", {"value": 40, "scale": "Mohs"}),
        ("material", {"value": 40, "scale": "HRC", "material": "cast-iron"}),
        ("table", {"value": 40, "scale": "HRC", "to": "HRB", "table": "E140_T1"}),
    ],
)
def test_hardness_refuses(http: FlaskClient, parameter: str, keys: dict[str, Any]) -> None:
    refused(http, "hardness", parameter, **keys)


def test_lengths_in_a_caution_follow_the_unit(http: FlaskClient) -> None:
    answer = http.post(
        "/v1/size-correction",
        json={"designation": "3/4-16 UNF-2A", "unit": "in", "measured": [0.7068]},
    )
    body: Any = answer.json
    told = {each["code"]: each["detail"] for each in body["cautions"]}
    assert "0.0007874 in to 0.001969 in" in told["new-cutter"]
