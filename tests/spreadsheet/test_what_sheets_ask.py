"""What the service offers to cells alone: tables by ``rows=``, and ``v=`` to ask again."""

from __future__ import annotations

import csv
import io

import pytest
from flask.testing import FlaskClient

SCREW = (
    "/v1/job-sheet{suffix}?designation=M24x1.5-6g&unit=mm&thread_length=28&material=17-4+PH"
    "&hardness=42&hardness_scale=HRC&cutter_diameter=16&cutter_teeth=5&cutter_nose_flat=0.1"
    "&cutter_neck_diameter=12&cutter_neck_length=45"
    "&cutter_shank_diameter=16&cutter_stick_out=45&quantity=18&machine_rate=65&setup_time_min=45&load_time_s=90"
)


def table(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


@pytest.mark.parametrize("path", ["plan.passes", "time.breakdown", "cautions", "assumed"])
def test_any_list_of_an_answer_is_a_table(path: str, http: FlaskClient) -> None:
    whole = http.get(SCREW.format(suffix="")).json
    assert whole is not None
    records = whole
    for step in (
        path.split(".") if path in ("cautions", "assumed") else ["result", *path.split(".")]
    ):
        records = records[step]
    answer = http.get(f"{SCREW.format(suffix='.csv')}&rows={path}")
    assert answer.content_type.startswith("text/csv")
    got = table(answer.text)
    assert len(got) == len(records) > 0
    for row, record in zip(got, records, strict=True):
        for key, value in record.items():
            if isinstance(value, str):
                assert row[key] == value
            elif isinstance(value, (int, float)) and not isinstance(value, bool):
                assert float(row[key]) == value


@pytest.mark.parametrize(
    ("suffix", "more"),
    [
        ("", "rows=plan"),
        ("", "rows=plan.nothing"),
        ("", "rows=time.lot.cost"),
        ("", "rows=plan.passes&field=plan.depth"),
        ("", "rows=plan.passes&format=json"),
        (".json", "rows=plan.passes"),
    ],
)
def test_what_is_no_table_is_refused(suffix: str, more: str, http: FlaskClient) -> None:
    answer = http.get(f"{SCREW.format(suffix=suffix)}&{more}")
    assert answer.status_code == 422
    assert answer.json is not None
    assert answer.json["errors"][0]["parameter"] == "rows"


def test_refresh_changes_the_address_and_nothing_else(http: FlaskClient) -> None:
    plain = "/v1/thread-limits?designation=M24x1.5-6g&field=limits.pitch_diameter.max"
    assert http.get(f"{plain}&v=7").data == http.get(plain).data == b"22.994"
