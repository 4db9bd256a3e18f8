"""Lines out of the ordinary in a real Calc: failing plans, coatings, tapers, several starts."""

from __future__ import annotations

from typing import Any
from urllib.parse import parse_qsl, urlsplit

import pytest

from spreadsheet.workbook.columns import (
    CUTTER_COLUMNS,
    FIRST_ENTRY,
    FIRST_LINE,
    quote_letter,
    table_letter,
)
from spreadsheet.workbook.job_tables import CAUTIONS_ROW
from spreadsheet.workbook.measure_calls import FIRST_PART
from spreadsheet.workbook.quotes import TOTAL
from spreadsheet.workbook.scenario import CUTTERS, Entry
from support import office
from support.servers import Process
from support.workbook import Edit, Sheets, asked, computed

pytestmark = [
    pytest.mark.spreadsheet,
    pytest.mark.skipif(bool(office.missing()), reason=office.missing() or "Calc is here"),
]
LOCALES = ("en-US", "de-DE")
SCREW: Entry = {
    "designation": "M24x1.5-6g", "unit": "mm", "material": "17-4 PH", "hardness": 42,
    "hardness_scale": "HRC", "thread_length": 28, "thread_process": "milled",
    "cutter": "Thread mill 16 mm", "machine": "Machining centre", "quantity": 18,
}  # fmt: skip
# Above the largest major diameter, 23.968 mm (ISO 965-2): threading does not change it.
TOO_THICK: Entry = {**SCREW, "blank_diameter": 24.2}
COATED: Entry = {**SCREW, "coating_thickness": 0.0125, "coating_thickness_min": 0.01}
TAPER: Entry = {
    "designation": "1-11.5 NPT", "unit": "in", "side": "external", "material": "42CrMo4",
    "hardness": 38, "hardness_scale": "HRC", "thread_length": 0.9, "thread_process": "milled",
    "cutter": "Thin mill", "machine": "Machining centre", "quantity": 4,
}  # fmt: skip
TWO_STARTS: Entry = {
    "designation": "Tr32x12(P6)-7e", "unit": "mm", "material": "42CrMo4", "hardness": 300,
    "hardness_scale": "HB", "thread_length": 60, "thread_process": "milled",
    "cutter": "Narrow nose", "machine": "Machining centre", "quantity": 3,
}  # fmt: skip
MORE_CUTTERS: tuple[Entry, ...] = (
    {
        "name": "Thin mill", "unit": "in", "cutter_profile": "single", "cutter_diameter": 0.375,
        "cutter_teeth": 4, "cutter_nose_flat": 0.002, "cutter_neck_diameter": 0.2,
        "cutter_neck_length": 1.1,
    },
    {
        "name": "Narrow nose", "unit": "mm", "cutter_profile": "single", "cutter_diameter": 25,
        "cutter_teeth": 4, "cutter_nose_flat": 1, "axial_shift": "yes",
    },
)  # fmt: skip
FIFTH = 4
"""The first line that the scenario leaves empty, 0 the first."""


def entered(*lines: Entry) -> list[Edit]:
    """Cutters and lines, below those of the scenario."""
    edits: list[Edit] = []
    for row, cutter in enumerate(MORE_CUTTERS, FIRST_ENTRY + len(CUTTERS)):
        edits += [
            ("Cutters", f"{table_letter(CUTTER_COLUMNS, key)}{row}", value)
            for key, value in cutter.items()
        ]
    for row, line in enumerate(lines, FIRST_LINE + FIFTH):
        edits += [("Quotes", f"{quote_letter(key)}{row}", value) for key, value in line.items()]
    return edits


def of_line(sheets: Sheets, key: str, line: int = FIFTH) -> Any:
    return sheets["Quotes"][f"{quote_letter(key)}{FIRST_LINE + line}"]


def sent(sheets: Sheets, letter: str, line: int = FIFTH) -> dict[str, str]:
    given = dict(parse_qsl(urlsplit(sheets["Calls"][f"{letter}{11 + line}"]["text"]).query))
    return {key: value for key, value in given.items() if key not in ("field", "on_error", "v")}


def without_errors(sheets: Sheets) -> None:
    for name, cells in sheets.items():
        wrong = {cell: each["text"] for cell, each in cells.items() if each["error"]}
        assert not wrong, name


@pytest.mark.parametrize("locale", LOCALES)
def test_a_plan_that_does_not_make_the_thread(locale: str, service: Process) -> None:
    line = ("Job sheet", "L1", FIFTH + 1)
    sheets = computed(service.url, locale, *entered(TOO_THICK), line)
    without_errors(sheets)
    message = of_line(sheets, "message")["text"]
    assert message == "DOES NOT MAKE THE THREAD: crest-outside-limits"
    assert of_line(sheets, "lot_price")["value"] > 0, "the price stays"
    cells = sheets["Quotes"]
    prices = [of_line(sheets, "lot_price", each)["value"] for each in range(FIFTH + 1)]
    assert cells[f"{quote_letter('lot_price')}{TOTAL}"]["value"] == pytest.approx(sum(prices))
    assert cells[f"{quote_letter('message')}{TOTAL}"]["text"].endswith("the thread: 1")
    assert cells["O3"]["text"] == "5, with a message: 1"
    page = sheets["Job sheet"]
    assert page["A4"]["text"].startswith(message)
    told = {
        page[f"A{row}"]["text"]: page[f"C{row}"]["text"]
        for row in range(CAUTIONS_ROW + 1, CAUTIONS_ROW + 21)
    }
    assert "23.9680 mm" in told["crest-outside-limits"], "ISO 965-2"
    # Beside a refusal the total is incomplete, as it was.
    hard = ("Quotes", f"{quote_letter('hardness')}{FIRST_LINE}", 99)
    sheets = computed(service.url, locale, *entered(TOO_THICK), hard, only=("Quotes",))
    total = sheets["Quotes"][f"{quote_letter('lot_price')}{TOTAL}"]
    assert total["text"] == "incomplete"


