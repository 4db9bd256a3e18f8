"""``threadwright batch``: rows of a file in, the same rows with their answers out, in order."""

from __future__ import annotations

import csv
import io
import json
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from threadwright.errors import InvalidInputError
from threadwright.operations import OPERATIONS, Operation
from threadwright.paths import leaves, value_at
from threadwright.record import plain
from threadwright.results.answer import Result
from threadwright.shell.arguments import (
    Parser,
    add_keys,
    add_service,
    client_of,
    text_of,
    typed_keys,
)
from threadwright.shell.failures import INVALID_INPUT, OK, UsageError
from threadwright.shell.keys import keys_of
from threadwright.shell.operations import print_text

Answered = Result | InvalidInputError

_DESCRIPTION: Final = (
    "Call an operation for every row of a file. CSV: the header names the keys, other columns are "
    "kept and not sent. JSON: a list of objects of keys, or of operation and params. The rows come "
    "out in the same order, each with its answer or its error."
)


@dataclass(frozen=True, slots=True)
class Row:
    """One row: what stands in it, the operation, and the keys to be sent."""

    given: Mapping[str, Any]
    operation: str
    keys: Mapping[str, Any]


@dataclass(slots=True)
class Rows:
    """The rows of a file, and the columns that are not sent."""

    rows: list[Row]
    is_csv: bool
    columns: list[str] = field(default_factory=list)
    not_sent: list[str] = field(default_factory=list)


def run_batch(argv: Sequence[str]) -> int:
    """``threadwright batch --file rows.csv …``."""
    typed, operation, shared = _typed(argv)
    found = _rows_in(typed.file, operation)
    if found.not_sent:
        sys.stderr.write(f"not sent, being no keys: {', '.join(found.not_sent)}\n")
    form = typed.format or ("csv" if found.is_csv else "json")
    fields = typed.field.split(",") if typed.field else None
    with client_of(typed) as client:
        answers = client.batch_iter(
            [(row.operation, {**shared, **row.keys}) for row in found.rows],
            progress=typed.progress,
            **({} if typed.timeout is None else {"timeout": typed.timeout}),
        )
        write = _write_json if form == "json" else _write_csv
        try:
            failed = write(found, answers, fields)
        except LookupError as error:
            raise UsageError(f"--field: {error.args[0]}") from None
    if failed:
        sys.stderr.write(f"{failed} of {len(found.rows)} rows failed; see their error\n")
    return INVALID_INPUT if failed else OK


def _typed(argv: Sequence[str]) -> tuple[Any, Operation | None, dict[str, Any]]:
    """What was typed; the keys on the command line are those of every row."""
    first = Parser(prog="threadwright batch", description=_DESCRIPTION)
    operation = OPERATIONS.get(_named_operation(argv).replace("_", "-"))
    group = first.add_argument_group("input and output")
    group.add_argument("--file", required=True, help="CSV or JSON; - for standard input")
    group.add_argument(
        "--operation",
        choices=[*OPERATIONS],
        type=lambda name: name.replace("_", "-"),
        help="what is done with every row; else each row names its own",
    )
    group.add_argument(
        "--field",
        help="dotted paths into the results, separated by commas: the "
        "columns that are added; every single value if not given",
    )
    group.add_argument("--format", choices=("csv", "json"), help="that of the file if not given")
    group.add_argument("--progress", action="store_true", help="show a progress bar")
    add_service(first)
    if operation is not None:
        add_keys(first, operation)
    typed = first.read(argv)
    return typed, operation, typed_keys(typed, operation) if operation is not None else {}


def _named_operation(argv: Sequence[str]) -> str:
    for argument, following in zip(argv, [*argv[1:], ""], strict=True):
        if argument == "--operation":
            return following
        if argument.startswith("--operation="):
            return argument.partition("=")[2]
    return ""


def _rows_in(name: str, operation: Operation | None) -> Rows:
    text = text_of(name)
    if text.lstrip()[:1] == "[":
        return Rows(_json_rows(name, text, operation), is_csv=False)
    return _csv_rows(name, text, operation)


def _json_rows(name: str, text: str, operation: Operation | None) -> list[Row]:
    try:
        items = json.loads(text)
    except ValueError as error:
        raise UsageError(f"--file: {name} is not JSON: {error}") from None
    rows = []
    for number, item in enumerate(items, 1):
        if not isinstance(item, dict):
            raise UsageError(f"--file: item {number} is no JSON object")
        if operation is not None:
            rows.append(Row(item, operation.name, item))
        elif isinstance(item.get("operation"), str) and isinstance(item.get("params", {}), dict):
            rows.append(Row(item, item["operation"], item.get("params", {})))
        else:
            raise UsageError(f"--file: item {number} names no operation; give --operation")
    return rows


