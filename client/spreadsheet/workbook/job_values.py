"""Taking values of the job sheet's calls apart, and writing them."""

from __future__ import annotations

from typing import Final

from openpyxl.styles import Border, Font
from openpyxl.worksheet.worksheet import Worksheet

from spreadsheet.workbook.calls import (
    SHEET_GAUGES,
    SHEET_OTHER_HAND,
    SHEET_PLAN,
    SHEET_THREAD,
    SHEET_TIMES,
    SHEET_WIRES,
    answer_cell,
)
from spreadsheet.workbook.cells import put
from spreadsheet.workbook.columns import FIRST_LINE, LINES, quote_letter
from spreadsheet.workbook.formulas import NOTHING, is_refusal, item, last_item, number_item
from spreadsheet.workbook.style import BOLD, LEFT, PLAIN, RESULT_BORDER, RIGHT

_FIELDS: Final = {
    "thread": SHEET_THREAD,
    "wires": SHEET_WIRES,
    "gauges": SHEET_GAUGES,
    "plan": SHEET_PLAN,
    "other hand": SHEET_OTHER_HAND,
    "times": SHEET_TIMES,
}


def quoted(key: str, line: str = "job_line") -> str:
    """Give the cell of the line that a named cell chooses, in a column of the sheet Quotes."""
    letter = quote_letter(key)
    return f"INDEX(Quotes!${letter}${FIRST_LINE}:${letter}${FIRST_LINE + LINES - 1},{line})"


def place_of(call: str, path: str) -> int:
    """Place of a path among the values of a call; 1 is the first."""
    return _FIELDS[call].index(path) + 1


def value_of(call: str, path: str) -> str:
    """A number of one of the sheet's calls; empty where it was not asked or was refused."""
    answer = answer_cell(call)
    taken = number_item(answer, place_of(call, path))
    return f'=IF({answer}="","",IF({is_refusal(answer)},"{NOTHING}",{taken}))'


def word_of(call: str, path: str) -> str:
    """Text of one of the calls, without a leading equals sign."""
    answer = answer_cell(call)
    place = place_of(call, path)
    is_last = place == len(_FIELDS[call])
    taken = last_item(answer, place) if is_last else item(answer, place)
    told = f'IF({taken}="#N/A","{NOTHING}",{taken})'
    return f'IF({answer}="","",IF({is_refusal(answer)},"{NOTHING}",{told}))'


def put_number(
    sheet: Worksheet,
    cell: str,
    formula: str | None,
    form: str,
    font: Font = PLAIN,
    border: Border | None = RESULT_BORDER,
) -> None:
    """Write a value of a table."""
    put(
        sheet, cell, formula, font=font, border=border, form=form or "General",
        alignment=RIGHT if form else LEFT,
    )  # fmt: skip


def put_pair(
    sheet: Worksheet,
    row: int,
    side: str,
    label: str,
    formula: str,
    form: str = "General",
) -> None:
    """A label and its value, on the left or the right half."""
    label_cells, cells = (
        ("A{0}:C{0}", "D{0}:F{0}") if side == "left" else ("G{0}:I{0}", "J{0}:L{0}")
    )
    put(sheet, label_cells.format(row), label, border=RESULT_BORDER, alignment=LEFT)
    put(
        sheet,
        cells.format(row),
        formula,
        font=BOLD,
        border=RESULT_BORDER,
        alignment=LEFT,
        form=form,
    )
