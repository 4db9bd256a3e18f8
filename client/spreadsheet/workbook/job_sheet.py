"""The sheet Job sheet: one line of the quote as a page for the machine."""

from __future__ import annotations

from typing import Final

from openpyxl import Workbook
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Border, Font
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.worksheet import Worksheet

from spreadsheet.workbook.calls import (
    SHEET_GAUGES,
    SHEET_OTHER_HAND,
    SHEET_PLAN,
    SHEET_THREAD,
    SHEET_TIMES,
    SHEET_WIRES,
    VERSION_ANSWER,
    answer_cell,
    table_cell,
)
from spreadsheet.workbook.cells import (
    put,
    put_band,
    put_entry,
    put_head,
    set_widths,
    show_errors_grey,
    show_inches,
)
from spreadsheet.workbook.columns import (
    FIRST_LINE,
    LENGTH,
    LINES,
    MONEY,
    TENTHS,
    WHOLE,
    quote_letter,
)
from spreadsheet.workbook.formulas import (
    NOTHING,
    column_number,
    is_refusal,
    item,
    number,
    number_item,
)
from spreadsheet.workbook.style import (
    ALARM,
    BAND_FILL,
    BOLD,
    FLUSH,
    LEFT,
    PLAIN,
    RESULT_BORDER,
    RIGHT,
    SMALL,
    TITLE,
    WRAPPED,
)

