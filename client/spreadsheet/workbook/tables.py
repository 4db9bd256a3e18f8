"""The sheets Cutters, Machines and Calls."""

from __future__ import annotations

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from spreadsheet.workbook.calls import (
    FIRST_CALL,
    JOB_FIRST,
    LINE_TITLES,
    TABLES,
    TABLES_FIRST,
    head_cells,
    job_cells,
    line_cells,
    table_cells,
)
from spreadsheet.workbook.cells import (
    allow_only,
    put,
    put_entry,
    put_head,
    set_widths,
    show_inches,
)
from spreadsheet.workbook.columns import (
    CUTTER_COLUMNS,
    CUTTERS,
    FIRST_ENTRY,
    LINES,
    MACHINE_COLUMNS,
    MACHINES,
    Column,
    table_letter,
)
from spreadsheet.workbook.measure_calls import MEASURE_FIRST, READ_FIRST, measure_cells
from spreadsheet.workbook.scenario import CUTTERS as SCENARIO_CUTTERS
from spreadsheet.workbook.scenario import MACHINES as SCENARIO_MACHINES
from spreadsheet.workbook.scenario import Entry
from spreadsheet.workbook.style import (
    BAND_FILL,
    BOLD,
    LEFT,
    MONOSPACE,
    NOTE,
    SMALL,
    TITLE,
)


def add_cutters(book: Workbook) -> None:
    """Add the list of cutters, from which a line of a quote chooses."""
    sheet = book.create_sheet("Cutters")
    _table(
        sheet,
        "Cutters",
        "The shop's own cutters, each in its own unit. A threading edge or a tap needs only name, "
        "cost and life. What the cutter's maker recommends comes first.",
        CUTTER_COLUMNS,
        CUTTERS,
        SCENARIO_CUTTERS,
    )
    unit = f"${table_letter(CUTTER_COLUMNS, 'unit')}{FIRST_ENTRY}"
    for column in CUTTER_COLUMNS:
        if column.is_length:
            letter = table_letter(CUTTER_COLUMNS, column.key)
            cells = f"{letter}{FIRST_ENTRY}:{letter}{FIRST_ENTRY + CUTTERS - 1}"
            show_inches(sheet, cells, unit, form=column.form)


def add_machines(book: Workbook) -> None:
    """Add the list of machines."""
    _table(
        book.create_sheet("Machines"),
        "Machines",
        "The shop's own machines. An empty cell is left to the service, which says what it "
        "assumed (Job sheet, last page).",
        MACHINE_COLUMNS,
        MACHINES,
        SCENARIO_MACHINES,
    )


def _table(
    sheet: Worksheet,
    title: str,
    note: str,
    columns: tuple[Column, ...],
    rows: int,
    entries: tuple[Entry, ...],
) -> None:
    put(sheet, "A1", title, font=TITLE)
    put(sheet, "A2", note, font=NOTE)
    sheet.row_dimensions[1].height = 26
    for column in columns:
        letter = table_letter(columns, column.key)
        put_head(sheet, f"{letter}3", column.title)
        put(sheet, f"{letter}4", column.key, font=SMALL, fill=BAND_FILL, alignment=LEFT)
        for place in range(rows):
            entry = entries[place] if place < len(entries) else {}
            put_entry(
                sheet,
                f"{letter}{FIRST_ENTRY + place}",
                entry.get(column.key),
                form=column.form,
                left=not column.number,
            )
        allow_only(sheet, f"{letter}{FIRST_ENTRY}:{letter}{FIRST_ENTRY + rows - 1}", column)
    sheet.row_dimensions[3].height = 30
    sheet.row_dimensions[4].hidden = True  # the service's keys, for who writes formulas
    set_widths(sheet, [(table_letter(columns, each.key), each.width) for each in columns])
    sheet.freeze_panes = f"B{FIRST_ENTRY}"
    sheet.sheet_view.showGridLines = False
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.page_setup.fitToHeight = 0


def add_calls(book: Workbook) -> None:
    """Add the sheet of addresses and answers."""
    sheet = book.create_sheet("Calls")
    put(sheet, "A1", "Calls", font=TITLE)
    put(
        sheet,
        "A2",
        "Every address that this workbook asks, and the answer as it came. Nothing is to be "
        "entered here; an address can be copied into a browser.",
        font=NOTE,
    )
    titles = [chr(ord("A") + place) for place in range(len(LINE_TITLES))]
    for letter, (title, _) in zip(titles, LINE_TITLES, strict=True):
        put_head(sheet, f"{letter}{FIRST_CALL - 1}", title)
    put(sheet, f"A{FIRST_CALL - 2}", "Lines of the quote", font=BOLD)
    put(sheet, f"A{JOB_FIRST - 2}", "Job sheet", font=BOLD)
    for letter, title in zip("ABCDE", ("Call", "Asked", "Answer", "Rows", "Number"), strict=True):
        put_head(sheet, f"{letter}{JOB_FIRST - 1}", title)
    put(sheet, f"A{TABLES_FIRST - 2}", "Rows of the job sheet's tables", font=BOLD)
    for letter, title in zip("BCDEF", TABLES, strict=True):
        put_head(sheet, f"{letter}{TABLES_FIRST - 1}", title)
    put(sheet, f"A{MEASURE_FIRST - 2}", "Measure", font=BOLD)
    for letter, title in zip("ABCDE", ("Call", "Asked", "Answer", "Rows", "Number"), strict=True):
        put_head(sheet, f"{letter}{MEASURE_FIRST - 1}", title)
    titled = ("Readings", "Numbers", "Corrections", "Measured parts", "Cautions of it")
    for letter, title in zip("BCDEF", titled, strict=True):
        put_head(sheet, f"{letter}{READ_FIRST - 1}", title)
    cells = {**head_cells(), **job_cells(), **table_cells(), **measure_cells()}
    for line in range(LINES):
        cells.update(line_cells(line))
    for address, value in cells.items():
        is_label = address[0] == "A" and not value.startswith("=")
        put(sheet, address, value, font=BOLD if is_label else MONOSPACE, alignment=LEFT)
    set_widths(
        sheet, [("A", 16), ("B", 60), *((letter, width) for letter, (_, width) in
                                        list(zip(titles, LINE_TITLES, strict=True))[2:])]
    )  # fmt: skip
    sheet.freeze_panes = f"B{FIRST_CALL}"
    sheet.sheet_properties.tabColor = "9AA8AB"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
