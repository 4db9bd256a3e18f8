"""The sheet Quotes: one line a job, entries on the left, what the service answers on the right."""

from __future__ import annotations

from itertools import groupby
from typing import Final

from openpyxl import Workbook
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Font
from openpyxl.utils import column_index_from_string
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.pagebreak import Break, ColBreak
from openpyxl.worksheet.worksheet import Worksheet

from spreadsheet.workbook.calls import (
    VERSION_ANSWER,
    job_answer,
    message_cell,
    of_all_lines,
    thread_answer,
)
from spreadsheet.workbook.cells import (
    allow_only,
    put,
    put_entry,
    put_head,
    set_widths,
    show_errors_grey,
    show_inches,
    show_reversed,
)
from spreadsheet.workbook.columns import (
    ENTRIES,
    FIRST_LINE,
    LINES,
    MESSAGE,
    MONEY,
    PLAN_RESULTS,
    PRICES,
    QUOTES,
    TENTHS,
    THREAD_RESULTS,
    TIME_RESULTS,
    Column,
    quote_letter,
)
from spreadsheet.workbook.formulas import NOTHING, is_refusal, item, last_item, number_item
from spreadsheet.workbook.messages import FAILS, shortened
from spreadsheet.workbook.scenario import JOBS
from spreadsheet.workbook.style import (
    ALARM_COLOUR,
    BAND_FILL,
    BOLD,
    CENTRE,
    GROUP_BORDER,
    HEAD,
    HEAD_FILL,
    LEFT,
    MESSAGE_FONT,
    MESSAGE_LINES,
    NOTE,
    PLAIN,
    RESULT_BORDER,
    RIGHT,
    TITLE,
    TOTAL_BORDER,
)

DEFAULT_ADDRESS: Final = "http://127.0.0.1:8000"
LAST_LINE: Final = FIRST_LINE + LINES - 1
TOTAL: Final = LAST_LINE + 1
TWO_LINES_PT: Final = 23
"""Height of a row: two lines of a message. It is fixed, for no program lets it follow what a
formula brings; a longer message is shortened in its cell."""


def add_quotes(book: Workbook) -> None:
    """Add the sheet with its names."""
    sheet = book.create_sheet("Quotes")
    _heading(book, sheet)
    _titles(sheet)
    for line in range(LINES):
        _line(sheet, line)
    _total(sheet)
    _rules(sheet)
    set_widths(sheet, [("A", 5), *((quote_letter(each.key), each.width) for each in QUOTES)])
    sheet.freeze_panes = f"{quote_letter('unit')}{FIRST_LINE}"
    sheet.sheet_view.zoomScale = 90
    sheet.sheet_view.showGridLines = False
    _print_setup(sheet)


def _heading(book: Workbook, sheet: Worksheet) -> None:
    put(sheet, "A1", "Thread quotes", font=TITLE)
    put(
        sheet,
        "D1",
        "Boxed cells are to be filled in; the others are worked out by the service. An aid to "
        "planning: the limits of machine and cutter come first, and every program is proved out.",
        font=NOTE,
        alignment=LEFT,
    )
    sheet.row_dimensions[1].height = 26
    entries = (
        ("A2:B2", "Address of the service", "C2", DEFAULT_ADDRESS, "base_address"),
        ("H2:I2", "Ask again", "J2", 1, "refresh"),
        ("K2", "Key", "L2", None, "service_key"),
        ("A3:B3", "Quote, customer, date", "C3", None, None),
        ("H3:I3", "Mark-up, %", "J3", 20, "mark_up_percent"),
        ("K3", "Currency", "L3", "EUR", "currency"),
    )
    for label_cells, label, cells, value, name in entries:
        put(sheet, label_cells, label, font=BOLD, alignment=RIGHT)
        put_entry(sheet, cells, value, left=True)
        if name:
            first = cells.split(":")[0]
            book.defined_names[name] = DefinedName(
                name, attr_text=f"Quotes!${first[0]}${first[1:]}"
            )
    put(sheet, "M2:N2", "Service, tables", font=BOLD, alignment=RIGHT)
    version = VERSION_ANSWER
    put(
        sheet,
        "O2:R2",
        f'=IF(ISERROR({version}),"no answer",IF({is_refusal(version)},{version},'
        f'{item(version, 1)}&" / "&{item(version, 2)}))',
        alignment=LEFT,
    )
    put(sheet, "M3:N3", "Lines quoted", font=BOLD, alignment=RIGHT)
    price, message = _range("lot_price"), _range("message")
    put(
        sheet,
        "O3:R3",
        f'=COUNT({price})&", with a message: "&SUMPRODUCT(--(LEN({message})>0))',
        alignment=LEFT,
    )


