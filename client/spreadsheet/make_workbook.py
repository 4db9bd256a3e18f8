"""Write the quoting workbook.

Usage: ``python -m spreadsheet.make_workbook [FILE]``; without a file it writes
``threadwright_quotes.xlsx`` beside this module.
"""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path
from typing import Final

from openpyxl import Workbook
from openpyxl.styles import Font

from spreadsheet.workbook.help import add_help
from spreadsheet.workbook.job_sheet import add_job_sheet
from spreadsheet.workbook.measure import add_measure
from spreadsheet.workbook.quotes import add_quotes
from spreadsheet.workbook.style import FONT
from spreadsheet.workbook.tables import add_calls, add_cutters, add_machines

COMMITTED: Final = Path(__file__).with_name("threadwright_quotes.xlsx")


def make_workbook() -> Workbook:
    """The workbook, as it opens."""
    book = Workbook()
    book.remove(book.worksheets[0])
    # Widths of columns count in digits of this font: one whose widths are known everywhere.
    book._named_styles["Normal"].font = Font(name=FONT, size=10)
    sheets = (
        add_quotes, add_job_sheet, add_measure, add_cutters, add_machines, add_calls, add_help,
    )  # fmt: skip
    for add in sheets:
        add(book)
    book.active = 0
    book.calculation.fullCalcOnLoad = True
    book.properties.title = "Thread quotes"
    book.properties.creator = "Threadwright"
    # A fixed date: the same workbook is the same file content.
    book.properties.created = book.properties.modified = datetime(2026, 11, 1)
    return book


def main(arguments: list[str]) -> int:
    """Write it."""
    target = Path(arguments[0]) if arguments else COMMITTED
    make_workbook().save(target)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
