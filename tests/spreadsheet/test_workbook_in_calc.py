"""The workbook computed by a real Calc, in two languages, against the service's own JSON."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl, urlsplit

import pytest
import requests

from spreadsheet.make_workbook import COMMITTED
from spreadsheet.workbook.columns import (
    FIRST_LINE,
    LINES,
    PLAN_RESULTS,
    THREAD_RESULTS,
    TIME_RESULTS,
    quote_letter,
)
from spreadsheet.workbook.job_tables import (
    ASSUMED_ROW,
    BREAKDOWN_COLUMNS,
    CAUTIONS_ROW,
    PASS_COLUMNS,
    PASS_ROW,
    PRICE_COLUMNS,
    TABLES_ROW,
    TIME_ROW,
)
from spreadsheet.workbook.messages import NO_ANSWER, NOT_LISTED, NOT_SAID
from spreadsheet.workbook.quotes import TOTAL
from spreadsheet.workbook.scenario import CUTTERS, JOBS, MACHINES, Entry
from support import office
from support.servers import Process, free_port
from support.workbook import Sheets, asked, at, computed

pytestmark = [
    pytest.mark.spreadsheet,
    pytest.mark.skipif(bool(office.missing()), reason=office.missing() or "Calc is here"),
]
LOCALES = ("en-US", "de-DE")


@pytest.fixture(scope="module", params=LOCALES)
def opened(request: pytest.FixtureRequest, service: Process) -> Sheets:
    return computed(service.url, request.param)


def wanted_keys(job: Entry) -> tuple[str, dict[str, Any]]:
    """The request of a line, put together here from the scenario and not from the workbook."""
    cutter = next(each for each in CUTTERS if each["name"] == job["cutter"])
    machine = next(each for each in MACHINES if each["name"] == job["machine"])
    keys: dict[str, Any] = {k: v for k, v in job.items() if k not in ("job", "cutter", "machine")}
    in_inches = job["unit"] == "in"
    for key, value in machine.items():
        if key != "name":
            is_rate = key in ("rapid_rate", "feed_rate_max")
            keys[key] = value / 25.4 if is_rate and in_inches else value  # type: ignore[operator]
    left = keys.pop("quantity_left", None)
    if left:
        keys |= {"quantity_right": keys.pop("quantity") - left, "quantity_left": left}
    milled = keys.pop("thread_process") == "milled"
    for key, value in cutter.items():
        if key not in ("name", "unit") and (milled or key in ("tool_cost", "tool_life_min")):
            keys[key] = value
    if milled:
        return "job-sheet", keys
    for key in ("material", "hardness", "hardness_scale"):
        keys.pop(key, None)
    return "cycle-time", {**keys, "thread_process": job["thread_process"]}


def test_no_formula_of_the_whole_workbook_is_in_error(opened: Sheets) -> None:
    assert sum(len(cells) for cells in opened.values()) > 1_500
    for name, cells in opened.items():
        wrong = {cell: each["text"] for cell, each in cells.items() if each["error"]}
        assert not wrong, f"{name}: {wrong}"


@pytest.mark.parametrize("line", range(len(JOBS)))
def test_every_result_of_a_line_is_the_services_json(
    line: int, opened: Sheets, service: Process
) -> None:
    job = JOBS[line]
    row = FIRST_LINE + line
    cells = opened["Quotes"]
    thread = asked(
        service,
        "wire-measurement",
        {"designation": job["designation"], "unit": job["unit"]},
    )
    for column in THREAD_RESULTS:
        cell = cells[f"{quote_letter(column.key)}{row}"]
        if column.number:
            assert cell["value"] == at(thread["result"], column.key)
        else:
            assert cell["text"] == at(thread, column.key) == "finished"
    operation, keys = wanted_keys(job)
    whole = asked(service, operation, keys)["result"]
    times = whole["time"] if operation == "job-sheet" else whole
    for column in PLAN_RESULTS:
        cell = cells[f"{quote_letter(column.key)}{row}"]
        if operation == "job-sheet":
            assert cell["value"] == at(whole, column.key)
        else:
            assert (cell["value"], cell["text"]) == (None, "–")
    for column in TIME_RESULTS:
        value = at(times, column.key) / (60 if column.key == "part.time_s" else 1)
        got = cells[f"{quote_letter(column.key)}{row}"]["value"]
        assert got == pytest.approx(value, rel=1e-12), column.key
    price = cells[f"{quote_letter('lot_price')}{row}"]["value"]
    assert price == pytest.approx(times["lot"]["cost"] * 1.2, rel=1e-12), "mark-up of 20 %"
    each = cells[f"{quote_letter('price_each')}{row}"]["value"]
    assert each == pytest.approx(price / job["quantity"], rel=1e-12)
    assert cells[f"{quote_letter('message')}{row}"]["text"] == ""


def test_empty_lines_ask_nothing_and_show_nothing(opened: Sheets) -> None:
    for row in range(FIRST_LINE + len(JOBS), FIRST_LINE + LINES):
        shown = {
            cell: each["text"]
            for cell, each in opened["Quotes"].items()
            if cell.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ") == str(row)
        }
        assert set(shown.values()) == {""}


def test_total_and_head(opened: Sheets, service: Process) -> None:
    cells = opened["Quotes"]
    prices = [
        cells[f"{quote_letter('lot_price')}{FIRST_LINE + line}"]["value"]
        for line in range(len(JOBS))
    ]
    total = cells[f"{quote_letter('lot_price')}{TOTAL}"]["value"]
    assert total == pytest.approx(sum(prices), rel=1e-12)
    meta = asked(service, "thread-limits", {"designation": "M10-6g"})["meta"]
    assert cells["O2"]["text"] == f"{meta['service']} / {meta['tables']}"
    assert cells["O3"]["text"] == "4, with a message: 0"


@pytest.mark.usefixtures("service")
def test_calls_show_what_was_asked_and_answered(opened: Sheets) -> None:
    cells = opened["Calls"]
    addresses = {
        cell: each["text"] for cell, each in cells.items() if each["text"].startswith("http")
    }
    assert len(addresses) == 2 + 2 * len(JOBS) + 11 + 4, (
        "root, version, two a line, the job sheet, the measured parts"
    )
    after = {"B": "C", "J": "K", "M": "N"}
    for cell, address in addresses.items():
        if cell == "B4":
            continue
        assert len(address) < 2_000
        answer = cells["B7" if cell == "B6" else f"{after[cell[0]]}{cell[1:]}"]["text"]
        assert answer.replace("\r\n", "\n") == requests.get(address, timeout=30).text.replace(
            "\r\n", "\n"
        )


@pytest.mark.parametrize("line", range(len(JOBS)))
def test_addresses_hold_the_keys_of_the_scenario(line: int, opened: Sheets) -> None:
    address = urlsplit(opened["Calls"][f"M{11 + line}"]["text"])
    operation, keys = wanted_keys(JOBS[line])
    assert address.path == f"/v1/{operation}"
    given = dict(parse_qsl(address.query))
    for key in ("field", "on_error", "v"):
        given.pop(key)
    assert given.keys() == keys.keys()
    for key, value in keys.items():
        if isinstance(value, str):
            assert given[key] == value
        else:
            assert float(given[key]) == pytest.approx(value, rel=1e-13)


@pytest.mark.parametrize("locale", LOCALES)
@pytest.mark.parametrize("line", range(len(JOBS)))
def test_job_sheet_is_the_services_json(line: int, locale: str, service: Process) -> None:
    sheets = computed(service.url, locale, ("Job sheet", "L1", line + 1), only=("Job sheet",))
    cells = sheets["Job sheet"]
    wrong = {cell: each["text"] for cell, each in cells.items() if each["error"]}
    assert not wrong
    job = JOBS[line]
    thread_keys = {"designation": job["designation"], "unit": job["unit"]}
    limits = asked(service, "thread-limits", thread_keys)["result"]
    wires = asked(service, "wire-measurement", thread_keys)["result"]
    gauges = None
    if job["designation"] != "Tr32x6-7e":  # for this family the service carries no gauges
        gauges = asked(service, "gauge-limits", thread_keys)["result"]
        assert cells["A2"]["text"] == ""
    else:
        assert cells["A2"]["text"].startswith("#ERR 422 not-tabulated")

    def shows(cell: str, value: Any) -> None:
        got = cells[cell]
        if value is None:
            assert got["text"] == "–", cell
        elif isinstance(value, str):
            assert got["text"] == value, cell
        else:
            assert got["value"] == pytest.approx(value, rel=1e-12), cell

    for row, name in enumerate(("major_diameter", "pitch_diameter", "minor_diameter"), 15):
        shows(f"C{row}", limits["basic"][name])
        shows(f"D{row}", limits["limits"][name]["max"])
        shows(f"E{row}", limits["limits"][name]["min"])
    shows("D18", limits["root_radius"]["max"])
    shows("E18", limits["root_radius"]["min"])
    shows("C19", limits["lead_angle_deg"])
    shows("D7", limits["standard"])
    shows("D11", "the finished part")
    assert cells["J11"]["text"] == cells["A4"]["text"] == "", "no coating, and a plan that does"
    for letter, end in zip("JKL", ("max", "aim", "min"), strict=True):
        shows(f"{letter}15", wires["reading"][end])
    for letter, end in zip("JL", ("max", "min"), strict=True):
        shows(f"{letter}16", wires[f"wire_diameter_{end}"])
        for row, name in ((17, "go"), (18, "not_go")):
            shows(f"{letter}{row}", gauges[name]["pitch_diameter"][end] if gauges else None)
    shows("K16", wires["wire_diameter"])

    operation, keys = wanted_keys(job)
    whole = asked(service, operation, keys)
    result = whole["result"]
    times = result["time"] if operation == "job-sheet" else result
    lot, part = times["lot"], times["part"]
    for row, value in enumerate(
        (part["cutting_time_s"], part["time_s"], lot["time_min"],
         lot["spread"]["time_low_min"], lot["spread"]["time_high_min"]), TIME_ROW + 1
    ):  # fmt: skip
        shows(f"D{row}", value)
    for row, value in enumerate(
        (lot["cost"], lot["spread"]["low"], lot["spread"]["high"], lot["cost_each"],
         lot["measured"]), TIME_ROW + 1
    ):  # fmt: skip
        shows(f"J{row}", value)
    tables = (("breakdown", BREAKDOWN_COLUMNS), ("price_breaks", PRICE_COLUMNS))
    for table, columns in tables:
        for place, record in enumerate(times[table]):
            for key, letters, _, _ in columns:
                shows(f"{letters[0]}{TABLES_ROW + 1 + place}", record[key])
    for place, caution in enumerate(whole["cautions"]):
        assert cells[f"A{CAUTIONS_ROW + 1 + place}"]["text"] == caution["code"]
        assert cells[f"C{CAUTIONS_ROW + 1 + place}"]["text"] == caution["detail"]
    assert cells[f"A{CAUTIONS_ROW + 1 + len(whole['cautions'])}"]["text"] == ""
    for place, assumed in enumerate(whole["assumed"]):
        row = ASSUMED_ROW + 1 + place
        assert cells[f"A{row}"]["text"] == assumed["parameter"]
        assert cells[f"F{row}"]["text"] == assumed["reason"]
        shown = cells[f"D{row}"]["text"]
        assert shown == f"{assumed['value']} {assumed.get('unit', '')}" or not isinstance(
            assumed["value"], str | int | float
        )
    if operation != "job-sheet":
        assert cells[f"A{PASS_ROW + 3}"]["text"] == ""
        assert cells["D23"]["text"] == ""
        return
    plan = result["plan"]
    path = plan["path"]
    for row, value in enumerate(
        (plan["blank_diameter"], plan["root_diameter"], plan["depth"],
         plan["expected_pitch_diameter"], plan["cutter_centre_radius"], path["turns"],
         path["entry_arc_radius"]), 22
    ):  # fmt: skip
        shows(f"D{row}", value)
    for cell in ("D29", "D30", "D31", "J29", "J30", "J31"):
        assert cells[cell]["text"] == "", "one start, one cut at each depth, no taper"
    words = (plan["milling"], path["travel"], path["travel_word"], path["axial"])
    for row, value in enumerate(
        (plan["spindle_speed"], plan["surface_speed"], ", ".join(words),
         path["start_height"], path["end_height"]), 22
    ):  # fmt: skip
        shows(f"J{row}", value)
    other = result["other_hand"]
    if other:
        shows("J28", other["path"]["start_height"])
        assert cells["J27"]["text"].startswith(other["hand"])
    for place, record in enumerate(plan["passes"]):
        for letter, (key, _, _) in zip("ABCDEFGHIJKL", PASS_COLUMNS, strict=True):
            shows(f"{letter}{PASS_ROW + 3 + place}", record[key])
    assert cells[f"A{PASS_ROW + 3 + len(plan['passes'])}"]["text"] == ""


@pytest.mark.parametrize("locale", LOCALES)
def test_refusals_are_told_and_nothing_is_summed_over_them(locale: str, service: Process) -> None:
    bad, cutter, hard, row = (
        quote_letter("designation"),
        quote_letter("cutter"),
        quote_letter("hardness"),
        FIRST_LINE,
    )
    sheets = computed(
        service.url,
        locale,
        ("Quotes", f"{bad}{row}", "M24x1,5-6g"),
        ("Quotes", f"{cutter}{row + 1}", "Not in the list"),
        ("Quotes", f"{hard}{row + 2}", 99),
        ("Quotes", f"{bad}{row + 4}", "M10-6g"),
        ("Quotes", f"{quote_letter('quantity')}{row + 4}", 3),
        only=("Quotes",),
    )
    cells = sheets["Quotes"]
    message = quote_letter("message")
    comma = cells[f"{message}{row}"]["text"]
    assert comma.startswith("#ERR 422 ")
    assert "decimal comma" in comma
    assert cells[f"{message}{row + 1}"]["text"] == NOT_LISTED
    assert "99" in cells[f"{message}{row + 2}"]["text"]
    assert cells[f"{message}{row + 3}"]["text"] == ""
    assert cells[f"{message}{row + 4}"]["text"] == NOT_SAID
    pitch, cost = quote_letter("pitch_diameter_limits.max"), quote_letter("lot.cost")
    assert cells[f"{pitch}{row}"]["text"] == ""
    assert cells[f"{pitch}{row + 1}"]["value"] == 0.7079, "ASME B1.1, 3/4-16 UNF-2A"
    assert cells[f"{pitch}{row + 2}"]["value"] == 1.3291, "ASME B1.1, 1 3/8-12 UN-2B"
    assert cells[f"{cost}{row + 2}"]["text"] == ""
    assert cells[f"{quote_letter('lot_price')}{TOTAL}"]["text"] == "incomplete"


def test_a_cutter_in_millimetres_does_for_a_line_in_inches(service: Process) -> None:
    sheets = computed(
        service.url, "de-DE",
        ("Quotes", f"{quote_letter('cutter')}{FIRST_LINE + 2}", "Thread mill 16 mm"),
    )  # fmt: skip
    given = dict(parse_qsl(urlsplit(sheets["Calls"]["M13"]["text"]).query))
    assert float(given["cutter_diameter"]) == pytest.approx(16 / 25.4, rel=1e-13)
    assert given["cutter_teeth"] == "5"
    assert sheets["Quotes"][f"{quote_letter('message')}{FIRST_LINE + 2}"]["text"] == ""


@pytest.mark.parametrize("locale", LOCALES)
def test_with_the_service_down_every_cell_says_so(locale: str) -> None:
    address = f"http://127.0.0.1:{free_port()}"
    sheets = computed(address, locale, only=("Quotes", "Job sheet"))
    cells = sheets["Quotes"]
    message = quote_letter("message")
    for line, job in enumerate(JOBS):
        row = FIRST_LINE + line
        assert cells[f"{message}{row}"]["text"] == NO_ANSWER
        for column in (*THREAD_RESULTS, *TIME_RESULTS):
            assert cells[f"{quote_letter(column.key)}{row}"]["error"], job["job"]
        assert cells[f"{quote_letter('lot_price')}{row}"]["error"]
    assert cells["O2"]["text"] == "no answer"
    assert cells[f"{quote_letter('lot_price')}{TOTAL}"]["text"] == "incomplete"
    assert "No answer" in sheets["Job sheet"]["A2"]["text"]
    assert cells[f"{message}{FIRST_LINE + len(JOBS)}"]["text"] == "", "an empty line says nothing"


def test_without_leave_to_update_nothing_is_shown_as_an_answer() -> None:
    answer = office.carry_out(locale="en-US", document=COMMITTED, only=["Quotes"])
    cells = answer["sheets"]["Quotes"]
    for line in range(len(JOBS)):
        row = FIRST_LINE + line
        assert cells[f"{quote_letter('message')}{row}"]["text"] == NO_ANSWER
        assert cells[f"{quote_letter('lot.cost')}{row}"]["error"]


def test_the_refresh_number_asks_again(service: Process) -> None:
    sheets = computed(service.url, "en-US", ("Quotes", "J2", 8))
    assert sheets["Calls"]["M11"]["text"].endswith("&on_error=text&v=8")
    assert not sheets["Quotes"][f"{quote_letter('lot.cost')}{FIRST_LINE}"]["error"]


def test_it_prints(service: Process, tmp_path: Path) -> None:
    target = tmp_path / "quotes.pdf"
    office.carry_out(
        locale="en-US",
        document=COMMITTED,
        update=True,
        edits=[("Quotes", "C2", service.url)],
        only=["Help"],
        pdf=target,
    )
    assert target.read_bytes().startswith(b"%PDF-")
