"""The committed workbook: written by its script, and within what spreadsheet programs take."""

from __future__ import annotations

import re
from pathlib import Path
from zipfile import ZipFile

import pytest
from openpyxl import load_workbook

from spreadsheet.make_workbook import COMMITTED, main
from spreadsheet.workbook.scenario import CUTTERS, JOBS, MACHINES

# Functions that came after the file format: without the prefix a program knows no such name.
NEWER = ("WEBSERVICE", "ENCODEURL", "NUMBERVALUE", "FILTERXML")


@pytest.fixture(scope="module")
def formulas() -> dict[str, str]:
    book = load_workbook(COMMITTED)
    return {
        f"{sheet.title}!{cell.coordinate}": cell.value
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    }


def test_committed_file_is_what_the_script_writes(tmp_path: Path) -> None:
    again = tmp_path / "again.xlsx"
    assert main([str(again)]) == 0
    with ZipFile(COMMITTED) as committed, ZipFile(again) as written:
        assert committed.namelist() == written.namelist()
        for name in committed.namelist():
            if name == "docProps/core.xml":  # holds the time of writing
                continue
            assert committed.read(name) == written.read(name), f"{name}: write the workbook anew"


def test_newer_functions_have_their_prefix(formulas: dict[str, str]) -> None:
    assert len(formulas) > 1_500
    for cell, formula in formulas.items():
        for name in NEWER:
            code = re.sub(r'"(?:[^"]|"")*"', '""', formula)
            for found in re.finditer(name, code):
                assert code[: found.start()].endswith("_xlfn."), cell


def test_numbers_pass_through_the_safe_functions(formulas: dict[str, str]) -> None:
    for cell, formula in formulas.items():
        assert not re.search(r"(?<!R)VALUE\(", formula), f"{cell}: VALUE follows the language"
        for arguments in re.findall(r'NUMBERVALUE\(.*?,"(.)"," "\)', formula):
            assert arguments == ".", cell


def test_no_error_is_hidden(formulas: dict[str, str]) -> None:
    for cell, formula in formulas.items():
        assert "IFERROR" not in formula, cell
        assert "IFNA" not in formula, cell


def test_formulas_are_within_the_limits_of_every_program(formulas: dict[str, str]) -> None:
    for cell, formula in formulas.items():
        assert len(formula) <= 8_192, cell
        for constant in re.findall(r'"((?:[^"]|"")*)"', formula):
            assert len(constant) <= 255, cell
        depth = deepest = 0
        for letter in re.sub(r'"(?:[^"]|"")*"', "", formula):
            depth += (letter == "(") - (letter == ")")
            deepest = max(deepest, depth)
        assert depth == 0, cell
        assert deepest <= 64, cell


def test_inputs_are_named_validated_and_frozen() -> None:
    book = load_workbook(COMMITTED)
    assert set(book.defined_names) >= {
        "base_address", "refresh", "service_key", "mark_up_percent", "currency", "job_line",
        "measure_line",
    }  # fmt: skip
    quotes = book["Quotes"]
    assert quotes["C2"].value == "http://127.0.0.1:8000"
    assert quotes.freeze_panes == "D6"
    lists = [each for each in quotes.data_validations.dataValidation if each.type == "list"]
    assert len(lists) == 6, "unit, scale, side, way of making, cutter, machine"
    assert book.sheetnames == [
        "Quotes", "Job sheet", "Measure", "Cutters", "Machines", "Calls", "Help",
    ]  # fmt: skip


def test_the_scenario_is_in_its_cells() -> None:
    book = load_workbook(COMMITTED)
    for sheet, entries, first in (("Quotes", JOBS, 6), ("Cutters", CUTTERS, 5),
                                  ("Machines", MACHINES, 5)):  # fmt: skip
        for row, entry in enumerate(entries, first):
            held = {cell.value for cell in book[sheet][row]}
            assert set(entry.values()) <= held
