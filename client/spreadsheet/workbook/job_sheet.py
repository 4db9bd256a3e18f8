"""The sheet Job sheet: one line of the quote as a page for the machine."""

from __future__ import annotations

from openpyxl import Workbook
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Font
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.worksheet import Worksheet

from spreadsheet.workbook.calls import VERSION_ANSWER, answer_cell
from spreadsheet.workbook.cells import (
    put,
    put_band,
    put_head,
    put_title_and_line,
    set_widths,
    show_errors_grey,
    show_inches,
)
from spreadsheet.workbook.columns import LENGTH, TENTHS
from spreadsheet.workbook.formulas import NOTHING, is_refusal
from spreadsheet.workbook.job_tables import (
    ASSUMED,
    ASSUMED_ROW,
    CAUTIONS,
    CAUTIONS_ROW,
    LETTERS,
    LISTED,
    PASS_ROW,
    PASSES,
    TABLES_ROW,
    TIME_ROW,
    add_assumed,
    add_cautions,
    add_passes,
    add_times,
)
from spreadsheet.workbook.job_values import put_number, put_pair, quoted, value_of, word_of
from spreadsheet.workbook.style import (
    ALARM,
    BOLD,
    LEFT,
    PLAIN,
    RESULT_BORDER,
    SMALL,
    WRAPPED,
)

_LIMITS, _PLAN = 12, 20


def add_job_sheet(book: Workbook) -> None:
    """Add the sheet; the line that it shows is chosen in a cell named job_line."""
    sheet = book.create_sheet("Job sheet")
    put_title_and_line(book, sheet, '="Job sheet: "&' + quoted("job"), "job_line")
    put(sheet, "A2:L2", _message(), font=ALARM, alignment=WRAPPED)
    put(
        sheet,
        "A3:L3",
        f'="Lengths in "&{quoted("unit")}&". An aid to planning: run the program first above the '
        'part with guards closed. Service and tables: "&'
        f'IF(ISERROR({VERSION_ANSWER}),"no answer",SUBSTITUTE({VERSION_ANSWER},","," / "))',
        font=SMALL,
        alignment=LEFT,
    )
    sheet.row_dimensions[1].height = 26
    sheet.row_dimensions[2].height = 26
    _job(sheet)
    _limits(sheet)
    _reading(sheet)
    _plan(sheet)
    add_passes(sheet)
    add_times(sheet)
    add_cautions(sheet)
    add_assumed(sheet)
    _setup(sheet)


def _message() -> str:
    """The first refusal, or that there was no answer."""
    formula = '""'
    for call in ("gauges", "wires", "times", "plan", "thread"):
        answer = answer_cell(call)
        formula = (
            f'IF(ISERROR({answer}),"No answer of the service: see Help",'
            f"IF({is_refusal(answer)},{answer},{formula}))"
        )
    return f'=IF({quoted("designation")}="","Line "&job_line&" is empty",{formula})'


def _job(sheet: Worksheet) -> None:
    put_band(sheet, "A5:L5", "Job")
    hardness = f'{quoted("hardness")}&" "&{quoted("hardness_scale")}'
    left = f'IF(N({quoted("quantity_left")})>0,", "&{quoted("quantity_left")}&" left-hand","")'
    rows = (
        ("left", "Call-out", "=" + quoted("designation")),
        ("left", "Standard", "=" + word_of("thread", "standard")),
        (
            "left",
            "Side, hand, class",
            "="
            + '&", "&'.join(
                word_of("thread", each) for each in ("side", "hand", "tolerance_class")
            ),
        ),
        ("left", "Pitch", value_of("thread", "pitch"), LENGTH),
        ("left", "Lead", value_of("thread", "lead"), LENGTH),
        ("right", "Material, hardness", f'={quoted("material")}&", "&{hardness}'),
        ("right", "Parts", f"={quoted('quantity')}&{left}"),
        ("right", "Thread length", "=" + quoted("thread_length"), LENGTH),
        ("right", "Cutter", "=" + quoted("cutter")),
        ("right", "Machine", "=" + quoted("machine")),
    )
    places = {"left": 6, "right": 6}
    for side, label, formula, *form in rows:
        put_pair(sheet, places[side], side, label, formula, *form)
        places[side] += 1


