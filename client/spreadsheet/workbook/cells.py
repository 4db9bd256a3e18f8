"""Writing cells: value, look and merged ranges in one step."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Alignment, Border, Font, PatternFill
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.styles.numbers import NumberFormat
from openpyxl.utils import quote_sheetname
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from spreadsheet.workbook.columns import ANY, INCH_FORMS, LENGTH, LINES, WHOLE, Column
from spreadsheet.workbook.style import (
    BAND_FILL,
    BOLD,
    CENTRE,
    ENTRY_BORDER,
    ENTRY_FILL,
    FLUSH,
    GREY_COLOUR,
    HEAD,
    HEAD_FILL,
    LEFT,
    PLAIN,
    REVERSED,
    REVERSED_FILL,
    RIGHT,
    TITLE,
)

Value = str | float | None
_FIRST_CONDITIONS_FORMAT: Final = 300
"""Number of the first format of a condition, beyond those of cells."""


def put(
    sheet: Worksheet,
    address: str,
    value: Value = None,
    *,
    font: Font = PLAIN,
    fill: PatternFill | None = None,
    border: Border | None = None,
    alignment: Alignment | None = None,
    form: str = ANY,
) -> Cell:
    """Write one cell, or a range that is merged into one."""
    first = address.split(":")[0]
    if ":" in address:
        sheet.merge_cells(address)
    cell: Cell = sheet[first]
    cell.value = value
    cell.font = font
    cell.number_format = off_the_border(form) if alignment is RIGHT else form
    if alignment is not None:
        cell.alignment = alignment
    for row in sheet[address] if ":" in address else ((cell,),):
        for each in row:
            if fill is not None:
                each.fill = fill
            if border is not None:
                each.border = border
    return cell


def off_the_border(form: str) -> str:
    """A number format that ends a blank before the border.

    An indent would do so too, but Calc leaves it out where the next cell is empty.
    """
    sections = form.split(";") if ";" in form else [form, f"-{form}", form]
    return ";".join([*(f"{each}_ " for each in sections), "@"])


def put_entry(
    sheet: Worksheet, address: str, value: Value = None, *, form: str = ANY, left: bool = False
) -> Cell:
    """Write a cell that is to be filled in."""
    return put(
        sheet,
        address,
        value,
        fill=ENTRY_FILL,
        border=ENTRY_BORDER,
        form=form,
        alignment=LEFT if left else RIGHT,
    )


def put_band(sheet: Worksheet, address: str, title: str) -> None:
    """Write the heading of a group."""
    put(sheet, address, title, font=HEAD, fill=HEAD_FILL, alignment=LEFT)


def put_head(sheet: Worksheet, address: str, title: str) -> None:
    """Write the heading of a column."""
    put(sheet, address, title, font=BOLD, fill=BAND_FILL, alignment=CENTRE)


def put_title_and_line(book: Workbook, sheet: Worksheet, title: str, name: str) -> None:
    """Head a sheet that is about one line of the quote, chosen in a cell of this name."""
    book.defined_names[name] = DefinedName(name, attr_text=f"{quote_sheetname(sheet.title)}!$L$1")
    put(sheet, "A1:H1", title, font=TITLE, alignment=FLUSH)
    put(sheet, "I1:K1", "Line of the quote", font=BOLD, alignment=RIGHT)
    put_entry(sheet, "L1", 1, form=WHOLE)
    rule = DataValidation(
        type="whole", operator="between", formula1="1", formula2=str(LINES), showErrorMessage=True
    )
    rule.error = f"A line from 1 to {LINES}."
    sheet.add_data_validation(rule)
    rule.add("L1")


def allow_only(sheet: Worksheet, cells: str, column: Column) -> None:
    """Offer the choices of a column, or accept only numbers of its range."""
    if column.choices:
        rule = DataValidation(type="list", formula1=column.choices, allow_blank=True)
        rule.error = "Choose from the list."
    elif column.number:
        least = 0 if column.least is None else column.least
        kind = "whole" if column.form == "0" else "decimal"
        rule = DataValidation(
            type=kind, operator="greaterThanOrEqual", formula1=str(least), allow_blank=True
        )
        rule.error = f"A number of {least} or more."
    elif column.hint:
        rule = DataValidation(allow_blank=True)
    else:
        return
    rule.showErrorMessage = bool(rule.error)
    if column.hint:
        rule.prompt, rule.promptTitle = column.hint, column.title.replace("\n", " ")
        rule.showInputMessage = True
    sheet.add_data_validation(rule)
    rule.add(cells)


def show_inches(
    sheet: Worksheet,
    cells: str,
    unit_cell: str,
    filled_border: Border | None = None,
    form: str = LENGTH,
) -> None:
    """Show lengths of a form in its form for inches where the line is in inches.

    ``filled_border`` is for cells whose border depends on a condition too: of several conditions
    that hold, some programs apply the first alone.
    """
    style = DifferentialStyle(
        numFmt=NumberFormat(
            numFmtId=_FIRST_CONDITIONS_FORMAT + list(INCH_FORMS).index(form),
            formatCode=off_the_border(INCH_FORMS[form]),
        ),
        border=filled_border,
    )
    condition = f'{unit_cell}="in"'
    if filled_border is not None:
        condition = f"AND({condition},LEN({cells.split(':')[0]})>0)"
    rule = FormulaRule(formula=[condition])
    rule.dxf = style
    sheet.conditional_formatting.add(cells, rule)


def show_reversed(sheet: Worksheet, cells: str, condition: str) -> None:
    """Show white on black where a condition holds: it tells in black and white too."""
    sheet.conditional_formatting.add(
        cells, FormulaRule(formula=[condition], font=REVERSED, fill=REVERSED_FILL)
    )


def show_errors_grey(sheet: Worksheet, cells: str) -> None:
    """Show a cell without an answer in grey: the message says why."""
    first = cells.split(":")[0].replace("$", "")
    sheet.conditional_formatting.add(
        cells, FormulaRule(formula=[f"ISERROR({first})"], font=Font(color=GREY_COLOUR, italic=True))
    )


def set_widths(sheet: Worksheet, widths: Iterable[tuple[str, float]]) -> None:
    """Set the widths of columns."""
    for letter, width in widths:
        sheet.column_dimensions[letter].width = width
