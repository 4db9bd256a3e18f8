"""The sheet Measure: readings of the parts that were made, and how far to correct the cutter."""

from __future__ import annotations

from typing import Final

from openpyxl import Workbook
from openpyxl.formatting.rule import FormulaRule
from openpyxl.worksheet.worksheet import Worksheet

from spreadsheet.workbook.cells import (
    allow_only,
    put,
    put_band,
    put_entry,
    put_head,
    put_title_and_line,
    set_widths,
    show_errors_grey,
    show_inches,
)
from spreadsheet.workbook.columns import DRIFT, FINE, SIGNED, SIZE, WHOLE, Column
from spreadsheet.workbook.formulas import (
    NOTHING,
    is_refusal,
    item,
    last_item,
    number,
    number_item,
    unquoted,
)
from spreadsheet.workbook.job_values import put_number, put_pair, quoted
from spreadsheet.workbook.measure_calls import (
    AIM,
    CAUTIONS,
    CORRECTION,
    FIRST_PART,
    PARTS,
    caution_row,
    measure_answer,
    measured_rows,
)
from spreadsheet.workbook.scenario import FIRST_READING, WIRE
from spreadsheet.workbook.style import (
    ALARM,
    BOLD,
    LEFT,
    RESULT_BORDER,
    SMALL,
    WRAPPED,
)

CORRECT_ROW: Final = FIRST_PART + PARTS + 1
CAUTIONS_ROW: Final = CORRECT_ROW + 7
PART_COLUMNS: Final = (("pitch_diameter", "F:G", SIZE, 2), ("excess", "H:I", SIGNED, 3),
                       ("zone", "J", "", 4), ("verdict", "K:L", "", 5))  # fmt: skip
METHODS: Final = '"three-wire,balls,pitch-diameter"'


def add_measure(book: Workbook) -> None:
    """Add the sheet; the line that it is about is chosen in a cell named measure_line."""
    sheet = book.create_sheet("Measure")
    job, call_out, unit = (quoted(key, "measure_line") for key in ("job", "designation", "unit"))
    put_title_and_line(book, sheet, f'="Measure: "&{job}', "measure_line")
    put(sheet, "A2:L2", _message(call_out), font=ALARM, alignment=WRAPPED)
    put(
        sheet,
        "A3:L3",
        f'="Lengths in "&{unit}&". Enter the readings in the order in which the parts were made; '
        'then correct the finishing pass alone, and prove out above the part."',
        font=SMALL,
        alignment=LEFT,
    )
    for row in (1, 2):
        sheet.row_dimensions[row].height = 26
    _aim(sheet, call_out)
    _parts(sheet)
    _correction(sheet)
    _cautions(sheet)
    _setup(sheet, unit)


def _message(call_out: str) -> str:
    """The first refusal, or that there was no answer."""
    formula = '""'
    for call in ("correction", "aim"):
        answer = measure_answer(call)
        formula = (
            f'IF(ISERROR({answer}),"No answer of the service: see Help",'
            f"IF({is_refusal(answer)},{answer},{formula}))"
        )
    return f'=IF({call_out}="","Line "&measure_line&" is empty",{formula})'


def _value(call: str, fields: tuple[str, ...], path: str) -> str:
    answer = measure_answer(call)
    taken = number_item(answer, fields.index(path) + 1)
    return f'=IF({answer}="","",IF({is_refusal(answer)},"{NOTHING}",{taken}))'


def _word(path: str) -> str:
    """A word of the correction; the last may hold commas."""
    answer, place = measure_answer("correction"), CORRECTION.index(path) + 1
    taken = last_item(answer, place) if place == len(CORRECTION) else item(answer, place)
    return f'=IF({answer}="","",IF({is_refusal(answer)},"{NOTHING}",{taken}))'


