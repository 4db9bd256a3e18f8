"""The sheet Calls: every address that the workbook asks and every answer, for all to see.

Other sheets only take answers apart. A line of the sheet Quotes makes two calls: one that needs the
call-out alone (limits and readings) and one for plan, times and cost, which waits until the number
of parts is given. Each brings all its values in one line, since a cell program asks once for
each address, one after another.
"""

from __future__ import annotations

from typing import Final

from spreadsheet.workbook.columns import (
    CUTTER_NAMES,
    FIRST_LINE,
    LINES,
    MACHINE_NAMES,
    PLAN_RESULTS,
    THREAD_RESULTS,
    TIME_RESULTS,
    quote_letter,
)
from spreadsheet.workbook.formulas import (
    ENCODEURL,
    WEBSERVICE,
    is_refusal,
    row_start,
    rows_in,
)
from spreadsheet.workbook.messages import fails, message
from spreadsheet.workbook.request_keys import (
    coating_keys,
    cutter_factor,
    cutter_keys,
    lot_keys,
    machine_keys,
    thread_keys,
    work_keys,
)

ROOT: Final = "Calls!$B$4"
TAIL: Final = "Calls!$B$5"
VERSION_ANSWER: Final = "Calls!$B$7"

FIRST_CALL: Final = 11
LINE_TITLES: Final = (
    ("Line", 7),
    ("Row of the\ncutter", 60),
    ("Row of the\nmachine", 24),
    ("Cutter to\nline", 24),
    ("mm to\nline", 24),
    ("Keys of the cutter", 40),
    ("Keys of the machine", 30),
    ("Keys of the work", 30),
    ("Keys of the lot", 30),
    ("Asked for the thread", 30),
    ("Answer", 30),
    ("Keys of the job", 30),
    ("Asked for the job", 30),
    ("Answer", 30),
    ("Keys of the thread", 30),
    ("Keys of a coating", 30),
    ("What the plan fails", 30),
    ("Message in full", 60),
)

TABLE_ROWS: Final = 62
"""Most rows of a table that the job sheet can take, its header among them."""
JOB_FIRST: Final = FIRST_CALL + LINES + 4
TABLES_FIRST: Final = JOB_FIRST + 12 + 3

THREAD_FIELDS: Final = tuple(each.key for each in THREAD_RESULTS)
TIME_FIELDS: Final = tuple(each.key for each in TIME_RESULTS)
PLAN_FIELDS: Final = tuple(each.key for each in PLAN_RESULTS)
# Times stand in one place with or without failings: these are words, and last.
MILLED_FIELDS: Final = (
    *PLAN_FIELDS, *(f"time.{key}" for key in TIME_FIELDS), "plan.failings",
)  # fmt: skip

