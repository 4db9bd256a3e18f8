"""One request as curl, Python, a cell of a sheet and macros: text to copy, made from the request.

Numbers never pass through a program's language: sheets and macros write and read the decimal point
whatever the language, which is the trap that costs a factor of a thousand.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final
from urllib.parse import urlencode

from threadwright_service.api.operation import Operation

_FIRST_ROW: Final = 2
_LONGEST_LINE: Final = 90


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """A request of an operation, the one value that is wanted from it, and where the service is."""

    operation: Operation
    keys: Mapping[str, Any]
    field: str
    base: str

    @property
    def query(self) -> str:
        """The keys as the query of a GET."""
        return urlencode({key: query_text(value) for key, value in self.keys.items()})

    @property
    def address(self) -> str:
        """The whole address of the GET."""
        return f"{self.base}{self.operation.path}?{self.query}"

    @property
    def address_of_field(self) -> str:
        """The address that answers the one value as text."""
        return f"{self.address}&field={self.field}"


def query_text(value: Any) -> str:
    """A value as it stands in a query: lists by semicolons, objects as JSON."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (list, tuple)) and not any(isinstance(item, Mapping) for item in value):
        return ";".join(str(item) for item in value)
    if isinstance(value, (Mapping, list, tuple)):
        return json.dumps(value)
    return str(value)


def curl_get(request: Request) -> str:
    """The whole answer by GET."""
    return f"curl -s {_quoted(request.address)}"


def curl_field(request: Request) -> str:
    """The one value by GET."""
    return f"curl -s {_quoted(request.address_of_field)}"


def curl_post(request: Request) -> str:
    """The whole answer by POST."""
    body = json.dumps(dict(request.keys), indent=1)
    return (
        f"curl -s -H 'Content-Type: application/json' \\\n  -d {_quoted(body)} \\\n"
        f"  {_quoted(request.base + request.operation.path)}"
    )


def python(request: Request) -> str:
    """The client."""
    keys = "".join(f"        {key}={value!r},\n" for key, value in request.keys.items())
    return (
        "from threadwright import Client\n\n"
        f"with Client({request.base!r}) as client:\n"
        f"    answer = client.{request.operation.operation_id}(\n{keys}    )\n"
        f"print(answer.{_attributes(request.field)})\n"
    )


def cells(request: Request) -> list[tuple[str, Any]]:
    """What stands in columns A and B for the formula: keys and values from the second row on."""
    return [(key, _cell(value)) for key, value in request.keys.items()]


def cell_formula(request: Request, separator: str = ",") -> str:
    """The formula of a cell that shows the one value; the service's address is named ``BASE``."""
    path = f"{request.operation.path}?"
    parts = ["BASE"]
    literal = path
    for row, (key, value) in enumerate(cells(request), _FIRST_ROW):
        literal += f"{key}="
        parts.append(f'"{literal}"')
        cell = f"B{row}"
        parts.append(
            f"ENCODEURL({cell})"
            if isinstance(value, str)
            else f'SUBSTITUTE({cell}{separator}","{separator}".")'
        )
        literal = "&"
    parts.append(f'"&field={request.field}"')
    asked = f"WEBSERVICE({'&'.join(parts)})"
    return f"={asked}" if _is_text(request) else f'=NUMBERVALUE({asked}{separator}".")'


def basic(request: Request) -> str:
    """A function for cells of LibreOffice Calc."""
    name = _function_name(request)
    return (
        f"Function {name}() As Variant\n"
        "  Dim service As Object, address As String, answer As String\n"
        f"{_assembled(request, '  ')}"
        '  service = createUnoService("com.sun.star.sheet.FunctionAccess")\n'
        '  answer = service.callFunction("WEBSERVICE", Array(address))\n'
        f"{_returned(request, name, '  ')}"
        "End Function\n"
    )


def vba(request: Request) -> str:
    """A function for cells of a spreadsheet that runs VBA."""
    name = _function_name(request)
    return (
        f"Public Function {name}() As Variant\n"
        "    Dim service As Object, address As String, answer As String\n"
        f"{_assembled(request, '    ')}"
        '    Set service = CreateObject("MSXML2.ServerXMLHTTP.6.0")\n'
        "    service.setTimeouts 3000, 3000, 30000, 30000\n"
        '    service.Open "GET", address, False\n'
        "    service.send\n"
        "    answer = service.responseText\n"
        f"{_returned(request, name, '    ')}"
        "End Function\n"
    )


def _assembled(request: Request, indent: str) -> str:
    """The address put together in pieces short enough for an editor."""
    text = f"{request.address_of_field}&on_error=text"
    pieces = [text[at : at + _LONGEST_LINE] for at in range(0, len(text), _LONGEST_LINE)]
    lines = [f'{indent}address = "{pieces[0]}"\n']
    lines += [f'{indent}address = address & "{piece}"\n' for piece in pieces[1:]]
    return "".join(lines)


def _returned(request: Request, name: str, indent: str) -> str:
    """Give text back as it is; a number by ``Val``, which reads a point in every language."""
    if _is_text(request):
        return f"{indent}{name} = answer\n"
    return (
        f'{indent}If Left(answer, 4) = "#ERR" Then\n'
        f"{indent}{indent}{name} = answer\n"
        f"{indent}Else\n"
        f"{indent}{indent}{name} = Val(answer)\n"
        f"{indent}End If\n"
    )


def _function_name(request: Request) -> str:
    return f"ASK_{request.operation.operation_id.upper()}"


def _is_text(request: Request) -> bool:
    return request.field in _TEXTS


_TEXTS: Final = frozenset(("verdict", "action"))
"""Fields whose value is a word."""


def _attributes(path: str) -> str:
    """A dotted path as attributes, with list indices in brackets."""
    steps = path.split(".")
    return steps[0] + "".join(f"[{step}]" if step.isdigit() else f".{step}" for step in steps[1:])


def _cell(value: Any) -> Any:
    """A value as it is typed into a cell: numbers as numbers, everything else as text."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return value
    text = query_text(value)
    if isinstance(value, (list, tuple)) and len(value) == 1 and isinstance(value[0], (int, float)):
        return value[0]
    return text


def _quoted(text: str) -> str:
    """Text in single quotes for a shell."""
    return "'" + text.replace("'", "'\\''") + "'"
