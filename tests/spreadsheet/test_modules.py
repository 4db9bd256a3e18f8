"""The macro modules: the Python one run here, the others read for traps that cost parts."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from spreadsheet import threadwright_macro
from spreadsheet.make_workbook import COMMITTED
from support.servers import Process

FOLDER = COMMITTED.parent
BASIC = (FOLDER / "threadwright.bas").read_text(encoding="utf-8")
VBA = (FOLDER / "threadwright_vba.bas").read_text(encoding="utf-8")
QUERY = (FOLDER / "threadwright.pq").read_text(encoding="utf-8")
SCRIPT = (FOLDER / "threadwright_apps_script.gs").read_text(encoding="utf-8")
FUNCTIONS = ("THREADWRIGHT", "THREADWRIGHT_LIMIT", "THREADWRIGHT_READING")


def test_python_macro_reads_a_column_by_one_request(service: Process) -> None:
    rows = threadwright_macro.readings(
        ["M24x1.5-6g", "M24x1,5-6g", "3/4-16 UNF-2A"], address=service.url
    )
    assert [len(row) for row in rows] == [7, 7, 7]
    assert rows[0][:2] == [22.994, 22.844], "ISO 965-2"
    assert rows[2][:2] == [0.7079, 0.7029], "ASME B1.1"
    assert rows[0][6] == rows[2][6] == ""
    assert rows[1][:6] == [""] * 6
    assert "decimal comma" in rows[1][6]


def test_python_macro_sends_more_than_one_batch(service: Process) -> None:
    rows = threadwright_macro.readings(["M10-6g"] * 1_001, address=service.url)
    assert len(rows) == 1_001
    assert all(row == rows[0] for row in rows)


def test_python_macro_refuses_in_the_services_words(service: Process) -> None:
    with pytest.raises(ValueError, match="decimal comma"):
        threadwright_macro.ask("thread-limits", {"designation": "M24x1,5-6g"}, service.url)


class Cell:
    """A cell of the office, as far as the macro touches it."""

    def __init__(self, text: str = "") -> None:
        self.String = text
        self.Value: float | None = None


class Range:
    """A column of the office."""

    def __init__(self, texts: list[str]) -> None:
        self.grid: dict[tuple[int, int], Cell] = {
            (0, row): Cell(text) for row, text in enumerate(texts)
        }
        self.Spreadsheet = self
        self.RangeAddress: Any = type("Address", (), {
            "StartRow": 0, "EndRow": len(texts) - 1, "StartColumn": 0,
        })  # fmt: skip

    def getCellByPosition(self, column: int, row: int) -> Cell:  # noqa: N802 - the office's name
        return self.grid.setdefault((column, row), Cell())


def test_python_macro_fills_numbers_as_numbers(service: Process) -> None:
    column = Range(["M24x1.5-6g", "", "nonsense"])
    assert threadwright_macro.fill(column, service.url) == 1
    assert column.grid[(1, 0)].Value == 22.994
    assert (1, 1) not in column.grid, "an empty cell asks nothing"
    assert column.grid[(7, 2)].String


@pytest.mark.parametrize("text", [BASIC, VBA], ids=["basic", "vba"])
def test_modules_use_no_function_that_follows_the_language(text: str) -> None:
    code = "\n".join(
        line for line in text.splitlines() if not line.lstrip().startswith(("REM", "'"))
    )
    for name in ("CDbl", "CStr", "CSng", "CDec", "IsNumeric", "Format"):
        assert not re.search(rf"\b{name}\s*\(", code, re.IGNORECASE), name
    assert "Option Explicit" in code
    for name in FUNCTIONS:
        assert re.search(rf"^(Public )?Function {name}\(", code, re.MULTILINE), name
    assert "on_error=text" in code


def test_vba_waits_no_longer_than_it_says_and_keeps_no_answers() -> None:
    assert "MSXML2.ServerXMLHTTP.6.0" in VBA
    assert not re.search(r"CreateObject\(\"MSXML2\.XMLHTTP", VBA), "it keeps old answers"
    assert "setTimeouts" in VBA
    opened = re.findall(r"^\s*(?:Public |Private )?(Function|Sub)\b", VBA, re.MULTILINE)
    closed = re.findall(r"^\s*End (Function|Sub)\b", VBA, re.MULTILINE)
    assert opened == closed
    assert len(re.findall(r"^\s*For\b", VBA, re.MULTILINE)) == len(
        re.findall(r"^\s*Next\b", VBA, re.MULTILINE)
    )


def test_query_can_be_refreshed_and_names_its_language() -> None:
    assert "RelativePath" in QUERY
    assert "ManualStatusHandling" in QUERY
    assert '"en-US"' in QUERY
    assert "Json.FromValue" in QUERY
    for pair in ("()", "[]", "{}"):
        bare = re.sub(r"//[^\n]*|\"(?:[^\"]|\"\")*\"", "", QUERY)
        assert bare.count(pair[0]) == bare.count(pair[1]), pair


def test_script_asks_in_batches_and_shows_refusals() -> None:
    assert "muteHttpExceptions: true" in SCRIPT
    assert "/v1/batch" in SCRIPT
    for name in FUNCTIONS:
        assert f"function {name}(" in SCRIPT
    assert SCRIPT.count("@customfunction") == len(FUNCTIONS)
    assert "Bearer" in SCRIPT


def test_no_module_holds_a_key() -> None:
    for path in Path(FOLDER).glob("threadwright*"):
        if path.suffix != ".xlsx":
            assert not re.search(r"(?i)(password|secret)\s*=", path.read_text(encoding="utf-8"))