def _titles(sheet: Worksheet) -> None:
    put(sheet, "A4:A5", "Line", font=HEAD, fill=HEAD_FILL, alignment=CENTRE)
    for group, columns in groupby(QUOTES, key=lambda each: each.group):
        letters = [quote_letter(each.key) for each in columns]
        put(
            sheet,
            f"{letters[0]}4:{letters[-1]}4" if len(letters) > 1 else f"{letters[0]}4",
            group,
            font=HEAD,
            fill=HEAD_FILL,
            border=GROUP_BORDER,
            alignment=CENTRE,
        )
    for column in QUOTES:
        letter = quote_letter(column.key)
        put_head(sheet, f"{letter}5", column.title)
    sheet.row_dimensions[4].height = 17
    sheet.row_dimensions[5].height = 30


def _line(sheet: Worksheet, line: int) -> None:
    row = FIRST_LINE + line
    sheet.row_dimensions[row].height = TWO_LINES_PT
    put(sheet, f"A{row}", line + 1, alignment=CENTRE, border=RESULT_BORDER)
    job = JOBS[line] if line < len(JOBS) else {}
    for column in ENTRIES:
        cell = f"{quote_letter(column.key)}{row}"
        put_entry(sheet, cell, job.get(column.key), form=column.form, left=not column.number)
    answer = thread_answer(line)
    for number, column in enumerate(THREAD_RESULTS, 1):
        taken = number_item(answer, number)
        if not column.number:
            taken = f'SUBSTITUTE({last_item(answer, number)},"-"," ")'
        _result(sheet, column, row, _unless_refused(answer, taken))
    answer = job_answer(line)
    milled = f'${quote_letter("thread_process")}{row}="milled"'
    for number, column in enumerate(PLAN_RESULTS, 1):
        taken = f'IF({milled},{number_item(answer, number)},"{NOTHING}")'
        _result(sheet, column, row, _unless_refused(answer, taken))
    shift = len(PLAN_RESULTS)
    for number, column in enumerate(TIME_RESULTS, 1):
        which = f"IF({milled},{number + shift},{number})"
        taken = number_item(answer, which)
        if column.key == "part.time_s":  # the service says seconds, the sheet minutes
            taken = f"{taken}/60"
        _result(sheet, column, row, _unless_refused(answer, taken))
    cost, parts = (f"${quote_letter(key)}{row}" for key in ("lot.cost", "quantity"))
    lot_price = f"${quote_letter('lot_price')}{row}"
    for column, formula in zip(
        PRICES, (f"{cost}*(1+mark_up_percent/100)", f"{lot_price}/{parts}"), strict=True
    ):
        _result(sheet, column, row, f'=IF({cost}="","",{formula})')
    _result(sheet, MESSAGE, row, shortened(message_cell(line)))


def _result(sheet: Worksheet, column: Column, row: int, formula: str) -> None:
    put(
        sheet,
        f"{quote_letter(column.key)}{row}",
        formula,
        font=MESSAGE_FONT if column is MESSAGE else PLAIN,
        border=RESULT_BORDER,
        form=column.form,
        alignment=MESSAGE_LINES if column is MESSAGE else RIGHT if column.number else LEFT,
    )


def _unless_refused(answer: str, taken: str) -> str:
    """Empty where nothing is asked or the message tells; an error where no answer came."""
    return f'=IF({answer}="","",IF({is_refusal(answer)},"",{taken}))'


def _range(key: str) -> str:
    letter = quote_letter(key)
    return f"${letter}${FIRST_LINE}:${letter}${LAST_LINE}"


