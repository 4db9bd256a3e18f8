"""The sheet Job sheet: one line of the quote as a page for the machine."""

from __future__ import annotations

from typing import Final

from openpyxl import Workbook
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Font
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.worksheet import Worksheet

from spreadsheet.workbook.calls import VERSION_ANSWER, answer_cell, of_line
from spreadsheet.workbook.cells import (
    put,
    put_band,
    put_head,
    put_title_and_line,
    set_widths,
    show_errors_grey,
    show_inches,
    show_reversed,
)
from spreadsheet.workbook.columns import FINE, INCH_FORMS, LENGTH, SIZE, TENTHS, WHOLE
from spreadsheet.workbook.formulas import NOTHING, is_refusal
from spreadsheet.workbook.job_tables import (
    ASSUMED,
    ASSUMED_ROW,
    CAUTIONS,
    CAUTIONS_ROW,
    LETTERS,
    LISTED,
    PASS_COLUMNS,
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
    MESSAGE_LINES,
    PLAIN,
    RESULT_BORDER,
    SMALL,
    WRAPPED,
)

_LIMITS, _PLAN = 13, 21
_READING_FORMS: Final = (SIZE, FINE, LENGTH, LENGTH, LENGTH)
"""Of the lines of what to read: reading, wires, both gauges and their standard."""


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
    fails = of_line("Q", "job_line")
    told = f'=IF({fails}="","",{fails}&". Why: see «Be careful about».")'
    put(sheet, "A4:L4", told, font=BOLD, alignment=MESSAGE_LINES)
    for row in (1, 2, 4):
        sheet.row_dimensions[row].height = 26
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
        ("left", "Limits hold for", f"={_whose_limits()}"),
        ("right", "Material, hardness", f'={quoted("material")}&", "&{hardness}'),
        ("right", "Parts", f"={quoted('quantity')}&{left}"),
        ("right", "Thread length", "=" + quoted("thread_length"), LENGTH),
        ("right", "Cutter", "=" + quoted("cutter")),
        ("right", "Machine", "=" + quoted("machine")),
        ("right", "Coating on a side", f"={_coating()}"),
    )
    places = {"left": 6, "right": 6}
    for side, label, formula, *form in rows:
        put_pair(sheet, places[side], side, label, formula, *form)
        places[side] += 1


def _whose_limits() -> str:
    """For which state of the part the limits hold."""
    state = word_of("thread", "state")
    told = f'IF({state}="finished","the finished part","the part "&SUBSTITUTE({state},"-"," "))'
    return f'IF(OR({state}="",{state}="{NOTHING}"),{state},{told})'


def _coating() -> str:
    """Its thickness, or both ends of it."""
    most, least = quoted("coating_thickness"), quoted("coating_thickness_min")
    return f'IF({least}="","",{least}&" to ")&{most}&""'


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
            form = _READING_FORMS[row - _LIMITS - 2]
            put_number(
                sheet, f"{letter}{row}", formula, form, BOLD if row == _LIMITS + 2 else PLAIN
            )


def _plan(sheet: Worksheet) -> None:
    put_band(sheet, f"A{_PLAN}:L{_PLAN}", "Plan and path of the cutter's centre")
    unit = quoted("unit")
    speed_unit = f'IF({unit}="in","ft/min","m/min")'
    hand = answer_cell("other hand")
    left = (
        ("Diameter before threading", value_of("plan", "plan.blank_diameter"), LENGTH),
        ("Root diameter to cut", value_of("plan", "plan.root_diameter"), SIZE),
        ("Depth", value_of("plan", "plan.depth"), SIZE),
        ("Pitch diameter expected", value_of("plan", "plan.expected_pitch_diameter"), SIZE),
        ("Radius of the cutter's centre", value_of("plan", "plan.cutter_centre_radius"), SIZE),
        ("Turns of the helix", value_of("plan", "plan.path.turns"), "0.000"),
        ("Entry arc radius", value_of("plan", "plan.path.entry_arc_radius"), SIZE),
        ("Starts, one after the other", _unless(1, value_of("plan", "plan.path.starts")), WHOLE),
        ("Cuts side by side", _unless(1, _side_by_side()), WHOLE),
        ("Taper: diameters hold at height", _if_taper("plan.plane_height"), SIZE),
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
        ("Start height", value_of("plan", "plan.path.start_height"), SIZE),
        ("End height", value_of("plan", "plan.path.end_height"), SIZE),
        ("Other hand", other, "General"),
        (
            "Other hand, start height",
            value_of("other hand", "other_hand.path.start_height"),
            SIZE,
        ),
        ("Taper: radius at the start", _if_taper("plan.path.start_radius"), SIZE),
        ("Side by side, shifted by", _offsets(), "General"),
        ("Taper: radius at the end", _if_taper("plan.path.end_radius"), SIZE),
    )
    for side, pairs in (("left", left), ("right", right)):
        for row, (label, formula, form) in enumerate(pairs, _PLAN + 1):
            put_pair(sheet, row, side, label, formula, form)