LETTERS: Final = "ABCDEFGHIJKL"
PASSES: Final = 20
CAUTIONS: Final = 20
ASSUMED: Final = 60
_FIELDS: Final = {
    "thread": SHEET_THREAD,
    "wires": SHEET_WIRES,
    "gauges": SHEET_GAUGES,
    "plan": SHEET_PLAN,
    "other hand": SHEET_OTHER_HAND,
    "times": SHEET_TIMES,
}
PASS_COLUMNS: Final = (
    ("number", "Pass", WHOLE),
    ("kind", "Kind", ""),
    ("root_diameter", "Root ⌀", LENGTH),
    ("radial_depth", "Radial\ndepth", LENGTH),
    ("cutter_centre_radius", "Centre\nradius", LENGTH),
    ("spindle_speed", "Speed\nrev/min", WHOLE),
    ("feed_centre", "Feed of\nthe centre", TENTHS),
    ("feed_per_tooth", "Feed\na tooth", LENGTH),
    ("deflection", "Bend", LENGTH),
    ("pitch_diameter", "Pitch ⌀\nafter", LENGTH),
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

_LIMITS, _PLAN, _PASS, _TIME = 12, 20, 29, 53
_TABLES: Final = _TIME + 7
_CAUTIONS: Final = _TABLES + LISTED + 3
_ASSUMED: Final = _CAUTIONS + CAUTIONS + 3


def add_job_sheet(book: Workbook) -> None:
    """Add the sheet; the line that it shows is chosen in a cell named job_line."""
    sheet = book.create_sheet("Job sheet")
    book.defined_names["job_line"] = DefinedName("job_line", attr_text="'Job sheet'!$L$1")
    put(sheet, "A1:H1", '="Job sheet: "&' + _quoted("job"), font=TITLE, alignment=FLUSH)
    put(sheet, "I1:K1", "Line of the quote", font=BOLD, alignment=RIGHT)
    put_entry(sheet, "L1", 1, form=WHOLE)
    rule = DataValidation(
        type="whole", operator="between", formula1="1", formula2=str(LINES), showErrorMessage=True
    )
    rule.error = f"A line from 1 to {LINES}."
    sheet.add_data_validation(rule)
    rule.add("L1")
    put(sheet, "A2:L2", _message(), font=ALARM, alignment=WRAPPED)
    put(
        sheet,
        "A3:L3",
        f'="Lengths in "&{_quoted("unit")}&". An aid to planning: run the program first above the '
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
    _passes(sheet)
    _times(sheet)
    _cautions(sheet)
    _assumed(sheet)
    _setup(sheet)


def _quoted(key: str) -> str:
    letter = quote_letter(key)
    return f"INDEX(Quotes!${letter}${FIRST_LINE}:${letter}${FIRST_LINE + LINES - 1},job_line)"


def _place(call: str, path: str) -> int:
    return _FIELDS[call].index(path) + 1


def _value(call: str, path: str) -> str:
    """A number of one of the sheet's calls; empty where it was not asked or was refused."""
    answer = answer_cell(call)
    taken = number_item(answer, _place(call, path))
    return f'=IF({answer}="","",IF({is_refusal(answer)},"{NOTHING}",{taken}))'


def _word(call: str, path: str) -> str:
    answer = answer_cell(call)
    taken = item(answer, _place(call, path))
    return f'IF({answer}="","",IF({is_refusal(answer)},"{NOTHING}",{taken}))'


def _message() -> str:
    """The first refusal, or that there was no answer."""
    formula = '""'
    for call in ("gauges", "wires", "times", "plan", "thread"):
        answer = answer_cell(call)
        formula = (
            f'IF(ISERROR({answer}),"No answer of the service: see Help",'
            f"IF({is_refusal(answer)},{answer},{formula}))"
        )
    return f'=IF({_quoted("designation")}="","Line "&job_line&" is empty",{formula})'


def _pair(
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


def _job(sheet: Worksheet) -> None:
    put_band(sheet, "A5:L5", "Job")
    hardness = f'{_quoted("hardness")}&" "&{_quoted("hardness_scale")}'
    left = f'IF(N({_quoted("quantity_left")})>0,", "&{_quoted("quantity_left")}&" left-hand","")'
    rows = (
        ("left", "Call-out", "=" + _quoted("designation")),
        ("left", "Standard", "=" + _word("thread", "standard")),
        (
            "left",
            "Side, hand, class",
            "="
            + '&", "&'.join(_word("thread", each) for each in ("side", "hand", "tolerance_class")),
        ),
        ("left", "Pitch", _value("thread", "pitch"), LENGTH),
        ("left", "Lead", _value("thread", "lead"), LENGTH),
        ("right", "Material, hardness", f'={_quoted("material")}&", "&{hardness}'),
        ("right", "Parts", f"={_quoted('quantity')}&{left}"),
        ("right", "Thread length", "=" + _quoted("thread_length"), LENGTH),
        ("right", "Cutter", "=" + _quoted("cutter")),
        ("right", "Machine", "=" + _quoted("machine")),
    )
    places = {"left": 6, "right": 6}
    for side, label, formula, *form in rows:
        _pair(sheet, places[side], side, label, formula, *form)
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
            _number(sheet, f"{letter}{row}", _value("thread", path), LENGTH, font)
        both = f"AND(ISNUMBER(D{row}),ISNUMBER(E{row}))"
        _number(sheet, f"F{row}", f'=IF({both},D{row}-E{row},"")', LENGTH, font)
        row += 1
    put(sheet, f"A{row}:B{row}", "Root radius", border=RESULT_BORDER, alignment=LEFT)
    _number(sheet, f"C{row}", None, LENGTH)
    for letter, end in zip("DE", ("max", "min"), strict=True):
        _number(sheet, f"{letter}{row}", _value("thread", f"root_radius.{end}"), LENGTH)
    _number(sheet, f"F{row}", None, LENGTH)
    row += 1
    put(sheet, f"A{row}:B{row}", "Lead angle, °", border=RESULT_BORDER, alignment=LEFT)
    _number(sheet, f"C{row}", _value("thread", "lead_angle_deg"), "0.00")
    for letter in "DEF":
        _number(sheet, f"{letter}{row}", None, LENGTH)


def _number(
    sheet: Worksheet,
    cell: str,
    formula: str | None,
    form: str,
    font: Font = PLAIN,
    border: Border | None = RESULT_BORDER,
) -> None:
    put(
        sheet, cell, formula, font=font, border=border, form=form or "General",
        alignment=RIGHT if form else LEFT,
    )  # fmt: skip


def _reading(sheet: Worksheet) -> None:
    put_band(sheet, f"G{_LIMITS}:L{_LIMITS}", "What to read")
    put_head(sheet, f"G{_LIMITS + 1}:I{_LIMITS + 1}", "")
    for letter, title in zip("JKL", ("Max", "Aim", "Min"), strict=True):
        put_head(sheet, f"{letter}{_LIMITS + 1}", title)
    rows = (
        ("=" + f'"Reading, "&{_word("wires", "method")}', "reading.max", "reading.aim",
         "reading.min"),
        ("Wires or balls ⌀, best in the middle", "wire_diameter_max", "wire_diameter",
         "wire_diameter_min"),
        ('="GO "&' + _word("gauges", "gauge"), "go.pitch_diameter.max", "",
         "go.pitch_diameter.min"),
        ('="NOT GO "&' + _word("gauges", "gauge"), "not_go.pitch_diameter.max", "",
         "not_go.pitch_diameter.min"),
        ('="Gauges by "&' + _word("gauges", "standard"), "", "", ""),
    )  # fmt: skip
    for row, (label, *paths) in enumerate(rows, _LIMITS + 2):
        put(sheet, f"G{row}:I{row}", label, border=RESULT_BORDER, alignment=LEFT)
        for letter, path in zip("JKL", paths, strict=True):
            call = "wires" if "GO" not in label else "gauges"
            formula = _value(call, path) if path else None
            _number(sheet, f"{letter}{row}", formula, LENGTH, BOLD if row == _LIMITS + 2 else PLAIN)


def _plan(sheet: Worksheet) -> None:
    put_band(sheet, f"A{_PLAN}:L{_PLAN}", "Plan and path of the cutter's centre")
    unit = _quoted("unit")
    speed_unit = f'IF({unit}="in","ft/min","m/min")'
    hand = answer_cell("other hand")
    left = (
        ("Diameter before threading", _value("plan", "plan.blank_diameter"), LENGTH),
        ("Root diameter to cut", _value("plan", "plan.root_diameter"), LENGTH),
        ("Depth", _value("plan", "plan.depth"), LENGTH),
        (
            "Pitch diameter expected",
            _value("plan", "plan.expected_pitch_diameter"),
            LENGTH,
        ),
        ("Radius of the cutter's centre", _value("plan", "plan.cutter_centre_radius"), LENGTH),
        ("Turns of the helix", _value("plan", "plan.path.turns"), "0.000"),
        ("Entry arc radius", _value("plan", "plan.path.entry_arc_radius"), LENGTH),
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
            _word("other hand", f"other_hand.{each}")
            for each in ("hand", "path.travel", "path.travel_word", "path.axial")
        )
        + ")"
    )
    right = (
        ("Spindle speed, rev/min", _value("plan", "plan.spindle_speed"), TENTHS),
        (f'="Surface speed, "&{speed_unit}', _value("plan", "plan.surface_speed"), TENTHS),
        ("Path", "=" + '&", "&'.join(_word(*each) for each in words), "General"),
        ("Start height", _value("plan", "plan.path.start_height"), LENGTH),
        ("End height", _value("plan", "plan.path.end_height"), LENGTH),
        ("Other hand", other, "General"),
        (
            "Other hand, start height",
            _value("other hand", "other_hand.path.start_height"),
            LENGTH,
        ),
    )
    for side, pairs in (("left", left), ("right", right)):
        for row, (label, formula, form) in enumerate(pairs, _PLAN + 1):
            _pair(sheet, row, side, label, formula, form)


def _passes(sheet: Worksheet) -> None:
    unit = _quoted("unit")
    put(sheet, f"A{_PASS}:L{_PASS}", None)
    put_band(
        sheet,
        f"A{_PASS}:L{_PASS}",
        f'="Passes; feed in "&{unit}&"/min"' + _too_many("passes", PASSES),
    )
    for letter, (key, title, _) in zip(LETTERS, PASS_COLUMNS, strict=True):
        put_head(sheet, f"{letter}{_PASS + 1}", title)
        put(sheet, f"{letter}{_PASS + 2}", key, font=SMALL, fill=BAND_FILL, alignment=LEFT)
    sheet.row_dimensions[_PASS + 1].height = 28
    sheet.row_dimensions[_PASS + 2].height = 10
    for place in range(PASSES):
        row = _PASS + 3 + place
        for letter, (_, _, form) in zip(LETTERS, PASS_COLUMNS, strict=True):
            key = f"{letter}${_PASS + 2}"
            _number(
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


def _times(sheet: Worksheet) -> None:
    put_band(sheet, f"A{_TIME}:L{_TIME}", '="Time and cost of the lot; money in "&currency')
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
        for row, (label, path, form) in enumerate(pairs, _TIME + 1):
            _pair(sheet, row, side, label, _value("times", path), form)
    for table, columns in (("breakdown", BREAKDOWN_COLUMNS), ("price breaks", PRICE_COLUMNS)):
        for key, letters, title, form in columns:
            cells = ":".join(f"{letter}{_TABLES}" for letter in letters.split(":"))
            put_head(sheet, cells, title)
            for place in range(LISTED):
                row = _TABLES + 1 + place
                cells = ":".join(f"{letter}{row}" for letter in letters.split(":"))
                _number(sheet, cells, _of_table(table, place, f'"{key}"', form), form, border=None)


def _cautions(sheet: Worksheet) -> None:
    put_band(
        sheet,
        f"A{_CAUTIONS}:L{_CAUTIONS}",
        '="Be careful about"' + _too_many("cautions", CAUTIONS),
    )
    for place in range(CAUTIONS):
        row = _CAUTIONS + 1 + place
        line = table_cell("cautions", place + 2)
        code = f'LEFT({line},FIND(",",{line})-1)'
        detail = f'MID({line},FIND(",",{line})+1,LEN({line}))'
        filled = f'=IF({line}="","",{code})'
        put(sheet, f"A{row}:B{row}", filled, font=BOLD, alignment=WRAPPED)
        put(sheet, f"C{row}:L{row}", f'=IF({line}="","",{_unquoted(detail)})', alignment=WRAPPED)
        sheet.row_dimensions[row].height = 25


def _unquoted(text: str) -> str:
    """A CSV text without its quotes."""
    return f'IF(LEFT({text},1)="""",SUBSTITUTE(MID({text},2,LEN({text})-2),"""""",""""),{text})'


def _assumed(sheet: Worksheet) -> None:
    """What was not given, and what stands in for it: no default is silent."""
    put_band(
        sheet,
        f"A{_ASSUMED}:L{_ASSUMED}",
        '="Assumed, since not given"' + _too_many("assumed", ASSUMED),
    )
    for place in range(ASSUMED):
        row = _ASSUMED + 1 + place
        line = table_cell("assumed", place + 2)
        key = f'LEFT({line},FIND(",",{line})-1)'
        rest = f'MID({line},FIND(",",{line})+1,LEN({line}))'
        value = f'LEFT({rest},FIND(",",{rest})-1)'
        put(sheet, f"A{row}:C{row}", f'=IF({line}="","",{key})', alignment=LEFT)
        put(sheet, f"D{row}:E{row}", f'=IF({line}="","",{value})', font=BOLD, alignment=LEFT)
        why = f"MID({line},LEN({key})+LEN({value})+3,LEN({line}))"
        put(sheet, f"F{row}:L{row}", f'=IF({line}="","",{why})', alignment=LEFT)


def _setup(sheet: Worksheet) -> None:
    set_widths(sheet, [(letter, 8.4) for letter in LETTERS[:-1]] + [("L", 12.5)])
    sheet.sheet_view.showGridLines = False
    sheet.freeze_panes = "A5"
    unit = "$N$1"
    put(sheet, "N1", "=" + _quoted("unit"), font=SMALL)
    sheet.column_dimensions["N"].hidden = True
    for cells in (
        f"C{_LIMITS + 2}:F{_LIMITS + 5}", f"J{_LIMITS + 2}:L{_LIMITS + 5}", "D9:F10", "J8:L8",
        f"D{_PLAN + 1}:F{_PLAN + 5}", f"D{_PLAN + 7}:F{_PLAN + 7}",
        f"J{_PLAN + 4}:L{_PLAN + 5}", f"J{_PLAN + 7}:L{_PLAN + 7}",
        *(f"{letter}{_PASS + 3}:{letter}{_PASS + 2 + PASSES}" for letter in "CDEHIJ"),
    ):  # fmt: skip
        show_inches(sheet, cells, unit)
    show_errors_grey(sheet, f"A6:L{_ASSUMED + ASSUMED}")
    for first, last, rows in (
        ("A", "L", (_PASS + 3, PASSES)),
        ("A", "F", (_TABLES + 1, LISTED)),
        ("H", "L", (_TABLES + 1, LISTED)),
        ("A", "L", (_CAUTIONS + 1, CAUTIONS)),
        ("A", "L", (_ASSUMED + 1, ASSUMED)),
    ):
        # A line below a row only where there is one.
        filled = FormulaRule(formula=[f"LEN(${first}{rows[0]})>0"], border=RESULT_BORDER)
        sheet.conditional_formatting.add(f"{first}{rows[0]}:{last}{rows[0] + rows[1] - 1}", filled)
    sheet.conditional_formatting.add(
        f"A{_PASS + 3}:L{_PASS + 2 + PASSES}",
        FormulaRule(formula=[f'$B{_PASS + 3}="spring"'], font=Font(italic=True)),
    )
    sheet.print_area = f"A1:L{_ASSUMED + ASSUMED}"
    sheet.print_title_rows = "1:3"
    sheet.page_setup.orientation = "portrait"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.page_setup.scale = 66
    sheet.row_breaks.append(Break(id=_TIME - 1))
    sheet.row_breaks.append(Break(id=_ASSUMED - 1))
    for side in ("left", "right", "top", "bottom"):
        setattr(sheet.page_margins, side, 0.5)
    sheet.oddFooter.left.text = "Job sheet"
    sheet.oddFooter.right.text = "Page &P of &N"