def _total(sheet: Worksheet) -> None:
    """Sums; a quote with a refusal is not summed as if it were whole.

    A plan that does not make the thread has its price, and is counted where messages stand.
    """
    for number in range(1, 2 + len(QUOTES)):
        cell = sheet.cell(TOTAL, number)
        cell.border = TOTAL_BORDER
        cell.fill = BAND_FILL
    put(sheet, f"B{TOTAL}", "Total", font=BOLD, border=TOTAL_BORDER, fill=BAND_FILL)
    fails, messages = of_all_lines("Q"), of_all_lines("R")
    message = f"SUMPRODUCT((LEN({messages})>0)*({messages}<>{fails}))"
    failing = f"SUMPRODUCT(--(LEN({fails})>0))"
    put(
        sheet,
        f"{quote_letter('message')}{TOTAL}",
        f'=IF({failing}=0,"","Plans that do not make the thread: "&{failing})',
        font=BOLD,
        border=TOTAL_BORDER,
        fill=BAND_FILL,
        alignment=LEFT,
    )
    for key, form in (("lot.time_min", TENTHS), ("lot.cost", MONEY), ("lot_price", MONEY)):
        put(
            sheet,
            f"{quote_letter(key)}{TOTAL}",
            f'=IF({message}>0,"incomplete",SUM({_range(key)}))',
            font=BOLD,
            border=TOTAL_BORDER,
            fill=BAND_FILL,
            form=form,
            alignment=RIGHT,
        )
    put(
        sheet,
        f"{quote_letter('price_each')}{TOTAL}",
        "=currency",
        font=BOLD,
        border=TOTAL_BORDER,
        fill=BAND_FILL,
        alignment=LEFT,
    )


def _rules(sheet: Worksheet) -> None:
    for column in ENTRIES:
        letter = quote_letter(column.key)
        allow_only(sheet, f"{letter}{FIRST_LINE}:{letter}{LAST_LINE}", column)
    unit = f"${quote_letter('unit')}{FIRST_LINE}"
    for column in QUOTES:
        if column.is_length:
            letter = quote_letter(column.key)
            cells = f"{letter}{FIRST_LINE}:{letter}{LAST_LINE}"
            show_inches(sheet, cells, unit, form=column.form)
    first, last = quote_letter(THREAD_RESULTS[0].key), quote_letter(PRICES[-1].key)
    show_errors_grey(sheet, f"{first}{FIRST_LINE}:{last}{LAST_LINE}")
    message = f"${quote_letter('message')}{FIRST_LINE}"
    fails = f'LEFT({message},{len(FAILS)})="{FAILS}"'
    show_reversed(sheet, f"A{FIRST_LINE}:A{LAST_LINE}", fails)
    show_reversed(sheet, f"{message.replace('$', '')}:{quote_letter('message')}{LAST_LINE}", fails)
    sheet.conditional_formatting.add(
        f"A{FIRST_LINE}:A{LAST_LINE}",
        FormulaRule(
            formula=[f"LEN({message})>0"],
            font=Font(bold=True, color=ALARM_COLOUR, underline="single"),
        ),
    )


def _print_setup(sheet: Worksheet) -> None:
    last = quote_letter("message")
    sheet.print_area = f"A1:{last}{TOTAL}"
    sheet.print_title_rows = "4:5"
    sheet.print_title_cols = "A:C"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.page_setup.scale = 61
    sheet.page_setup.pageOrder = "overThenDown"
    for side in ("left", "right", "top", "bottom"):
        setattr(sheet.page_margins, side, {"bottom": 0.7, "top": 0.4}.get(side, 0.3))
    # Three pages side by side: the work, the readings, the money.
    sheet.col_breaks = ColBreak()
    for last_of_page in ("spindle_speed", "plan.spring_passes"):
        column = column_index_from_string(quote_letter(last_of_page))
        sheet.col_breaks.append(Break(id=column))
    sheet.oddFooter.left.text = "Thread quotes"
    sheet.oddFooter.right.text = "Page &P of &N"
    sheet.oddFooter.left.size = sheet.oddFooter.right.size = 8