def _aim(sheet: Worksheet, call_out: str) -> None:
    put_band(sheet, "A5:L5", _whose_limits())
    put_pair(sheet, 6, "left", "Call-out", f"={call_out}")
    method = Column(
        key="method", title="How it is measured", width=0, group="", number=False,
        choices=METHODS, hint="Empty: as is usual for the thread.",
    )  # fmt: skip
    wire = Column(
        key="wire_diameter", title="Wires or balls ⌀", width=0, group="", form=FINE, least=0,
        hint="Empty: the best.",
    )  # fmt: skip
    uncertainty = Column(
        key="uncertainty", title="Uncertainty of a size, k = 2", width=0, group="", form=FINE,
        least=0, hint="Of the pitch diameter; kept from both limits.",
    )  # fmt: skip
    for row, column in enumerate((method, wire, uncertainty), 7):
        put(sheet, f"A{row}:C{row}", column.title, border=RESULT_BORDER, alignment=LEFT)
        value = WIRE if column is wire else None
        put_entry(sheet, f"D{row}:F{row}", value, form=column.form, left=True)
        allow_only(sheet, f"D{row}", column)
    right = (
        ("Reading to aim at", "reading.aim", SIZE),
        ("Reading, max", "reading.max", SIZE),
        ("Reading, min", "reading.min", SIZE),
        ("Over wires or balls ⌀", "wire_diameter", FINE),
    )
    for row, (label, path, form) in enumerate(right, 6):
        put_pair(sheet, row, "right", label, _value("aim", AIM, path), form)


def _whose_limits() -> str:
    """For which state of the part the readings hold."""
    answer = measure_answer("aim")
    state = item(answer, AIM.index("thread.state") + 1)
    told = f'IF({state}="finished","the finished part","the part "&SUBSTITUTE({state},"-"," "))'
    nothing = f'IF({answer}="",TRUE,{is_refusal(answer)})'
    return (
        f'=IF(ISERROR({answer}),"What to aim at",'
        f'IF({nothing},"What to aim at","What to aim at, for "&{told}))'
    )


def _parts(sheet: Worksheet) -> None:
    top = FIRST_PART - 3
    put_band(sheet, f"A{top}:L{top}", "What was read")
    heads = (
        ("A", "Part"), ("B:C", "Reading"), ("D:E", "Radius corrected\nbefore this part"),
        ("F:G", "Pitch ⌀"), ("H:I", "Over the\ntarget"), ("J", "Zone"), ("K:L", "Verdict"),
    )  # fmt: skip
    for letters, title in heads:
        first, last = letters[0], letters[-1]
        cells = f"{first}{top + 1}:{last}{top + 2}"
        put_head(sheet, cells, title)
    rows = measured_rows()
    for place in range(PARTS):
        row = FIRST_PART + place
        put_entry(sheet, f"A{row}", 1 if place == 0 else None, form=WHOLE)
        put_entry(sheet, f"B{row}:C{row}", FIRST_READING if place == 0 else None, form=FINE)
        put_entry(sheet, f"D{row}:E{row}", form=SIGNED)
        # The answer has one row for each reading; an empty line between them has none.
        line = f"INDEX({rows},COUNT($B${FIRST_PART}:$B{row}))"
        for _, letters, form, which in PART_COLUMNS:
            text = item(line, which)
            value = number(text) if form else text
            cells = f"{letters[0]}{row}:{letters[-1]}{row}" if ":" in letters else f"{letters}{row}"
            put_number(sheet, cells, f'=IF($B{row}="","",IF({line}="","",{value}))', form)
    least = {
        "A": Column(key="", title="", width=0, group="", form=WHOLE, least=1,
                    hint="Its running number, if not every part was measured."),
        "B": Column(key="", title="", width=0, group="", form=FINE, least=0),
    }  # fmt: skip
    for letter, column in least.items():
        allow_only(sheet, f"{letter}{FIRST_PART}:{letter}{FIRST_PART + PARTS - 1}", column)


