"""The VBA module run by Calc in its mode for such modules, with a decimal comma.

Calc knows the language and most of the objects of the cells, so functions, parameters, ranges,
text and numbers, the batch and the new sheet are run for real. Two things are stood in for: the
object that sends a request exists on one system alone (``thin_http.bas`` asks the same addresses,
and posts in chunks), and ``Range.Value2``, which this Calc lacks, is ``Range.Value``. What stays
unproven without the other program: that object's own time limits and texts of errors, and how cells
there call functions.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import requests

from spreadsheet.make_workbook import COMMITTED
from support import office
from support.servers import Process, free_port

pytestmark = [
    pytest.mark.spreadsheet,
    pytest.mark.skipif(bool(office.missing()), reason=office.missing() or "Calc is here"),
]
THIN = (Path(__file__).parent / "office" / "thin_http.bas").read_text(encoding="utf-8")
CALLERS = """
Public Sub FillFromSelection()
    Range("AM40:AM43").Select
    ThreadwrightFillSelection
End Sub
Public Function AddressUsed() As Variant
    AddressUsed = BaseAddress()
End Function
"""
FORMULAS = (
    ("C1", '="value"'), ("D1", "=41.5"), ("C2", '="scale"'), ("D2", '="HRC"'),
    ("C3", '="to"'), ("D3", '="HB"'), ("C4", '="table"'),
    ("A1", '=THREADWRIGHT_LIMIT("M24x1.5-6g";"pitch_diameter.max";"mm")'),
    ("A2", '=THREADWRIGHT_LIMIT("3/4-16 UNF-2A";"pitch_diameter.min")'),
    ("A3", '=THREADWRIGHT_LIMIT("M24x1,5-6g";"pitch_diameter.max";"mm")'),
    ("A4", '=THREADWRIGHT_READING("M24x1.5-6g";"aim";"mm")'),
    ("A5", '=THREADWRIGHT_PITCH_DIAMETER("M24x1.5-6g";A4;"mm")'),
    ("A6", '=THREADWRIGHT_HARDNESS(42.5;"HRC";"HB")'),
    ("A7", '=THREADWRIGHT("hardness";"value=42&scale=HRC&to=HB";"value")'),
    ("A8", '=THREADWRIGHT("hardness";C1:D4;"value")'),
)  # fmt: skip


def module_for(address: str, folder: Path) -> Path:
    text = (COMMITTED.parent / "threadwright_vba.bas").read_text(encoding="utf-8")
    assert text.count("http://127.0.0.1:8000") == 1
    text = text.replace("http://127.0.0.1:8000", address)
    text = text.replace('Attribute VB_Name = "Threadwright"\n', "").replace(".Value2", ".Value")
    text, count = re.subn(
        r"    Set request = CreateObject.*?    SendText = request\.responseText",
        "    SendText = ThinSend(method, url, body)",
        text,
        flags=re.DOTALL,
    )
    assert count == 1
    module = folder / "threadwright_vba.bas"
    heading = "Rem Attribute VBA_ModuleType=VBAModule\nOption VBASupport 1\n"
    module.write_text(heading + text + THIN + CALLERS, encoding="utf-8")
    return module


def call(name: str) -> list[Any]:
    address = f"Standard.Threadwright.{name}?language=Basic&location=document"
    return [f"vnd.sun.star.script:{address}", []]


@pytest.mark.parametrize("locale", ["de-DE", "en-US"])
def test_functions_in_cells(locale: str, service: Process, tmp_path: Path) -> None:
    answer = office.carry_out(
        locale=locale, vba=module_for(service.url, tmp_path), formulas=FORMULAS
    )
    (cells,) = answer["sheets"].values()
    assert cells["A1"]["value"] == 22.994, "ISO 965-2, M24x1.5, 6g"
    assert cells["A2"]["value"] == 0.7029, "ASME B1.1, 3/4-16 UNF-2A"
    assert cells["A3"]["text"].startswith("#ERR 422 ")
    assert "decimal comma" in cells["A3"]["text"]
    assert cells["A4"]["value"] == pytest.approx(24.218, abs=1e-3)
    assert cells["A5"]["value"] == pytest.approx((22.994 + 22.844) / 2, abs=1e-4)
    assert cells["A7"]["value"] == 390, "ASTM E140, 42 HRC"
    assert 390 < cells["A6"]["value"] < 400
    assert 381 < cells["A8"]["value"] < 390


def test_a_selection_by_one_request(service: Process, tmp_path: Path) -> None:
    """The address of the workbook's own cell is used, its last slash left away."""
    texts = ["M24x1.5-6g", "", "M24x1,5-6g", "3/4-16 UNF-2A"]
    answer = office.carry_out(
        locale="de-DE",
        document=COMMITTED,
        only=["Help"],
        vba=module_for(f"http://127.0.0.1:{free_port()}", tmp_path),
        edits=[
            ("Quotes", "C2", f"{service.url}/"),
            *(("Quotes", f"AM{row}", text) for row, text in enumerate(texts, 40)),
        ],
        calls=[call("AddressUsed"), call("FillFromSelection")],
        new_sheet="A1:AZ5",
    )
    assert answer["calls"][0] == {"value": service.url}
    table = answer["new_sheet"]
    header = [cell["text"] for cell in table[0]]
    rows = [dict(zip(header, row, strict=True)) for row in table[1:4]]
    assert [row["id"]["text"] for row in rows] == ["AM40", "AM42", "AM43"]
    assert [row["status"]["value"] for row in rows] == [200, 422, 200]
    assert rows[0]["pitch_diameter_limits.max"]["value"] == 22.994
    assert rows[2]["pitch_diameter_limits.max"]["value"] == 0.7079
    assert "decimal comma" in rows[1]["error"]["text"]
    aim = requests.get(
        f"{service.url}/v1/wire-measurement?designation=M24x1.5-6g", timeout=30
    ).json()["result"]["reading"]["aim"]
    assert rows[0]["reading.aim"]["value"] == aim


def test_with_the_service_down(tmp_path: Path) -> None:
    answer = office.carry_out(
        locale="de-DE",
        vba=module_for(f"http://127.0.0.1:{free_port()}", tmp_path),
        formulas=FORMULAS[7:8],
    )
    (cells,) = answer["sheets"].values()
    assert cells["A1"]["text"].startswith("#ERR no answer from ")