# Words stand last, so that a comma in one moves no number; the very last may hold commas.
SHEET_THREAD: Final = (
    *(
        f"limits.{name}_diameter.{end}"
        for name in ("major", "pitch", "minor")
        for end in ("max", "min")
    ),
    *(f"basic.{name}_diameter" for name in ("major", "pitch", "minor")),
    "allowance",
    "root_radius.max",
    "root_radius.min",
    "pitch",
    "lead",
    "starts",
    "lead_angle_deg",
    "hand",
    "side",
    "tolerance_class",
    "state",
    "standard",
)
SHEET_WIRES: Final = (
    "wire_diameter_min",
    "wire_diameter_max",
    "wire_diameter",
    "reading.max",
    "reading.aim",
    "reading.min",
    "method",
)
SHEET_GAUGES: Final = (
    *(f"{end}.pitch_diameter.{size}" for end in ("go", "not_go") for size in ("max", "min")),
    "gauge",
    "standard",
)
SHEET_PLAN: Final = (
    "plan.blank_diameter",
    "plan.root_diameter",
    "plan.depth",
    "plan.expected_pitch_diameter",
    "plan.cutter_centre_radius",
    "plan.surface_speed",
    "plan.spindle_speed",
    "plan.cutting_passes",
    "plan.spring_passes",
    "plan.path.turns",
    "plan.path.start_height",
    "plan.path.end_height",
    "plan.path.entry_arc_radius",
    "plan.path.starts",
    "plan.plane_height",
    "plan.path.start_radius",
    "plan.path.end_radius",
    "plan.path.axial_offsets",
    "plan.path.travel",
    "plan.path.axial",
    "plan.path.travel_word",
    "plan.milling",
    "plan.infeed",
)
SHEET_OTHER_HAND: Final = (
    "other_hand.path.start_height",
    "other_hand.path.end_height",
    "other_hand.path.travel",
    "other_hand.path.axial",
    "other_hand.path.travel_word",
    "other_hand.hand",
)
SHEET_TIMES: Final = (
    "part.cutting_time_s",
    "part.time_s",
    "lot.time_min",
    "lot.spread.time_low_min",
    "lot.spread.time_high_min",
    "lot.cost",
    "lot.spread.low",
    "lot.spread.high",
    "lot.cost_each",
    "lot.parts_to_start",
    "lot.measured",
)
JOB_CALLS: Final = (
    "thread",
    "wires",
    "gauges",
    "plan",
    "other hand",
    "times",
    "passes",
    "breakdown",
    "price breaks",
    "cautions",
    "assumed",
)
TABLES: Final = ("passes", "breakdown", "price breaks", "cautions", "assumed")


def answer_cell(call: str) -> str:
    """Cell of the answer of one of the job sheet's calls."""
    return f"Calls!$C${JOB_FIRST + JOB_CALLS.index(call)}"


def table_cell(table: str, row: int) -> str:
    """Cell of one row of a table of the job sheet; 1 is the header."""
    letter = "BCDEF"[TABLES.index(table)]
    return f"Calls!${letter}${TABLES_FIRST + row - 1}"


def thread_answer(line: int) -> str:
    """Cell of the thread's answer of a line, 0 the first."""
    return f"Calls!$K${FIRST_CALL + line}"


def job_answer(line: int) -> str:
    """Cell of the job's answer of a line, 0 the first."""
    return f"Calls!$N${FIRST_CALL + line}"


def message_cell(line: int) -> str:
    """Cell of the message of a line in full, 0 the first."""
    return f"Calls!$R${FIRST_CALL + line}"


def of_all_lines(letter: str) -> str:
    """The cells of a column of the lines' calls."""
    return f"Calls!${letter}${FIRST_CALL}:${letter}${FIRST_CALL + LINES - 1}"


def of_line(letter: str, line: str) -> str:
    """Cell of the calls of the line that a named cell chooses."""
    return f"INDEX({of_all_lines(letter)},{line})"


def head_cells() -> dict[str, str]:
    """Root and tail of all addresses, and the version."""
    return {
        "A4": "Root",
        "B4": '=IF(RIGHT(base_address,1)="/",base_address,base_address&"/")&"v1/"',
        "A5": "Tail",
        "B5": '="&on_error=text&v="&ENCODEREFRESH&IF(service_key="","","&key="&ENCODEKEY)'.replace(
            "ENCODEREFRESH", f"{ENCODEURL}(refresh)"
        ).replace("ENCODEKEY", f"{ENCODEURL}(service_key)"),
        "A6": "Version asked",
        "B6": f'={ROOT}&"thread-limits?designation=M10-6g&field=meta.service,meta.tables"&{TAIL}',
        "A7": "Answer",
        "B7": f"={WEBSERVICE}(B6)",
    }


