"""The keys of a job's request, put together in cells of the sheet Calls."""

from __future__ import annotations

from spreadsheet.workbook.columns import (
    CUTTER_COLUMNS,
    CUTTERS,
    FIRST_ENTRY,
    MACHINE_COLUMNS,
    MACHINES,
    table_letter,
)
from spreadsheet.workbook.formulas import ENCODEURL, number_key, text_key


def thread_keys(quote: dict[str, str]) -> str:
    """The query's beginning: call-out, unit, and the side where the call-out does not say it."""
    keys = (
        f'"?designation="&{ENCODEURL}({quote["designation"]})',
        text_key("unit", quote["unit"]),
        text_key("side", quote["side"]),
    )
    return f'=IF({quote["designation"]}="","",{"&".join(keys)})'


def coating_keys(quote: dict[str, str]) -> str:
    """A coating that follows."""
    keys = ("coating_thickness", "coating_thickness_min")
    return "=" + "&".join(number_key(key, quote[key]) for key in keys)


def cutter_factor(cutter: str, unit: str) -> str:
    """Factor from the unit of a cutter to that of the line."""
    letter = table_letter(CUTTER_COLUMNS, "unit")
    units = f"Cutters!${letter}${FIRST_ENTRY}:${letter}${FIRST_ENTRY + CUTTERS - 1}"
    return f'=IF({cutter}="",1,IF(INDEX({units},{cutter})={unit},1,IF({unit}="in",1/25.4,25.4)))'


def cutter_keys(cutter: str, factor: str, milled: str) -> str:
    """Keys of the cutter; of a turning or tapping tool only its cost and life."""
    geometry, cost = [], []
    for column in CUTTER_COLUMNS:
        if column.key in ("name", "unit"):
            continue
        letter = table_letter(CUTTER_COLUMNS, column.key)
        cells = f"Cutters!${letter}${FIRST_ENTRY}:${letter}${FIRST_ENTRY + CUTTERS - 1}"
        cell = f"INDEX({cells},{cutter})"
        if column.key == "axial_shift":
            # The cell says yes: a program would turn the word true into one of its own language.
            geometry.append(f'IF({cell}="yes","&{column.key}=true","")')
        elif not column.number:
            geometry.append(text_key(column.key, cell))
        elif column.group == "Cost":
            cost.append(number_key(column.key, cell))
        else:
            geometry.append(number_key(column.key, cell, factor if column.is_length else ""))
    return f'=IF({cutter}="","",IF({milled},{"&".join(geometry)},"")&{"&".join(cost)})'


def machine_keys(machine: str, factor: str) -> str:
    """Keys of the machine; its feeds are in mm/min."""
    parts = []
    for column in MACHINE_COLUMNS:
        if column.key == "name":
            continue
        letter = table_letter(MACHINE_COLUMNS, column.key)
        cells = f"Machines!${letter}${FIRST_ENTRY}:${letter}${FIRST_ENTRY + MACHINES - 1}"
        is_rate = column.key in ("feed_rate_max", "rapid_rate")
        parts.append(number_key(column.key, f"INDEX({cells},{machine})", factor if is_rate else ""))
    return f'=IF({machine}="","",{"&".join(parts)})'


def work_keys(quote: dict[str, str], milled: str) -> str:
    """What is cut, and how: more of it where the thread is milled."""
    planned = "&".join(
        (
            text_key("material", quote["material"]),
            number_key("hardness", quote["hardness"]),
            text_key("hardness_scale", quote["hardness_scale"]),
            number_key("shoulder_distance", quote["shoulder_distance"]),
            number_key("blank_diameter", quote["blank_diameter"]),
            number_key("hole_diameter", quote["hole_diameter"]),
        )
    )
    other = f'"&thread_process="&{ENCODEURL}({quote["thread_process"]})&' + number_key(
        "spindle_speed", quote["spindle_speed"]
    )
    both = "&".join(
        (
            number_key("thread_length", quote["thread_length"]),
            number_key("passes", quote["passes"]),
        )
    )
    made = quote["thread_process"]
    return f'={both}&IF({made}="","",IF({milled},{planned},{other}))'


def lot_keys(quote: dict[str, str]) -> str:
    """Keys of the lot; parts of both hands where some are left-hand."""
    all_parts, left = quote["quantity"], quote["quantity_left"]
    quantity = (
        f'IF(N({left})>0,"&quantity_right="&({all_parts}-{left})&"&quantity_left="&{left},'
        f'"&quantity="&{all_parts})'
    )
    return "=" + "&".join(
        (
            quantity,
            *(
                number_key(key, quote[key])
                for key in ("setup_time_min", "load_time_s", "material_cost")
            ),
        )
    )