def _limits(sheet: Worksheet) -> None:
    put_band(sheet, f"A{_LIMITS}:F{_LIMITS}", "Limits to cut to")
    for letter, title in zip("CDE", ("Basic", "Max", "Min"), strict=True):
        put_head(sheet, f"{letter}{_LIMITS + 1}", title)
    put_head(sheet, f"A{_LIMITS + 1}:B{_LIMITS + 1}", "")
    put_head(sheet, f"F{_LIMITS + 1}", "Tolerance")
    row = _LIMITS + 2
    for name in ("major", "pitch", "minor"):
        put(
            sheet,
            f"A{row}:B{row}",
            f"{name.capitalize()} diameter",
            border=RESULT_BORDER,
            alignment=LEFT,
        )
        paths = (
            f"basic.{name}_diameter",
            f"limits.{name}_diameter.max",
            f"limits.{name}_diameter.min",
        )
        font = BOLD if name == "pitch" else PLAIN
        for letter, path in zip("CDE", paths, strict=True):
            put_number(sheet, f"{letter}{row}", value_of("thread", path), LENGTH, font)
        both = f"AND(ISNUMBER(D{row}),ISNUMBER(E{row}))"
        put_number(sheet, f"F{row}", f'=IF({both},D{row}-E{row},"")', LENGTH, font)
        row += 1
    put(sheet, f"A{row}:B{row}", "Root radius", border=RESULT_BORDER, alignment=LEFT)
    put_number(sheet, f"C{row}", None, LENGTH)
    for letter, end in zip("DE", ("max", "min"), strict=True):
        put_number(sheet, f"{letter}{row}", value_of("thread", f"root_radius.{end}"), LENGTH)
    put_number(sheet, f"F{row}", None, LENGTH)
    row += 1
    put(sheet, f"A{row}:B{row}", "Lead angle, °", border=RESULT_BORDER, alignment=LEFT)
    put_number(sheet, f"C{row}", value_of("thread", "lead_angle_deg"), "0.00")
    for letter in "DEF":
        put_number(sheet, f"{letter}{row}", None, LENGTH)


def _reading(sheet: Worksheet) -> None:
    put_band(sheet, f"G{_LIMITS}:L{_LIMITS}", "What to read")
    put_head(sheet, f"G{_LIMITS + 1}:I{_LIMITS + 1}", "")
    for letter, title in zip("JKL", ("Max", "Aim", "Min"), strict=True):
        put_head(sheet, f"{letter}{_LIMITS + 1}", title)
    rows = (
        ("=" + f'"Reading, "&{word_of("wires", "method")}', "reading.max", "reading.aim",
         "reading.min"),
        ("Wires or balls ⌀, best in the middle", "wire_diameter_max", "wire_diameter",
         "wire_diameter_min"),
        ('="GO "&' + word_of("gauges", "gauge"), "go.pitch_diameter.max", "",
         "go.pitch_diameter.min"),
        ('="NOT GO "&' + word_of("gauges", "gauge"), "not_go.pitch_diameter.max", "",
         "not_go.pitch_diameter.min"),
        ('="Gauges by "&' + word_of("gauges", "standard"), "", "", ""),
    )  # fmt: skip
    for row, (label, *paths) in enumerate(rows, _LIMITS + 2):
        put(sheet, f"G{row}:I{row}", label, border=RESULT_BORDER, alignment=LEFT)
        for letter, path in zip("JKL", paths, strict=True):
            call = "wires" if "GO" not in label else "gauges"
            formula = value_of(call, path) if path else None
            put_number(
                sheet, f"{letter}{row}", formula, LENGTH, BOLD if row == _LIMITS + 2 else PLAIN
            )