def line_cells(line: int) -> dict[str, str]:
    """The calls of one line of the sheet Quotes, 0 the first."""
    row = FIRST_CALL + line
    quote = {
        key: f"Quotes!${quote_letter(key)}${FIRST_LINE + line}"
        for key in (
            "designation", "unit", "material", "hardness", "hardness_scale", "thread_length",
            "shoulder_distance", "blank_diameter", "hole_diameter", "thread_process", "cutter",
            "machine", "passes", "spindle_speed", "quantity", "quantity_left", "setup_time_min",
            "load_time_s", "material_cost", "side", "coating_thickness", "coating_thickness_min",
        )
    }  # fmt: skip
    milled = f'{quote["thread_process"]}="milled"'
    return {
        f"A{row}": f"=Quotes!$A${FIRST_LINE + line}",
        f"B{row}": f'=IF({quote["cutter"]}="","",MATCH({quote["cutter"]},{CUTTER_NAMES},0))',
        f"C{row}": f'=IF({quote["machine"]}="","",MATCH({quote["machine"]},{MACHINE_NAMES},0))',
        f"D{row}": cutter_factor(f"$B{row}", quote["unit"]),
        f"E{row}": f'=IF({quote["unit"]}="in",1/25.4,1)',
        f"F{row}": cutter_keys(f"$B{row}", f"$D{row}", milled),
        f"G{row}": machine_keys(f"$C{row}", f"$E{row}"),
        f"H{row}": work_keys(quote, milled),
        f"I{row}": lot_keys(quote),
        f"J{row}": f'=IF({quote["designation"]}="","",{ROOT}&"wire-measurement"&$O{row}'
        f"&$P{row}&{fields_key(THREAD_FIELDS)}&{TAIL})",
        f"K{row}": f'=IF(J{row}="","",{WEBSERVICE}(J{row}))',
        f"L{row}": f'=IF({quote["designation"]}="","",$O{row}&IF({milled},$P{row},"")'
        f"&H{row}&F{row}&G{row}&I{row})",
        f"M{row}": _job_address(quote, milled, f"$L{row}"),
        f"N{row}": f'=IF(M{row}="","",{WEBSERVICE}(M{row}))',
        f"O{row}": thread_keys(quote),
        f"P{row}": coating_keys(quote),
        f"Q{row}": fails(f"$N{row}", milled, len(MILLED_FIELDS)),
        f"R{row}": message(line, f"$K{row}", f"$N{row}", f"$Q{row}", (f"$B{row}", f"$C{row}")),
    }


def job_cells() -> dict[str, str]:
    """The calls of the sheet Job sheet, for the line that is chosen there."""
    cells = {}

    def quoted(key: str) -> str:
        letter = quote_letter(key)
        return f"INDEX(Quotes!${letter}${FIRST_LINE}:${letter}${FIRST_LINE + LINES - 1},job_line)"

    thread, coating = of_line("O", "job_line"), of_line("P", "job_line")
    milled = f'{quoted("thread_process")}="milled"'
    other = f'IF({milled},"job-sheet","cycle-time")'
    inside = f'IF({milled},"time.","")'
    request = of_line("L", "job_line")
    # The limits before a coating stand in the thread that a measurement is about.
    limits = f'IF({coating}="","thread-limits","wire-measurement")&{thread}&{coating}'
    where = f'IF({coating}="","","thread.")'
    asked = {
        "thread": f'{limits}&"&field="&{_joined(where, SHEET_THREAD)}',
        "wires": f'"wire-measurement"&{thread}&{coating}&{fields_key(SHEET_WIRES)}',
        "gauges": f'"gauge-limits"&{thread}&{coating}&{fields_key(SHEET_GAUGES)}',
        "plan": f'"job-sheet"&{request}&{fields_key(SHEET_PLAN)}',
        "other hand": f'"job-sheet"&{request}&{fields_key(SHEET_OTHER_HAND)}',
        "times": f'{other}&{request}&"&field="&{_joined(inside, SHEET_TIMES)}',
        "passes": f'"job-sheet"&{request}&"&rows=plan.passes"',
        "breakdown": f'{other}&{request}&"&rows="&{inside}&"breakdown"',
        "price breaks": f'{other}&{request}&"&rows="&{inside}&"price_breaks"',
        "cautions": f'{other}&{request}&"&rows=cautions"',
        "assumed": f'{other}&{request}&"&rows=assumed"',
    }
    both = f"AND(N({quoted('quantity_left')})>0,N({quoted('quantity_left')})<{quoted('quantity')})"
    for number, call in enumerate(JOB_CALLS):
        row = JOB_FIRST + number
        wanted = f'{of_line("J" if number < 3 else "M", "job_line")}<>""'
        if call in ("plan", "passes"):
            wanted = f"AND({wanted},{milled})"
        elif call == "other hand":
            wanted = f"AND({wanted},{milled},{both})"
        cells[f"A{row}"] = call
        cells[f"B{row}"] = f'=IF({wanted},{ROOT}&{asked[call]}&{TAIL},"")'
        cells[f"C{row}"] = f'=IF(B{row}="","",{WEBSERVICE}(B{row}))'
    for table in TABLES:
        # Line ends may be CR LF or LF alone; a last row always ends in LF.
        cells |= table_text_cells(JOB_FIRST + JOB_CALLS.index(table))
    return cells