def _csv_rows(name: str, text: str, operation: Operation | None) -> Rows:
    header = text.split("\n", 1)[0]
    delimiter = ";" if header.count(";") > header.count(",") else ","
    lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))
    if not lines or not any(cell.strip() for cell in lines[0]):
        raise UsageError(f"--file: {name} has no header")
    columns = [cell.strip() for cell in lines[0]]
    if len(set(columns)) != len(columns):
        raise UsageError(f"--file: column {max(columns, key=columns.count)} stands twice")
    if operation is None and "operation" not in columns:
        raise UsageError("--file: no column operation; give --operation")
    found = Rows([], is_csv=True, columns=columns)
    sent: dict[str, None] = {}
    for number, cells in enumerate(lines[1:], 2):
        if not any(cells):
            continue
        if len(cells) > len(columns):
            raise UsageError(f"--file: line {number} has more cells than the header")
        given = dict(zip(columns, cells, strict=False))
        named = operation.name if operation is not None else given.get("operation", "").strip()
        keys = _keys_of_cells(given, OPERATIONS.get(named.replace("_", "-")))
        sent |= dict.fromkeys(keys)
        found.rows.append(Row(given, named, keys))
    if found.rows:
        found.not_sent = [name for name in columns if name not in sent and name != "operation"]
    return found


def _keys_of_cells(given: Mapping[str, str], operation: Operation | None) -> dict[str, Any]:
    """The cells that are keys, as values; a text that is none is sent for the service to judge."""
    known = {} if operation is None else keys_of(operation)
    keys: dict[str, Any] = {}
    for column, cell in given.items():
        key = known.get(column.replace("-", "_"))
        if key is not None and cell.strip():
            try:
                keys[key.name] = key.read(cell)
            except ValueError:
                keys[key.name] = cell.strip()
    return keys


def _write_json(found: Rows, answers: Iterator[Answered], fields: Sequence[str] | None) -> int:
    """One object a line within a list, as the answers come."""
    failed = 0
    for number, (row, answer) in enumerate(zip(found.rows, answers, strict=True)):
        told: dict[str, Any] = {"index": number, "operation": row.operation, "input": row.given}
        if isinstance(answer, Result):
            told |= {
                "unit": answer.answer.unit,
                "result": answer.to_dict() if fields is None else _told(answer, fields)[0],
                "assumed": plain(answer.assumed),
                "cautions": plain(answer.cautions),
            }
        else:
            failed += 1
            told["error"] = {
                "status": answer.status,
                "code": answer.code,
                "detail": answer.detail,
                "faults": [
                    {
                        "parameter": fault.parameter,
                        "detail": fault.detail,
                        "accepted": fault.accepted,
                    }
                    for fault in answer.faults
                ],
            }
        print_text(("[" if number == 0 else ",") + json.dumps(told, ensure_ascii=False))
    print_text("]" if found.rows else "[]")
    return failed


def _write_csv(found: Rows, answers: Iterator[Answered], fields: Sequence[str] | None) -> int:
    """The file's columns, the answers' and ``error``; as they come if the fields are named."""
    columns = found.columns or list(dict.fromkeys(name for row in found.rows for name in row.given))
    writer = csv.writer(sys.stdout, lineterminator="\n")
    told: Iterator[tuple[dict[str, Any], str]] = (_told(answer, fields) for answer in answers)
    if fields is None:
        kept = list(told)
        fields = list(dict.fromkeys(path for values, _ in kept for path in values))
        told = iter(kept)
    added = [f"result.{path}" if path in {*columns, "error"} else path for path in fields]
    writer.writerow([*columns, *added, "error"])
    failed = 0
    for row, (values, error) in zip(found.rows, told, strict=True):
        failed += bool(error)
        writer.writerow(
            [
                *(_cell(row.given.get(name)) for name in columns),
                *(_cell(values.get(path)) for path in fields),
                _cell(error),
            ]
        )
    return failed


def _told(answer: Answered, fields: Sequence[str] | None) -> tuple[dict[str, Any], str]:
    """The values of an answer under their paths, or its error."""
    if not isinstance(answer, Result):
        return {}, answer.told()
    if fields is None:
        return dict(leaves(answer)), ""
    return {path: value_at(answer, path) for path in fields}, ""


def _cell(value: Any) -> str:
    """A cell that no spreadsheet takes for a formula."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, (list, dict)):
        return json.dumps(value, ensure_ascii=False)
    text = str(value)
    if isinstance(value, str) and text[:1] in ("=", "+", "-", "@", "\t", "\r"):
        return text if _is_number(text) else f"'{text}"
    return text


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True
