"""The guide's cell formulas and Basic macros, run in a real Calc with a decimal comma."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from urllib.request import urlopen

import pytest

from support import office
from support.servers import Process
from threadwright_service.api import OPERATIONS
from threadwright_service.app.flat import found
from threadwright_service.app.pages.guide import FIELDS
from threadwright_service.app.pages.snippets import Request, basic, cell_formula, cells

pytestmark = [
    pytest.mark.spreadsheet,
    pytest.mark.skipif(bool(office.missing()), reason=office.missing() or "Calc is here"),
]


def requests(service: Process) -> list[Request]:
    return [
        Request(
            operation=operation,
            keys=operation.examples[0].request,
            field=FIELDS[operation.name],
            base=service.url,
        )
        for operation in OPERATIONS
    ]


def wanted(request: Request) -> Any:
    with urlopen(request.address) as answer:
        return found(json.load(answer)["result"], request.field)


def literal(value: Any) -> str:
    """A formula that gives a cell its value in any language."""
    return f"={value}" if isinstance(value, (int, float)) else f'="{value}"'


def columns(asked: list[Request]) -> list[str]:
    """One for each request, with an empty one between."""
    found = list("BDFHJLNPRTVXZ")[: len(asked)]
    assert len(found) == len(asked)
    return found


@pytest.mark.parametrize("locale", ["de-DE", "en-US"])
def test_cell_formulas(locale: str, service: Process) -> None:
    asked = requests(service)
    formulas = []
    for column, request in zip(columns(asked), asked, strict=True):
        for row, (_, value) in enumerate(cells(request), 2):
            formulas.append((f"{column}{row}", literal(value)))
        formula = cell_formula(request, ";").replace("BASE", f'"{service.url}"', 1)
        for row in range(60, 1, -1):  # the guide's column is B
            formula = formula.replace(f"(B{row})", f"({column}{row})")
            formula = formula.replace(f"(B{row};", f"({column}{row};")
        formulas.append((f"{column}80", formula))
    answer = office.carry_out(locale=locale, formulas=formulas)
    (sheet,) = answer["sheets"].values()
    for column, request in zip(columns(asked), asked, strict=True):
        got = sheet[f"{column}80"]
        assert got["value"] == wanted(request), f"{request.operation.name}: {got}"


def test_basic_macros(service: Process, tmp_path: Path) -> None:
    asked = requests(service)
    module = tmp_path / "guide.bas"
    module.write_text("\n".join(basic(request) for request in asked), encoding="utf-8")
    formulas = [
        (f"A{row}", f"=ASK_{request.operation.operation_id.upper()}()")
        for row, request in enumerate(asked, 1)
    ]
    answer = office.carry_out(locale="de-DE", basic=module, formulas=formulas)
    (sheet,) = answer["sheets"].values()
    for row, request in enumerate(asked, 1):
        assert sheet[f"A{row}"]["value"] == wanted(request), request.operation.name