def _plan(sheet: Worksheet) -> None:
    put_band(sheet, f"A{_PLAN}:L{_PLAN}", "Plan and path of the cutter's centre")
    unit = quoted("unit")
    speed_unit = f'IF({unit}="in","ft/min","m/min")'
    hand = answer_cell("other hand")
    left = (
        ("Diameter before threading", value_of("plan", "plan.blank_diameter"), LENGTH),
        ("Root diameter to cut", value_of("plan", "plan.root_diameter"), LENGTH),
        ("Depth", value_of("plan", "plan.depth"), LENGTH),
        (
            "Pitch diameter expected",
            value_of("plan", "plan.expected_pitch_diameter"),
            LENGTH,
        ),
        ("Radius of the cutter's centre", value_of("plan", "plan.cutter_centre_radius"), LENGTH),
        ("Turns of the helix", value_of("plan", "plan.path.turns"), "0.000"),
        ("Entry arc radius", value_of("plan", "plan.path.entry_arc_radius"), LENGTH),
    )
    words = (
        ("plan", "plan.milling"),
        ("plan", "plan.path.travel"),
        ("plan", "plan.path.travel_word"),
        ("plan", "plan.path.axial"),
    )
    other = (
        f'=IF({hand}="",IF({answer_cell("plan")}="","","{NOTHING}"),'
        + '&", "&'.join(
            word_of("other hand", f"other_hand.{each}")
            for each in ("hand", "path.travel", "path.travel_word", "path.axial")
        )
        + ")"
    )
    right = (
        ("Spindle speed, rev/min", value_of("plan", "plan.spindle_speed"), TENTHS),
        (f'="Surface speed, "&{speed_unit}', value_of("plan", "plan.surface_speed"), TENTHS),
        ("Path", "=" + '&", "&'.join(word_of(*each) for each in words), "General"),
        ("Start height", value_of("plan", "plan.path.start_height"), LENGTH),
        ("End height", value_of("plan", "plan.path.end_height"), LENGTH),
        ("Other hand", other, "General"),
        (
            "Other hand, start height",
            value_of("other hand", "other_hand.path.start_height"),
            LENGTH,
        ),
    )
    for side, pairs in (("left", left), ("right", right)):
        for row, (label, formula, form) in enumerate(pairs, _PLAN + 1):
            put_pair(sheet, row, side, label, formula, form)


def _setup(sheet: Worksheet) -> None:
    set_widths(sheet, [(letter, 8.4) for letter in LETTERS[:-1]] + [("L", 12.5)])
    sheet.sheet_view.showGridLines = False
    sheet.freeze_panes = "A5"
    unit = "$N$1"
    put(sheet, "N1", "=" + quoted("unit"), font=SMALL)
    sheet.column_dimensions["N"].hidden = True
    for cells in (
        f"C{_LIMITS + 2}:F{_LIMITS + 5}", f"J{_LIMITS + 2}:L{_LIMITS + 5}", "D9:F10", "J8:L8",
        f"D{_PLAN + 1}:F{_PLAN + 5}", f"D{_PLAN + 7}:F{_PLAN + 7}",
        f"J{_PLAN + 4}:L{_PLAN + 5}", f"J{_PLAN + 7}:L{_PLAN + 7}",
    ):  # fmt: skip
        show_inches(sheet, cells, unit)
    for letter in "CDEHIJ":
        passes = f"{letter}{PASS_ROW + 3}:{letter}{PASS_ROW + 2 + PASSES}"
        show_inches(sheet, passes, unit, RESULT_BORDER)
    show_errors_grey(sheet, f"A6:L{ASSUMED_ROW + ASSUMED}")
    for first, last, rows in (
        ("A", "L", (PASS_ROW + 3, PASSES)),
        ("A", "F", (TABLES_ROW + 1, LISTED)),
        ("H", "L", (TABLES_ROW + 1, LISTED)),
        ("A", "L", (CAUTIONS_ROW + 1, CAUTIONS)),
        ("A", "L", (ASSUMED_ROW + 1, ASSUMED)),
    ):
        # A line below a row only where there is one.
        filled = FormulaRule(formula=[f"LEN(${first}{rows[0]})>0"], border=RESULT_BORDER)
        sheet.conditional_formatting.add(f"{first}{rows[0]}:{last}{rows[0] + rows[1] - 1}", filled)
    sheet.conditional_formatting.add(
        f"A{PASS_ROW + 3}:L{PASS_ROW + 2 + PASSES}",
        FormulaRule(formula=[f'$B{PASS_ROW + 3}="spring"'], font=Font(italic=True)),
    )
    sheet.print_area = f"A1:L{ASSUMED_ROW + ASSUMED}"
    sheet.print_title_rows = "1:3"
    sheet.page_setup.orientation = "portrait"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.page_setup.scale = 66
    sheet.row_breaks.append(Break(id=TIME_ROW - 1))
    sheet.row_breaks.append(Break(id=ASSUMED_ROW - 1))
    for side in ("left", "right", "top", "bottom"):
        setattr(sheet.page_margins, side, 0.7 if side == "bottom" else 0.5)
    sheet.oddFooter.left.text = "Job sheet"
    sheet.oddFooter.right.text = "Page &P of &N"