def _correction(sheet: Worksheet) -> None:
    row = CORRECT_ROW
    put_band(
        sheet, f"A{row}:L{row}", "How far to correct: add it to the cutter's radius in the control"
    )
    left = (
        ("Radius correction", "radius_correction_now", SIGNED),
        ("The same as a diameter", "diameter_correction_now", SIGNED),
        ("Pitch diameter expected then", "expected_pitch_diameter", SIZE),
        ("Mean over the target", "excess", SIGNED),
    )
    right = (("Drift a part", "drift_per_part", DRIFT),
             ("Next correction after parts", "next_correction_after_parts", WHOLE))  # fmt: skip
    for place, (label, path, form) in enumerate(left, row + 1):
        put_pair(sheet, place, "left", label, _value("correction", CORRECTION, path), form)
    put_pair(sheet, row + 1, "right", "What to do", _word("action"))
    put_pair(sheet, row + 2, "right", "Last part", _word("verdict"))
    for place, (label, path, form) in enumerate(right, row + 3):
        put_pair(sheet, place, "right", label, _value("correction", CORRECTION, path), form)
    put(sheet, f"A{row + 5}:C{row + 5}", "Why", border=RESULT_BORDER, alignment=LEFT)
    put(
        sheet, f"D{row + 5}:L{row + 5}", _word("action_reason"), font=BOLD, border=RESULT_BORDER,
        alignment=LEFT,
    )  # fmt: skip


def _cautions(sheet: Worksheet) -> None:
    put_band(sheet, f"A{CAUTIONS_ROW}:L{CAUTIONS_ROW}", "Be careful about")
    for place in range(CAUTIONS):
        row, line = CAUTIONS_ROW + 1 + place, caution_row(place + 2)
        comma = f'FIND(",",{line})'
        code, detail = f"LEFT({line},{comma}-1)", f"MID({line},{comma}+1,LEN({line}))"
        put(sheet, f"A{row}:C{row}", f'=IF({line}="","",{code})', font=BOLD, alignment=WRAPPED)
        put(sheet, f"D{row}:L{row}", f'=IF({line}="","",{unquoted(detail)})', alignment=WRAPPED)
        sheet.row_dimensions[row].height = 25


def _setup(sheet: Worksheet, unit: str) -> None:
    set_widths(
        sheet, [(letter, 11.3) for letter in "ABCDEFGHI"] + [("J", 16), ("K", 12), ("L", 12)]
    )
    put(sheet, "N1", f"={unit}", font=SMALL)
    sheet.column_dimensions["N"].hidden = True
    last = FIRST_PART + PARTS - 1
    in_inches = (
        (FINE, ("D8:F9", "J9:L9", f"B{FIRST_PART}:C{last}")),
        (SIZE, ("J6:L8", f"F{FIRST_PART}:G{last}", f"D{CORRECT_ROW + 3}:F{CORRECT_ROW + 3}")),
        (
            SIGNED,
            (
                f"D{FIRST_PART}:E{last}",
                f"H{FIRST_PART}:I{last}",
                f"D{CORRECT_ROW + 1}:F{CORRECT_ROW + 2}",
                f"D{CORRECT_ROW + 4}:F{CORRECT_ROW + 4}",
            ),
        ),
        (DRIFT, (f"J{CORRECT_ROW + 3}:L{CORRECT_ROW + 3}",)),
    )
    for form, ranges in in_inches:
        for cells in ranges:
            show_inches(sheet, cells, "$N$1", form=form)
    end = CAUTIONS_ROW + CAUTIONS
    show_errors_grey(sheet, f"A6:L{end}")
    sheet.conditional_formatting.add(
        f"A{CAUTIONS_ROW + 1}:L{end}",
        FormulaRule(formula=[f"LEN($A{CAUTIONS_ROW + 1})>0"], border=RESULT_BORDER),
    )
    sheet.conditional_formatting.add(
        f"K{FIRST_PART}:L{last}",
        FormulaRule(formula=[f'$K{FIRST_PART}="reject"'], font=ALARM),
    )
    sheet.sheet_view.showGridLines = False
    sheet.freeze_panes = "A5"
    sheet.print_area = f"A1:L{end}"
    sheet.page_setup.orientation = "portrait"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.page_setup.fitToHeight = 1
    for side in ("left", "right", "top", "bottom"):
        setattr(sheet.page_margins, side, 0.7 if side == "bottom" else 0.5)
    sheet.oddFooter.left.text = "Measure"
    sheet.oddFooter.right.text = "Page &P of &N"