def _unless(usual: int, formula: str) -> str:
    """A number, or nothing where it is as usual."""
    taken = formula.removeprefix("=")
    return f'=IF({taken}={usual},"",{taken})'


def _side_by_side() -> str:
    """How many cuts beside each other each depth takes."""
    listed = word_of("plan", "plan.path.axial_offsets")
    number = f'LEN({listed})-LEN(SUBSTITUTE({listed},";",""))+1'
    return f'=IF(OR({listed}="",{listed}="{NOTHING}"),{listed},{number})'


def _offsets() -> str:
    """By how much the cuts beside each other are shifted along the axis."""
    listed = word_of("plan", "plan.path.axial_offsets")
    return f'=IF({listed}="","",IF(ISNUMBER(FIND(";",{listed})),{listed},""))'


def _if_taper(path: str) -> str:
    """A value that says something of a taper thread alone: its diameters hold at one height."""
    height = value_of("plan", "plan.plane_height").removeprefix("=")
    return f'=IF({height}="{NOTHING}","",{value_of("plan", path).removeprefix("=")})'


def _setup(sheet: Worksheet) -> None:
    set_widths(sheet, [(letter, 11.3) for letter in LETTERS[:-1]] + [("L", 16.5)])
    sheet.sheet_view.showGridLines = False
    sheet.freeze_panes = "A5"
    unit = "$N$1"
    put(sheet, "N1", "=" + quoted("unit"), font=SMALL)
    sheet.column_dimensions["N"].hidden = True
    of_forms = (
        (LENGTH, (f"C{_LIMITS + 2}:F{_LIMITS + 5}", f"J{_LIMITS + 4}:L{_LIMITS + 5}", "D9:F10",
                  "J8:L8", f"D{_PLAN + 1}:F{_PLAN + 1}")),
        (SIZE, (f"J{_LIMITS + 2}:L{_LIMITS + 2}", f"D{_PLAN + 2}:F{_PLAN + 5}",
                f"D{_PLAN + 7}:F{_PLAN + 7}", f"D{_PLAN + 10}:F{_PLAN + 10}",
                f"J{_PLAN + 4}:L{_PLAN + 5}", f"J{_PLAN + 7}:L{_PLAN + 8}",
                f"J{_PLAN + 10}:L{_PLAN + 10}")),
        (FINE, (f"J{_LIMITS + 3}:L{_LIMITS + 3}",)),
    )  # fmt: skip
    for form, ranges in of_forms:
        for cells in ranges:
            show_inches(sheet, cells, unit, form=form)
    for letter, (_, _, form) in zip(LETTERS, PASS_COLUMNS, strict=True):
        if form in INCH_FORMS:
            passes = f"{letter}{PASS_ROW + 3}:{letter}{PASS_ROW + 2 + PASSES}"
            show_inches(sheet, passes, unit, RESULT_BORDER, form)
    show_reversed(sheet, "A4:L4", "LEN($A$4)>0")
    show_reversed(sheet, "D11:F11", 'LEFT($D$11,9)="the part "')
    show_reversed(
        sheet,
        f"A{CAUTIONS_ROW + 1}:B{CAUTIONS_ROW + CAUTIONS}",
        f"AND(LEN($A{CAUTIONS_ROW + 1})>0,ISNUMBER(FIND($A{CAUTIONS_ROW + 1},$A$4)))",
    )
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
    sheet.print_title_rows = "1:4"
    sheet.page_setup.orientation = "portrait"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.page_setup.scale = 66
    sheet.row_breaks.append(Break(id=TIME_ROW - 1))
    sheet.row_breaks.append(Break(id=ASSUMED_ROW - 1))
    for side in ("left", "right", "top", "bottom"):
        setattr(sheet.page_margins, side, 0.7 if side == "bottom" else 0.5)
    sheet.oddFooter.left.text = "Job sheet"
    sheet.oddFooter.right.text = "Page &P of &N"