@pytest.mark.parametrize("locale", LOCALES)
def test_limits_before_a_coating_on_all_sheets(locale: str, service: Process) -> None:
    chosen: list[Edit] = [
        ("Job sheet", "L1", FIFTH + 1), ("Measure", "L1", FIFTH + 1),
        ("Measure", f"B{FIRST_PART}", 24.2),
    ]  # fmt: skip
    turned: Entry = {
        **COATED, "thread_process": "turned", "passes": 12, "spindle_speed": 400,
        "machine": "Lathe", "cutter": "",
    }  # fmt: skip
    sheets = computed(service.url, locale, *entered(COATED, turned), *chosen)
    without_errors(sheets)
    # A coating takes four thicknesses off a pitch diameter between flanks of 60 degrees: two
    # surfaces, each over the sine of 30 degrees; limits of the finished thread from ISO 965-2.
    most, least = 22.994 - 4 * 0.0125, 22.844 - 4 * 0.01
    for line in (FIFTH, FIFTH + 1):
        assert of_line(sheets, "message", line)["text"] == ""
        assert of_line(sheets, "pitch_diameter_limits.max", line)["value"] == pytest.approx(most)
        assert of_line(sheets, "pitch_diameter_limits.min", line)["value"] == pytest.approx(least)
        assert of_line(sheets, "thread.state", line)["text"] == "before coating"
        assert of_line(sheets, "lot_price", line)["value"] > 0
    thickness = {"coating_thickness": "0.0125", "coating_thickness_min": "0.01"}
    for letter in "JM":
        keys = sent(sheets, letter)
        assert {key: keys[key] for key in thickness} == thickness
    assert not set(thickness) & set(sent(sheets, "M", FIFTH + 1)), "times need no coating"
    page = sheets["Job sheet"]
    assert page["D16"]["value"] == pytest.approx(most)
    assert page["E16"]["value"] == pytest.approx(least)
    assert page["D11"]["text"] == "the part before coating"
    assert page["J11"]["text"].replace(",", ".") == "0.01 to 0.0125"
    thread = {"designation": "M24x1.5-6g", "unit": "mm", "coating_thickness": 0.0125,
              "coating_thickness_min": 0.01}  # fmt: skip
    gauge = asked(service, "gauge-limits", thread)["result"]["go"]["pitch_diameter"]["max"]
    assert page["J17"]["value"] == gauge
    found = asked(
        service, "size-correction",
        {**thread, "method": "three-wire", "wire_diameter": 0.866, "measured": [24.2]},
    )["result"]  # fmt: skip
    measure = sheets["Measure"]
    assert "before coating" in measure["A5"]["text"]
    assert measure["F14"]["value"] == found["parts"][0]["pitch_diameter"]
    assert measure["H14"]["value"] == pytest.approx(found["parts"][0]["excess"])
    # The target is the middle of the limits before the coating.
    middle = measure["F14"]["value"] - measure["H14"]["value"]
    assert middle == pytest.approx((most + least) / 2, abs=2e-5)


@pytest.mark.parametrize("locale", LOCALES)
def test_a_taper_thread_of_a_side(locale: str, service: Process) -> None:
    line = ("Job sheet", "L1", FIFTH + 1)
    sheets = computed(service.url, locale, *entered(TAPER), line)
    without_errors(sheets)
    assert sent(sheets, "J") == {"designation": "1-11.5 NPT", "unit": "in", "side": "external"}
    assert sent(sheets, "M")["side"] == "external"
    assert sent(sheets, "J", 0) == {"designation": "M24x1.5-6g", "unit": "mm"}, "empty cells"
    assert of_line(sheets, "lot_price")["value"] > 0
    page = sheets["Job sheet"]
    assert page["C16"]["value"] == 1.23863, "ASME B1.20.1, table 2, E1 of 1-11.5 NPT"
    # Where the diameters hold: the small end's plane lies L1, 0.400 in, from it (same table).
    assert page["D31"]["value"] == pytest.approx(-0.4)
    # The path grows over a turn's height as the taper does, 1 in 16 of the diameter.
    rise = page["J26"]["value"] - page["J25"]["value"]
    growth = page["J31"]["value"] - page["J29"]["value"]
    assert growth == pytest.approx(abs(rise) / 32, abs=2e-5)


@pytest.mark.parametrize("locale", LOCALES)
def test_starts_and_cuts_side_by_side(locale: str, service: Process) -> None:
    line = ("Job sheet", "L1", FIFTH + 1)
    sheets = computed(service.url, locale, *entered(TWO_STARTS), line)
    without_errors(sheets)
    assert sent(sheets, "M")["axial_shift"] == "true"
    page = sheets["Job sheet"]
    assert page["D29"]["value"] == 2, "lead 12, pitch 6"
    offsets = [float(each) for each in page["J30"]["text"].split("; ")]
    assert page["D30"]["value"] == len(offsets) > 1
    assert sum(offsets) == pytest.approx(0, abs=2e-5), "about the middle of the groove"


def test_a_coating_without_its_largest_thickness_is_refused(service: Process) -> None:
    lacking: Entry = {key: value for key, value in COATED.items() if key != "coating_thickness"}
    sheets = computed(service.url, "de-DE", *entered(lacking), only=("Quotes",))
    assert "coating_thickness is missing" in of_line(sheets, "message")["text"]
    assert of_line(sheets, "lot_price")["text"] == ""
