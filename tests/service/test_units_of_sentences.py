"""Sentences in the records of an answer speak the answer's unit, as its cautions do."""

from __future__ import annotations

from flask.testing import FlaskClient

READING = {
    "designation": "3/4-16 UNF-2A",
    "unit": "in",
    "measured": 0.7601,
    "instrument_error": 0.0001,
    "repeatability": 0.00005,
}


def test_lines_of_an_uncertainty_are_told_in_the_unit_of_the_request(http: FlaskClient) -> None:
    inch = http.post("/v1/wire-measurement", json=READING).json
    told = {each["name"]: each["input"] for each in inch["result"]["uncertainty"]["components"]}
    assert told["instrument"] == "+/- 0.0001 in, rectangular"
    assert told["repeatability"] == "s = 0.00005 in"
    metric = {**READING, "unit": "mm", "measured": 19.3065, "instrument_error": 0.00254}
    mm = http.post("/v1/wire-measurement", json={**metric, "repeatability": 0.00127}).json
    told = {each["name"]: each["input"] for each in mm["result"]["uncertainty"]["components"]}
    assert told["instrument"] == "+/- 0.00254 mm, rectangular"


def test_ranges_of_factors_are_told_in_the_unit_of_the_request(http: FlaskClient) -> None:
    for unit, scale, told in (("in", 1.0, "0.1575 to 0.7874 in"), ("mm", 25.4, "4 to 20 mm")):
        keys = {
            "unit": unit, "process": "side-milling", "material": "D2", "hardness": 58,
            "hardness_scale": "HRC", "cutter_diameter": 0.5 * scale, "cutter_teeth": 6,
            "radial_width": 0.015 * scale, "axial_depth": 0.75 * scale,
            "reference_diameter": 0.4 * scale, "reference_feed_per_tooth": 0.002 * scale,
            "reference_surface_speed": 400 if unit == "in" else 122,
        }  # fmt: skip
        answer = http.post("/v1/cutting-data", json=keys)
        assert answer.status_code == 200, answer.text
        assert told in {each["range"] for each in answer.json["result"]["factors"]}
