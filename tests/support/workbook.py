"""The workbook as a real Calc computes it, and what the service says to the same keys."""

from __future__ import annotations

from typing import Any

import requests

from spreadsheet.make_workbook import COMMITTED
from support import office
from support.servers import Process

Sheets = dict[str, dict[str, Any]]
Edit = tuple[str, str, str | float]


def computed(
    address: str, locale: str, *edits: Edit, only: tuple[str, ...] | None = None, **order: Any
) -> Sheets:
    """Every formula cell of every sheet, or of some, after these edits."""
    answer = office.carry_out(
        locale=locale,
        document=COMMITTED,
        update=True,
        only=only,
        edits=[("Quotes", "C2", address), *edits],
        **order,
    )
    sheets: Sheets = answer["sheets"]
    return sheets


def asked(service: Process, operation: str, keys: dict[str, Any]) -> dict[str, Any]:
    """The service's answer to a POST."""
    answer = requests.post(f"{service.url}/v1/{operation}", json=keys, timeout=30)
    assert answer.status_code == 200, answer.text
    whole: dict[str, Any] = answer.json()
    return whole


def at(value: Any, path: str) -> Any:
    """The value at a dotted path."""
    for step in path.split("."):
        value = value[step]
    return value
