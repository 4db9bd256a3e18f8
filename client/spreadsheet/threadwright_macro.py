"""Threadwright in LibreOffice Calc: one request for a whole column of call-outs.

Put this file into the user profile's folder ``Scripts/python``. Select a column of call-outs and
run ``fill_limits`` (Tools, Macros, Run Macro): pitch diameter max and min, best wire, reading max,
min and aim, and an error if there is one, go into the seven columns to the right. It needs the
standard library alone, and runs outside the office too.
"""

from __future__ import annotations

import json
import os
import urllib.error
import urllib.request
from collections.abc import Mapping, Sequence
from typing import Any

ADDRESS = os.environ.get("THREADWRIGHT_URL", "http://127.0.0.1:8000")
TIMEOUT_S = 30
MOST_ITEMS = 1000  # of one batch
COLUMNS = (
    "pitch_diameter_limits.max",
    "pitch_diameter_limits.min",
    "wire_diameter",
    "reading.max",
    "reading.min",
    "reading.aim",
)


def ask(operation: str, keys: Mapping[str, Any], address: str = ADDRESS) -> dict[str, Any]:
    """Answer of one operation.

    Raises
    ------
    ValueError
        If the service refuses; the text is its own, parameter by parameter.
    """
    request = urllib.request.Request(  # noqa: S310 - the address is the user's own
        f"{address.rstrip('/')}/v1/{operation}",
        data=json.dumps(keys).encode("utf-8"),
        headers={"Content-Type": "application/json"},
    )
    try:
        with urllib.request.urlopen(request, timeout=TIMEOUT_S) as answer:  # noqa: S310
            read: dict[str, Any] = json.load(answer)
            return read
    except urllib.error.HTTPError as refusal:
        problem = json.loads(refusal.read())
        faults = "; ".join(each["detail"] for each in problem.get("errors", ()))
        raise ValueError(faults or problem.get("detail") or problem["title"]) from None


def readings(
    call_outs: Sequence[str], unit: str | None = None, address: str = ADDRESS
) -> list[list[Any]]:
    """Limits and readings of many call-outs by batch: for each the columns, then an error."""
    rows: list[list[Any]] = []
    for first in range(0, len(call_outs), MOST_ITEMS):
        items = [
            {
                "operation": "wire-measurement",
                "params": {"designation": call_out, **({"unit": unit} if unit else {})},
            }
            for call_out in call_outs[first : first + MOST_ITEMS]
        ]
        for item in ask("batch", {"items": items}, address)["items"]:
            rows.append(_row(item))
    return rows


def _row(item: Mapping[str, Any]) -> list[Any]:
    if item["status"] != 200:
        error = item["error"]
        faults = "; ".join(each["detail"] for each in error.get("errors", ()))
        return [""] * len(COLUMNS) + [faults or error.get("detail", error["title"])]
    return [_at(item["result"], path) for path in COLUMNS] + [""]


def _at(value: Any, path: str) -> Any:
    for step in path.split("."):
        value = value[step]
    return "" if value is None else value


def fill(cells: Any, address: str = ADDRESS) -> int:
    """Fill the columns to the right of a range of call-outs; how many were in error.

    Values are set as numbers, so no language's decimal sign plays a part.
    """
    sheet, where = cells.Spreadsheet, cells.RangeAddress
    rows = range(where.StartRow, where.EndRow + 1)
    texts = [sheet.getCellByPosition(where.StartColumn, row).String for row in rows]
    filled = [(row, text) for row, text in zip(rows, texts, strict=True) if text]
    errors = 0
    for (row, _), values in zip(
        filled, readings([text for _, text in filled], address=address), strict=True
    ):
        errors += bool(values[-1])
        for column, value in enumerate(values, where.StartColumn + 1):
            cell = sheet.getCellByPosition(column, row)
            if isinstance(value, str):
                cell.String = value
            else:
                cell.Value = value
    return errors


def fill_limits(*_: Any) -> None:
    """Fill the columns to the right of the selection."""
    document = XSCRIPTCONTEXT.getDocument()  # type: ignore[name-defined]  # noqa: F821 - the office's
    names = document.NamedRanges
    address = ADDRESS
    if names.hasByName("base_address"):
        address = names.getByName("base_address").ReferredCells.getCellByPosition(0, 0).String
    fill(document.CurrentSelection, address)


g_exportedScripts = (fill_limits, fill)  # noqa: N816 - the name is the office's
