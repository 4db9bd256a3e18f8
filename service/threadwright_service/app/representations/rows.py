"""CSV: a header and rows, CRLF, UTF-8 without a byte order mark, safe against formulas."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from threadwright_service.api.operation import Operation
from threadwright_service.app.flat import leaves, plain
from threadwright_service.app.representations.options import PLAIN, Options


def write(operation: Operation, answer: Mapping[str, Any], options: Options = PLAIN) -> bytes:
    """The answer's table where it has one, else one row of all its values.

    The columns of a list are the union of its rows' keys, in order.
    """
    return table_of(records_of(operation, answer["result"]), options)


def records_of(operation: Operation, result: Mapping[str, Any]) -> Sequence[Mapping[str, Any]]:
    """The records of a result's table, or the result as the only one."""
    table = result.get(operation.rows) if operation.rows else None
    return table or [result]


def table_of(records: Iterable[Mapping[str, Any]], options: Options = PLAIN) -> bytes:
    """Header and rows of records; nested members under their dotted paths."""
    rows = [dict(leaves(record)) for record in records]
    columns = list(dict.fromkeys(key for row in rows for key in row))
    return table_bytes(columns, ([row.get(key) for key in columns] for row in rows), options)


def table_bytes(
    columns: Sequence[str], rows: Iterable[Iterable[Any]], options: Options = PLAIN
) -> bytes:
    """Header and rows."""
    out = io.StringIO()
    cell = _with_comma if options.decimal_comma else safe
    writer = csv.writer(out, lineterminator="\r\n", delimiter=_separator(options))
    writer.writerow(columns)
    for row in rows:
        writer.writerow([cell(value) for value in row])
    return out.getvalue().encode("utf-8")


def line(values: Iterable[Any], options: Options = PLAIN) -> str:
    """One row without its line end."""
    out = io.StringIO()
    cell = _with_comma if options.decimal_comma else safe
    writer = csv.writer(out, lineterminator="", delimiter=_separator(options))
    writer.writerow([cell(value) for value in values])
    return out.getvalue()


def _separator(options: Options) -> str:
    return ";" if options.decimal_comma else ","


def safe(value: Any) -> str:
    """A cell that no spreadsheet takes for a formula; a list's values are in it one by one."""
    if value is None:
        return ""
    if isinstance(value, (list, tuple)):
        return "; ".join(safe(each) for each in value)
    text = plain(value)
    if isinstance(value, str) and text[:1] in ("=", "+", "-", "@", "\t", "\r"):
        return f"'{text}"
    return text


def _with_comma(value: Any) -> str:
    """The same cell for a program that reads a decimal comma."""
    if isinstance(value, (list, tuple)):
        return "; ".join(_with_comma(each) for each in value)
    return plain(value).replace(".", ",") if isinstance(value, float) else safe(value)
