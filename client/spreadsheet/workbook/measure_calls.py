"""What the sheet Measure asks: the reading to aim at, and the correction after what was read."""

from __future__ import annotations

from typing import Final

from spreadsheet.workbook.calls import (
    ROOT,
    TABLE_ROWS,
    TABLES_FIRST,
    TAIL,
    fields_key,
    of_line,
    table_row,
    table_text_cells,
)
from spreadsheet.workbook.formulas import (
    WEBSERVICE,
    is_refusal,
    item,
    last_item,
    number_key,
    text_key,
)
from spreadsheet.workbook.job_values import quoted

PARTS: Final = 15
"""Most parts whose readings the sheet takes."""
CAUTIONS: Final = 8
FIRST_PART: Final = 14
METHOD, WIRE, UNCERTAINTY = "Measure!$D$7", "Measure!$D$8", "Measure!$D$9"

# Words stand last; the very last may hold commas.
AIM: Final = (
    "wire_diameter", "reading.max", "reading.aim", "reading.min", "thread.state", "method",
)  # fmt: skip
CORRECTION: Final = (
    "radius_correction_now",
    "diameter_correction_now",
    "expected_pitch_diameter",
    "target.pitch_diameter",
    "excess",
    "drift_per_part",
    "next_correction_after_parts",
    "verdict",
    "action",
    "action_reason",
)
MEASURE_CALLS: Final = ("aim", "correction", "measured parts", "cautions of it")
MEASURE_FIRST: Final = TABLES_FIRST + TABLE_ROWS + 3
READ_FIRST: Final = MEASURE_FIRST + len(MEASURE_CALLS) + 3
"""First row of what is put together from the readings, and of the answer's tables."""


def measure_answer(call: str) -> str:
    """Cell of the answer of one of the sheet's calls."""
    return f"Calls!$C${MEASURE_FIRST + MEASURE_CALLS.index(call)}"


def measured_row(number: int) -> str:
    """Cell of one row of the table of parts; 1 is the header."""
    return f"Calls!$E${READ_FIRST + number - 1}"


def measured_rows() -> str:
    """The cells of all rows of the table of parts, without the header."""
    return f"Calls!$E${READ_FIRST + 1}:$E${READ_FIRST + PARTS}"


def caution_row(number: int) -> str:
    """Cell of one row of the cautions; 1 is the header."""
    return f"Calls!$F${READ_FIRST + number - 1}"


def measure_cells() -> dict[str, str]:
    """The calls for the line that is chosen on the sheet, and what they are made of."""
    call_out = quoted("designation", "measure_line")
    thread = f"{of_line('O', 'measure_line')}&{of_line('P', 'measure_line')}"
    over_wires = f'{METHOD}<>"pitch-diameter"'
    last = READ_FIRST + PARTS
    readings = f'&"&measured="&$B${last}'
    keys = f"{thread}&{_method_keys(over_wires)}{readings}&$C${last + 1}&$D${last + 1}"
    keys += f"&{number_key('uncertainty', UNCERTAINTY)}"
    asked = {
        "aim": f'"wire-measurement"&{thread}&IF({over_wires},{text_key("method", METHOD)}&'
        f'{number_key("wire_diameter", WIRE)},"")&{fields_key(AIM)}',
        "correction": f'"size-correction"&{keys}&{fields_key(CORRECTION)}',
        "measured parts": f'"size-correction"&{keys}&"&rows=parts"',
        "cautions of it": f'"size-correction"&{keys}&"&rows=cautions"',
    }
    cells = _reading_cells()
    aim = measure_answer("aim")
    for row, call in enumerate(MEASURE_CALLS, MEASURE_FIRST):
        wanted = f'{call_out}=""'
        if call != "aim":
            wanted = f'OR({wanted},$B${last}="",{is_refusal(aim)})'
        cells[f"A{row}"] = call
        cells[f"B{row}"] = f'=IF({wanted},"",{ROOT}&{asked[call]}&{TAIL})'
        cells[f"C{row}"] = f'=IF(B{row}="","",{WEBSERVICE}(B{row}))'
        if call in MEASURE_CALLS[2:]:
            cells |= table_text_cells(row)
    for letter, call, most in (("E", "measured parts", PARTS), ("F", "cautions of it", CAUTIONS)):
        for number in range(1, most + 2):
            made = table_row(MEASURE_FIRST + MEASURE_CALLS.index(call), number)
            cells[f"{letter}{READ_FIRST + number - 1}"] = made
    return cells


def _method_keys(over_wires: str) -> str:
    """How it was measured: as the sheet says, or as the service would."""
    aim = measure_answer("aim")
    method = f'IF({METHOD}="",{last_item(aim, len(AIM))},{METHOD})'
    wire = item(aim, 1)
    return f'"&method="&IF({over_wires},{method}&"&wire_diameter="&{wire},{METHOD})'


def _reading_cells() -> dict[str, str]:
    """Readings, numbers and corrections, each list grown by one more part in every row."""
    cells = {f"{letter}{READ_FIRST}": '=""' for letter in "BCD"}
    numbers = f"Measure!$A${FIRST_PART}:$A${FIRST_PART + PARTS - 1}"
    corrections = f"Measure!$D${FIRST_PART}:$D${FIRST_PART + PARTS - 1}"
    for place in range(PARTS):
        entry, row = FIRST_PART + place, READ_FIRST + 1 + place
        reading = f"Measure!$B${entry}"
        between = f'IF($B{row - 1}="","","%3B")'
        added = {
            "B": f'SUBSTITUTE({reading},",",".")',
            "C": f"Measure!$A${entry}",
            "D": f'IF(Measure!$D${entry}="",0,SUBSTITUTE(Measure!$D${entry},",","."))',
        }
        for letter, text in added.items():
            cells[f"{letter}{row}"] = f'={letter}{row - 1}&IF({reading}="","",{between}&{text})'
    last = READ_FIRST + PARTS
    for letter, key, entries in (
        ("C", "part_numbers", numbers), ("D", "corrections", corrections)
    ):  # fmt: skip
        cells[f"{letter}{last + 1}"] = f'=IF(COUNT({entries})=0,"","&{key}="&{letter}{last})'
    return cells
