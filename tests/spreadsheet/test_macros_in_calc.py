"""The Basic module and the Python macro run inside a real Calc with a decimal comma."""

from __future__ import annotations

from pathlib import Path

import pytest

from spreadsheet.make_workbook import COMMITTED
from support import office
from support.servers import Process, free_port

pytestmark = [
    pytest.mark.spreadsheet,
    pytest.mark.skipif(bool(office.missing()), reason=office.missing() or "Calc is here"),
]
DEFAULT = "http://127.0.0.1:8000"
FORMULAS = (
    ("A1", '=THREADWRIGHT_LIMIT("M24x1.5-6g";"pitch_diameter.max";"mm")'),
    ("A2", '=THREADWRIGHT_LIMIT("3/4-16 UNF-2A";"pitch_diameter.min")'),
    ("A3", '=THREADWRIGHT_LIMIT("M24x1,5-6g";"pitch_diameter.max";"mm")'),
    ("A4", '=THREADWRIGHT_READING("M24x1.5-6g";"aim";"mm")'),
    ("A5", '=THREADWRIGHT_PITCH_DIAMETER("M24x1.5-6g";A4;"mm")'),
    ("A6", '=THREADWRIGHT_HARDNESS(42.5;"HRC";"HB")'),
    ("A7", '=THREADWRIGHT("hardness";"value=42&scale=HRC&to=HB";"value")'),
    ("C1", '="value"'),
    ("D1", "=41.5"),
    ("C2", '="scale"'),
    ("D2", '="HRC"'),
    ("C3", '="to"'),
    ("D3", '="HB"'),
    ("C4", '="table"'),
    ("A8", '=THREADWRIGHT("hardness";C1:D4;"value")'),
)


def module_for(address: str, folder: Path) -> Path:
    text = (COMMITTED.parent / "threadwright.bas").read_text(encoding="utf-8")
    assert text.count(DEFAULT) == 1
    changed = folder / "threadwright.bas"
    changed.write_text(text.replace(DEFAULT, address), encoding="utf-8")
    return changed


@pytest.mark.parametrize("locale", ["de-DE", "en-US"])
def test_basic_functions_in_cells(locale: str, service: Process, tmp_path: Path) -> None:
    answer = office.carry_out(
        locale=locale, basic=module_for(service.url, tmp_path), formulas=FORMULAS
    )
    (cells,) = answer["sheets"].values()
    assert cells["A1"]["value"] == 22.994, "ISO 965-2, M24x1.5, 6g"
    assert cells["A2"]["value"] == 0.7029, "ASME B1.1, 3/4-16 UNF-2A"
    assert cells["A3"]["text"].startswith("#ERR 422 ")
    assert cells["A3"]["value"] is None, "a refusal is no number"
    assert cells["A5"]["value"] == pytest.approx(22.919, abs=2e-5), "there and back: the middle"
    # ASTM E140 table 1: 42 HRC is 390 HB, 43 HRC 400 HB, 41 HRC 381 HB
    assert cells["A7"]["value"] == 390
    assert 390 < cells["A6"]["value"] < 400
    assert 381 < cells["A8"]["value"] < 390


def test_basic_functions_with_the_service_down(tmp_path: Path) -> None:
    answer = office.carry_out(
        locale="de-DE",
        basic=module_for(f"http://127.0.0.1:{free_port()}", tmp_path),
        formulas=FORMULAS[:1],
    )
    (cells,) = answer["sheets"].values()
    assert cells["A1"]["text"].startswith("#ERR no answer from ")


def test_python_macro_in_the_office(service: Process) -> None:
    texts = [["Quotes", "AM40", "M24x1.5-6g"], ["Quotes", "AM41", "M24x1,5-6g"]]
    answer = office.carry_out(
        locale="de-DE",
        document=COMMITTED,
        only=["Help"],
        python=COMMITTED.parent / "threadwright_macro.py",
        edits=texts,
        calls=[
            [
                "vnd.sun.star.script:threadwright_macro.py$fill?language=Python&location=user",
                [{"range": ["Quotes", "AM40:AM41"]}, service.url],
            ]
        ],
        read=[["Quotes", "AN40"], ["Quotes", "AS40"], ["Quotes", "AT41"]],
    )
    assert answer["calls"] == [{"value": 1}], "one call-out was refused"
    first, aim, error = answer["read"]
    assert first["value"] == 22.994
    assert aim["value"] == pytest.approx(24.218, abs=1e-3)
    assert "decimal comma" in error["text"]
