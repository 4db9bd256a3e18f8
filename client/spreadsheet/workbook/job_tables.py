"""The tables of the job sheet: passes, times and prices, cautions, assumptions."""

from __future__ import annotations

from typing import Final

from openpyxl.worksheet.worksheet import Worksheet

from spreadsheet.workbook.calls import table_cell, unit_place
from spreadsheet.workbook.cells import put, put_band, put_head
from spreadsheet.workbook.columns import FINE, MONEY, SIZE, TENTHS, WHOLE
from spreadsheet.workbook.formulas import NOTHING, column_number, item, number, unquoted
from spreadsheet.workbook.job_values import put_number, put_pair, quoted, value_of
from spreadsheet.workbook.style import BAND_FILL, BOLD, LEFT, REASON, SMALL, WRAPPED

LETTERS: Final = "ABCDEFGHIJKL"
PASSES: Final = 20
CAUTIONS: Final = 20
ASSUMED: Final = 60
PASS_COLUMNS: Final = (
    ("number", "Pass", WHOLE),
    ("kind", "Kind", ""),
    ("root_diameter", "Root ⌀", SIZE),
    ("radial_depth", "Radial\ndepth", SIZE),
    ("cutter_centre_radius", "Centre\nradius", SIZE),
    ("spindle_speed", "Speed\nrev/min", WHOLE),
    ("feed_centre", "Feed of\nthe centre", TENTHS),
    ("feed_per_tooth", "Feed\na tooth", FINE),
    ("deflection", "Bend", FINE),
    ("pitch_diameter", "Pitch ⌀\nafter", SIZE),
    ("cutting_time_s", "Time\ns", TENTHS),
    ("limited_by", "Limited by", ""),
)
BREAKDOWN_COLUMNS: Final = (
    ("name", "A:B", "Of the lot", ""),
    ("time_min", "C", "min", TENTHS),
    ("time_share", "D", "share", "0%"),
    ("cost", "E", "cost", MONEY),
    ("cost_share", "F", "share", "0%"),
)
PRICE_COLUMNS: Final = (
    ("quantity", "H", "Parts", WHOLE),
    ("time_min", "I", "min", TENTHS),
    ("time_each_min", "J", "min each", TENTHS),
    ("cost", "K", "cost", MONEY),
    ("cost_each", "L", "cost each", MONEY),
)
LISTED: Final = 12
"""Rows of the tables of time and price."""

PASS_ROW, TIME_ROW = 33, 57
TABLES_ROW: Final = TIME_ROW + 7
CAUTIONS_ROW: Final = TABLES_ROW + LISTED + 3
ASSUMED_ROW: Final = CAUTIONS_ROW + CAUTIONS + 3


def add_passes(sheet: Worksheet) -> None:
    """Add the table of passes."""
    unit = quoted("unit")
    put(sheet, f"A{PASS_ROW}:L{PASS_ROW}", None)
    put_band(
        sheet,
        f"A{PASS_ROW}:L{PASS_ROW}",
        f'="Passes; feed in "&{unit}&"/min"' + _too_many("passes", PASSES),
    )
    for letter, (key, title, _) in zip(LETTERS, PASS_COLUMNS, strict=True):
        put_head(sheet, f"{letter}{PASS_ROW + 1}", title)
        put(sheet, f"{letter}{PASS_ROW + 2}", key, font=SMALL, fill=BAND_FILL, alignment=LEFT)
    sheet.row_dimensions[PASS_ROW + 1].height = 28
    # The formulas find their column by these keys; a reader of the page needs them not.
    sheet.row_dimensions[PASS_ROW + 2].hidden = True
    for place in range(PASSES):
        row = PASS_ROW + 3 + place
        for letter, (_, _, form) in zip(LETTERS, PASS_COLUMNS, strict=True):
            key = f"{letter}${PASS_ROW + 2}"
            put_number(
                sheet, f"{letter}{row}", _of_table("passes", place, key, form), form, border=None
            )


def _too_many(table: str, room: int) -> str:
    """Words for rows that found no room."""
    header, beyond = table_cell(table, 1), table_cell(table, room + 2)
    return f'&IF(ISERROR({header}),"",IF({beyond}="","","; MORE THAN {room}: ask for all"))'