def table_text_cells(row: int) -> dict[str, str]:
    """Text of a table without carriage returns, and its number of rows, beside its answer."""
    text = f'SUBSTITUTE(C{row},CHAR(13),"")'
    return {
        f"D{row}": f'=IF(C{row}="","",IF({is_refusal(f"C{row}")},"",'
        f'{text}&IF(RIGHT({text},1)=CHAR(10),"",CHAR(10))))',
        f"E{row}": f'=IF(D{row}="",0,{rows_in(f"D{row}")}-1)',
    }


def table_row(call_row: int, number: int) -> str:
    """One row of the table beside an answer; 1 is the header."""
    text, count = f"$D${call_row}", f"$E${call_row}"
    start = row_start(text, str(number))
    return (
        f'=IF({number}>{count}+1,"",IF({count}=0,"",'
        f"MID({text},{start},FIND(CHAR(10),{text},{start})-({start}))))"
    )


def table_cells() -> dict[str, str]:
    """The rows of the job sheet's tables."""
    cells = {}
    for table in TABLES:
        call = JOB_FIRST + JOB_CALLS.index(table)
        for number in range(1, TABLE_ROWS + 1):
            address = table_cell(table, number).removeprefix("Calls!").replace("$", "")
            cells[address] = table_row(call, number)
    # The unit stands after a row's last comma; a reason may hold commas of its own.
    header = table_cell("assumed", 1)
    for number in range(2, TABLE_ROWS + 1):
        row = table_cell("assumed", number)
        commas = f'LEN({row})-LEN(SUBSTITUTE({row},",",""))'
        last = f'FIND(CHAR(1),SUBSTITUTE({row},",",CHAR(1),{commas}))'
        cells[unit_place(number).removeprefix("Calls!").replace("$", "")] = (
            f'=IF({row}="",0,IF(RIGHT({header},5)=",unit",{last},LEN({row})+1))'
        )
    return cells


def unit_place(row: int) -> str:
    """Cell that tells where the unit of an assumption begins."""
    return f"Calls!$G${TABLES_FIRST + row - 1}"


def fields_key(paths: tuple[str, ...]) -> str:
    """``&field=…`` as formula text, in pieces of less than 255 characters."""
    pieces, piece = [], "&field="
    for number, path in enumerate(paths):
        piece += ("," if number else "") + path
        if len(piece) > 180:
            pieces.append(f'"{piece}"')
            piece = ""
    if piece:
        pieces.append(f'"{piece}"')
    return "&".join(pieces)


def _joined(prefix: str, paths: tuple[str, ...]) -> str:
    return '&","&'.join(f'{prefix}&"{path}"' for path in paths)


def _job_address(quote: dict[str, str], milled: str, request: str) -> str:
    """Plan, times and cost; asked once it is known how many parts, and how they are made."""
    needed = ",".join(f'{quote[key]}=""' for key in ("designation", "thread_process", "quantity"))
    return (
        f'=IF(OR({needed}),"",{ROOT}&IF({milled},'
        f'"job-sheet"&{request}&{fields_key(MILLED_FIELDS)},'
        f'"cycle-time"&{request}&{fields_key(TIME_FIELDS)})&{TAIL})'
    )
