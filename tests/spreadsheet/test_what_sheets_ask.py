"""What the service offers to cells alone: tables by ``rows=``, lists by ``field=``, ``v=``."""

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


# A blank above the largest major diameter, 23.968 mm (ISO 965-2): threading does not change it.
THICK = "&blank_diameter=24.2"
# A narrow nose in a coarse groove: cuts side by side.
COARSE = (
    "/v1/pass-plan?designation=Tr32x6-7e&unit=mm&thread_length=60&material=42CrMo4&hardness=300"
    "&hardness_scale=HB&cutter_diameter=25&cutter_teeth=4&cutter_nose_flat=1&axial_shift=true"
)


@pytest.mark.parametrize(
    ("asked", "path"),
    [
        (SCREW.format(suffix=""), "plan.failings"),
        (SCREW.format(suffix="") + THICK, "plan.failings"),
        (COARSE, "path.axial_offsets"),
        (COARSE, "meta.sources"),
    ],
)
def test_a_list_of_single_values_is_one_text(asked: str, path: str, http: FlaskClient) -> None:
    whole = http.get(asked).json
    assert whole is not None
    wanted = whole if path.startswith("meta") else whole["result"]
    for step in path.split("."):
        wanted = wanted[step]
    alone = http.get(f"{asked}&field={path}").text
    if not wanted:
        assert alone == "#N/A"
    elif isinstance(wanted[0], str):
        assert alone.split("; ") == wanted
    else:
        assert len(wanted) > 1
        assert [float(each) for each in alone.split("; ")] == wanted
        comma = http.get(f"{asked}&field={path}&format=csv&decimal=comma").text
        assert [float(each.replace(",", ".")) for each in comma.split("; ")] == wanted
    beside = http.get(f"{asked}&field={path},unit").text
    assert next(csv.reader([beside])) == [alone, whole["unit"]]
