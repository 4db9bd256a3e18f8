"""A plan whose part would not pass says so above all its numbers.

The angle of the cutter, the size of the blank and the slenderness of the neck are chosen so that
each cause is beyond doubt; the GO gauge's limit is that of most metal (ASME B1.2, ISO 1502).
"""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

SCREW = {
    "unit": "mm",
    "designation": "M24x1.5-6g",
    "thread_length": 20,
    "material": "42CrMo4",
    "hardness": 300,
    "hardness_scale": "HB",
    "cutter_diameter": 10,
    "cutter_teeth": 4,
    "cutter_nose_flat": 0.1,
}
ACME = {
    **SCREW,
    "unit": "in",
    "designation": "1 1/2-4 ACME-2G",
    "side": "external",
    "thread_length": 2,
    "cutter_diameter": 0.75,
    "cutter_nose_flat": 0.05,
}
CASES: list[tuple[dict[str, Any], list[str]]] = [
    ({}, []),
    # A blank above the largest major diameter, 23.968 mm: threading does not change it.
    ({"blank_diameter": 24.2}, ["crest-outside-limits"]),
    # The last of the listed depths is half of what the thread needs.
    ({"infeed": "list", "infeed_depths": [0.3, 0.5]}, ["size-uncertain"]),
    ({"cutter_neck_diameter": 1.5, "cutter_neck_length": 40}, ["chip-too-thin"]),
    # 60 degrees in a form of 29.
    ({**ACME, "cutter_included_angle_deg": 60}, ["flank-form"]),
    ({**ACME, "cutter_nose_flat": 0.085}, []),
    ({**ACME, "cutter_nose_flat": 0.04}, ["root-outside-limits"]),
]


def answered(http: FlaskClient, operation: str, keys: dict[str, Any]) -> dict[str, Any]:
    answer = http.post(f"/v1/{operation}", json=keys)
    assert answer.status_code == 200, answer.text
    return dict(answer.json or {})


@pytest.mark.parametrize(("keys", "wanted"), CASES)
def test_each_cause_is_told_and_stands_among_the_cautions(
    keys: dict[str, Any], wanted: list[str], http: FlaskClient
) -> None:
    answer = answered(http, "pass-plan", {**SCREW, **keys})
    failings = answer["result"]["failings"]
    assert set(wanted) <= set(failings)
    assert bool(failings) == bool(wanted)
    assert set(failings) <= {each["code"] for each in answer["cautions"]}


def test_a_form_error_within_the_room_is_no_failing(http: FlaskClient) -> None:
    """Half a degree off: the functional size moves, and stays within the limits."""
    keys = {**SCREW, "cutter_included_angle_deg": 60.5}
    answer = answered(http, "pass-plan", keys)
    plan, limits = answer["result"], answer["thread"]["limits"]["pitch_diameter"]
    assert plan["form"]["form_diameter"] > 0
    functional = plan["expected_pitch_diameter"] + plan["form"]["form_diameter"]
    assert functional < limits["max"]
    assert plan["failings"] == []
    tight = answered(http, "pass-plan", {**keys, "pitch_diameter_aim": 1})["result"]
    assert "flank-form" in tight["failings"]


def test_the_job_sheet_says_it_first(http: FlaskClient) -> None:
    lot = {**SCREW, "quantity": 3}
    page = http.post("/v1/job-sheet?format=html", json={**lot, "blank_diameter": 24.2}).text
    assert page.index("does not make the thread") < page.index("Limits by")
    assert "24.2000 mm is above the largest major diameter" in page.split("Limits by")[0]
    assert "does not make the thread" not in http.post("/v1/job-sheet?format=html", json=lot).text
