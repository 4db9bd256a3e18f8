"""Tutorial and sheet Measure in a real Calc, in two languages, against the service's JSON."""

from __future__ import annotations

import json
from typing import Any

import pytest
import requests

from spreadsheet.make_workbook import COMMITTED
from spreadsheet.workbook.measure import CAUTIONS_ROW, CORRECT_ROW
from spreadsheet.workbook.measure_calls import FIRST_PART
from support import office
from support.readme import block, tutorial_cells, tutorial_keys
from support.servers import ROOT, Process, free_port
from threadwright_service.app.flat import found

pytestmark = [
    pytest.mark.spreadsheet,
    pytest.mark.skipif(bool(office.missing()), reason=office.missing() or "Calc is here"),
]
LOCALES = ("en-US", "de-DE")
JOB = json.loads((ROOT / "client/examples/levelling_screws.json").read_text(encoding="utf-8"))
Cells = dict[str, Any]


def computed(address: str, locale: str, *edits: tuple[str, str, str | float]) -> dict[str, Cells]:
    answer = office.carry_out(
        locale=locale,
        document=COMMITTED,
        update=True,
        edits=[("Quotes", "C2", address), *edits],
        only=["Measure", "Quotes", "Job sheet"] if not edits else ["Measure"],
    )
    sheets: dict[str, Cells] = answer["sheets"]
    return sheets


def asked(service: Process, operation: str, keys: dict[str, Any]) -> dict[str, Any]:
    answer = requests.post(f"{service.url}/v1/{operation}", json=keys, timeout=30)
    assert answer.status_code == 200, answer.text
    whole: dict[str, Any] = answer.json()
    return whole


def shows(cell: Any, value: Any) -> None:
    if value is None:
        assert cell["text"] == "–"
    elif isinstance(value, str):
        assert cell["text"] == value
    else:
        assert cell["value"] == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("locale", LOCALES)
def test_tutorial(locale: str, service: Process) -> None:
    """As the README says it: open, allow updating, and the cells hold the service's values."""
    sheets = computed(service.url, locale)
    cells = tutorial_cells(block("run: workbook tutorial"))
    assert len(cells) == 11
    for each in cells:
        result = asked(service, each.operation, tutorial_keys(each.operation, JOB))["result"]
        shows(sheets[each.sheet][each.cell], found(result, each.path))


@pytest.mark.parametrize("locale", LOCALES)
def test_a_series_with_a_gap_and_a_correction(locale: str, service: Process) -> None:
    """Seven parts of a lot with an offset in between, entered with a line left empty."""
    readings = [24.262, 24.221, 24.223, 24.226, 24.228, 24.231, 24.233]
    numbers = [1, 2, 4, 6, 8, 10, 12]
    corrections = [0, -0.022, 0, 0, 0, 0, 0]
    rows = [FIRST_PART, *range(FIRST_PART + 2, FIRST_PART + 8)]
    edits: list[tuple[str, str, str | float]] = [("Measure", "D9", 0.003)]
    for row, reading, number, moved in zip(rows, readings, numbers, corrections, strict=True):
        edits += [("Measure", f"A{row}", number), ("Measure", f"B{row}", reading)]
        if moved:
            edits.append(("Measure", f"D{row}", moved))
    cells = computed(service.url, locale, *edits)["Measure"]
    whole = asked(
        service, "size-correction",
        {"designation": "M24x1.5-6g", "unit": "mm", "method": "three-wire",
         "wire_diameter": 0.866, "measured": readings, "part_numbers": numbers,
         "corrections": corrections, "uncertainty": 0.003},
    )  # fmt: skip
    result = whole["result"]
    assert cells["A2"]["text"] == ""
    for row, part in zip(rows, result["parts"], strict=True):
        shows(cells[f"F{row}"], part["pitch_diameter"])
        shows(cells[f"H{row}"], part["excess"])
        shows(cells[f"J{row}"], part["zone"])
        shows(cells[f"K{row}"], part["verdict"])
    assert cells[f"F{FIRST_PART + 1}"]["text"] == "", "the line that was left empty"
    for place, path in enumerate(
        ("radius_correction_now", "diameter_correction_now", "expected_pitch_diameter", "excess"),
        CORRECT_ROW + 1,
    ):
        shows(cells[f"D{place}"], result[path])
    for place, path in enumerate(
        ("action", "verdict", "drift_per_part", "next_correction_after_parts"), CORRECT_ROW + 1
    ):
        shows(cells[f"J{place}"], result[path])
    shows(cells[f"D{CORRECT_ROW + 5}"], result["action_reason"])
    for place, caution in enumerate(whole["cautions"], CAUTIONS_ROW + 1):
        assert cells[f"A{place}"]["text"] == caution["code"]
        assert cells[f"D{place}"]["text"] == caution["detail"]
    wrong = {cell: each["text"] for cell, each in cells.items() if each["error"]}
    assert not wrong


def test_an_inside_thread_in_inches_by_balls_and_by_pitch_diameter(service: Process) -> None:
    thread = {"designation": "1 3/8-12 UN-2B", "unit": "in"}
    best = asked(service, "wire-measurement", thread)["result"]
    line: list[tuple[str, str, str | float]] = [
        ("Measure", "L1", 3),
        ("Measure", "D8", ""),
        ("Measure", f"B{FIRST_PART}", 1.3),
    ]
    cells = computed(service.url, "de-DE", *line)["Measure"]
    result = asked(
        service, "size-correction",
        {**thread, "method": best["method"], "wire_diameter": best["wire_diameter"],
         "measured": [1.3]},
    )["result"]  # fmt: skip
    shows(cells["J6"], best["reading"]["aim"])
    shows(cells[f"D{CORRECT_ROW + 1}"], result["radius_correction_now"])
    shows(cells[f"F{FIRST_PART}"], result["parts"][0]["pitch_diameter"])
    # ASME B1.1: the pitch diameter of 1 3/8-12 UN-2B lies between 1.3209 in and 1.3291 in.
    line[2] = ("Measure", f"B{FIRST_PART}", 1.325)
    cells = computed(service.url, "en-US", *line, ("Measure", "D7", "pitch-diameter"))["Measure"]
    shows(cells[f"F{FIRST_PART}"], 1.325)
    shows(cells[f"H{FIRST_PART}"], 0.0)
    shows(cells[f"K{FIRST_PART}"], "accept")


def test_refusals_are_told(service: Process) -> None:
    cells = computed(service.url, "de-DE", ("Measure", f"B{FIRST_PART + 1}", 24.2))["Measure"]
    assert cells["A2"]["text"].startswith("#ERR 422 invalid-request part_numbers:")
    assert cells[f"D{CORRECT_ROW + 1}"]["text"] == "–"
    cells = computed(service.url, "en-US", ("Measure", "L1", 9))["Measure"]
    assert cells["A2"]["text"] == "Line 9 is empty"


def test_with_the_service_down(service: Process) -> None:
    cells = computed(f"http://127.0.0.1:{free_port()}", "de-DE")["Measure"]
    assert cells["A2"]["text"].startswith("No answer")
    assert cells[f"D{CORRECT_ROW + 1}"]["error"]
    # And with it up: the same cell is a number.
    cells = computed(service.url, "de-DE")["Measure"]
    assert cells[f"D{CORRECT_ROW + 1}"]["value"] < 0
