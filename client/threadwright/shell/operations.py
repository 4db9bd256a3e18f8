"""The commands that call one operation, or show a list."""

from __future__ import annotations

import argparse
import inspect
import json
import shutil
import sys
from collections.abc import Sequence
from typing import Final

from threadwright.client import Client
from threadwright.operations import OPERATIONS, Operation
from threadwright.record import Record, plain
from threadwright.results.answer import Result
from threadwright.results.lists import ThreadFamily
from threadwright.shell.arguments import (
    FORMATS,
    Parser,
    add_keys,
    add_service,
    client_of,
    keys_in_file,
    typed_keys,
)
from threadwright.shell.failures import OK, UsageError
from threadwright.shell.table import UNIT_WORDS, rows_table, table


def summary_of(operation: Operation) -> str:
    """What an operation does, in a line: the first one of the client's method."""
    return (inspect.getdoc(getattr(Client, operation.method)) or "").splitlines()[0]


def run_operation(operation: Operation, argv: Sequence[str]) -> int:
    """``threadwright <operation> --key value …``."""
    typed = operation_parser(operation).read(argv)
    keys = {} if typed.file is None else keys_in_file(typed.file)
    keys |= typed_keys(typed, operation)
    with client_of(typed) as client:
        if typed.field is not None:
            print_text(client.text(operation.name, typed.field, **keys))
        elif typed.format != "table":
            print_bytes(client.document(operation.name, typed.format, **keys))
        else:
            result = client.call(operation.name, keys)
            print_text(_told(operation, result, whole=typed.all))
    return OK


def _told(operation: Operation, result: Result, *, whole: bool) -> str:
    """An answer for people: of a job the sheet, unless the whole or the working is wanted."""
    if operation.name == "job-sheet" and not whole and result.working is None:
        from threadwright.results.jobs import JobSheet  # the others need none of its results
        from threadwright.shell.sheet import sheet

        if isinstance(result, JobSheet):
            return sheet(result, width())
    return table(result, operation.name, width())


def operation_parser(operation: Operation) -> Parser:
    """What the command of an operation takes."""
    parser = Parser(prog=f"threadwright {operation.name}", description=summary_of(operation))
    output = parser.add_argument_group("input and output")
    output.add_argument(
        "--file",
        help="JSON object of keys; - for standard input; keys on the command line come before it",
    )
    output.add_argument("--format", choices=FORMATS, default="table")
    output.add_argument(
        "--field",
        help="one or several dotted paths, separated by commas: the bare value, or one line of CSV",
    )
    output.add_argument(
        "--all", action="store_true", help="every value of a job sheet, not the sheet alone"
    )
    add_service(parser)
    add_keys(parser, operation)
    return parser


def run_list(name: str, argv: Sequence[str]) -> int:
    """``threadwright threads`` and ``threadwright materials``."""
    parser = Parser(prog=f"threadwright {name}", description=LISTS[name])
    if name == "threads":
        parser.add_argument("--family", help="only this family, by its key; shows its sizes")
        parser.add_argument("--series", help="only this series, by its symbol; shows its sizes")
    else:
        parser.add_argument("--iso-513", choices=("P", "M", "K", "N", "S", "H"))
    parser.add_argument("--format", choices=("table", "json"), default="table")
    add_service(parser)
    typed = parser.read(argv)
    with client_of(typed) as client:
        rows: Sequence[Record]
        families: Sequence[ThreadFamily] = ()
        if name == "threads":
            rows = families = client.threads(family=typed.family, series=typed.series)
        else:
            rows = client.materials(iso_513=typed.iso_513)
    if not rows:
        raise UsageError(_none_of(typed))
    if typed.format == "json":
        print_text(json.dumps(plain(tuple(rows)), indent=1, ensure_ascii=False))
        return OK
    print_text(rows_table(rows, width(), _COLUMNS[name]))
    for family in families:
        if typed.family or typed.series:
            print_text(f"\n{family.family} (lengths in {UNIT_WORDS.get(family.unit, family.unit)})")
            print_text(rows_table(family.sizes, width()))
    return OK


def _none_of(typed: argparse.Namespace) -> str:
    """What was looked for and is not there."""
    wanted = {"--family": "family", "--series": "series", "--iso-513": "iso_513"}
    given = [
        f"{option} {getattr(typed, name)}"
        for option, name in wanted.items()
        if getattr(typed, name, None)
    ]
    return f"nothing for {' '.join(given)}; without it all are listed"


LISTS: Final = {
    "threads": "Families of threads, their classes and standard sizes.",
    "materials": "Material groups with hardness ranges and grade names.",
}
"""Commands that show what the service knows."""

_COLUMNS: Final = {
    "threads": ("family", "title", "standard", "unit", "sizes"),
    "materials": ("key", "name", "iso_513", "hardness_low_hb", "hardness_high_hb"),
}
"""What is shown of each; --format json shows all."""


def width() -> int:
    """Columns of the terminal, or 100 where there is none."""
    return shutil.get_terminal_size((100, 24)).columns


def print_text(text: str) -> None:
    """Write a text and end its line."""
    sys.stdout.write(text if text.endswith("\n") else f"{text}\n")


def print_bytes(data: bytes) -> None:
    """Write a document as it is."""
    sys.stdout.flush()
    sys.stdout.buffer.write(data if data.endswith(b"\n") else data + b"\n")
    sys.stdout.buffer.flush()


def run_operations(argv: Sequence[str]) -> int:
    """``threadwright operations``."""
    Parser(prog="threadwright operations", description="The operations, a line each.").read(argv)
    longest = max(map(len, OPERATIONS))
    for operation in OPERATIONS.values():
        print_text(f"{operation.name:{longest}}  {summary_of(operation)}")
    return OK