def _of_table(table: str, place: int, key_cell: str, form: str) -> str:
    """One value of a table; an error where the table has no such column."""
    line, header = table_cell(table, place + 2), table_cell(table, 1)
    text = item(line, column_number_of(header, key_cell))
    value = number(text) if form else text
    return f'=IF({line}="","",IF({text}="","{NOTHING}",{value}))'


def column_number_of(header: str, key_cell: str) -> str:
    """Column whose key stands in a cell of the sheet."""
    return column_number(header, "KEY").replace('",KEY,"', f'","&{key_cell}&","')


def add_times(sheet: Worksheet) -> None:
    """Add times and cost, where they come from, and prices of other quantities."""
    put_band(sheet, f"A{TIME_ROW}:L{TIME_ROW}", '="Time and cost of the lot; money in "&currency')
    left = (
        ("In the cut, s a part", "part.cutting_time_s", TENTHS),
        ("At the machine, s a part", "part.time_s", TENTHS),
        ("Lot, min", "lot.time_min", TENTHS),
        ("Lot, min, low", "lot.spread.time_low_min", TENTHS),
        ("Lot, min, high", "lot.spread.time_high_min", TENTHS),
    )
    right = (
        ("Cost of the lot", "lot.cost", MONEY),
        ("Cost, low", "lot.spread.low", MONEY),
        ("Cost, high", "lot.spread.high", MONEY),
        ("Cost each", "lot.cost_each", MONEY),
        ("Parts to measure", "lot.measured", WHOLE),
    )
    for side, pairs in (("left", left), ("right", right)):
        for row, (label, path, form) in enumerate(pairs, TIME_ROW + 1):
            put_pair(sheet, row, side, label, value_of("times", path), form)
    for table, columns in (("breakdown", BREAKDOWN_COLUMNS), ("price breaks", PRICE_COLUMNS)):
        for key, letters, title, form in columns:
            cells = ":".join(f"{letter}{TABLES_ROW}" for letter in letters.split(":"))
            put_head(sheet, cells, title)
            for place in range(LISTED):
                row = TABLES_ROW + 1 + place
                cells = ":".join(f"{letter}{row}" for letter in letters.split(":"))
                put_number(
                    sheet, cells, _of_table(table, place, f'"{key}"', form), form, border=None
                )


def add_cautions(sheet: Worksheet) -> None:
    """Add what to be careful about."""
    put_band(
        sheet,
        f"A{CAUTIONS_ROW}:L{CAUTIONS_ROW}",
        '="Be careful about"' + _too_many("cautions", CAUTIONS),
    )
    for place in range(CAUTIONS):
        row = CAUTIONS_ROW + 1 + place
        line = table_cell("cautions", place + 2)
        code = f'LEFT({line},FIND(",",{line})-1)'
        detail = f'MID({line},FIND(",",{line})+1,LEN({line}))'
        filled = f'=IF({line}="","",{code})'
        put(sheet, f"A{row}:B{row}", filled, font=BOLD, alignment=WRAPPED)
        put(sheet, f"C{row}:L{row}", f'=IF({line}="","",{unquoted(detail)})', alignment=WRAPPED)
        sheet.row_dimensions[row].height = 25


def add_assumed(sheet: Worksheet) -> None:
    """What was not given, and what stands in for it: no default is silent."""
    put_band(
        sheet,
        f"A{ASSUMED_ROW}:L{ASSUMED_ROW}",
        '="Assumed, since not given"' + _too_many("assumed", ASSUMED),
    )
    for place in range(ASSUMED):
        row = ASSUMED_ROW + 1 + place
        line = table_cell("assumed", place + 2)
        key = f'LEFT({line},FIND(",",{line})-1)'
        rest = f'MID({line},FIND(",",{line})+1,LEN({line}))'
        value = f'LEFT({rest},FIND(",",{rest})-1)'
        unit = f"MID({line},{unit_place(place + 2)}+1,20)"
        put(sheet, f"A{row}:C{row}", f'=IF({line}="","",{key})', alignment=LEFT)
        put(
            sheet,
            f"D{row}:E{row}",
            f'=IF({line}="","",{value}&" "&{unit})',
            font=BOLD,
            alignment=LEFT,
        )
        begins = f"(LEN({key})+LEN({value})+3)"
        why = unquoted(f"MID({line},{begins},{unit_place(place + 2)}-{begins})")
        put(sheet, f"F{row}:L{row}", f'=IF({line}="","",{why})', font=REASON, alignment=LEFT)
