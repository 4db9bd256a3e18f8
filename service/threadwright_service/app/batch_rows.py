"""A batch as CSV: one row for each row of each item's own table, with the item's status."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from threadwright_service.api import BY_NAME
from threadwright_service.app.flat import leaves
from threadwright_service.app.representations.options import Options
from threadwright_service.app.representations.rows import records_of, table_bytes

_FIRST = ("index", "id", "operation", "status", "error")


def batch_bytes(batch: Mapping[str, Any], options: Options) -> bytes:
    """The rows of a batch; the columns after the first five are the union of the items' own."""
    rows = [row for item in batch["items"] for row in _rows(item)]
    columns = list(dict.fromkeys((*_FIRST, *(key for row in rows for key in row))))
    return table_bytes(columns, ([row.get(key) for key in columns] for row in rows), options)


def _rows(item: Mapping[str, Any]) -> list[dict[str, Any]]:
    first = {
        "index": item["index"],
        "id": item.get("id"),
        "operation": item.get("operation"),
        "status": item["status"],
        "error": "",
    }
    if "error" in item:
        problem = item["error"]
        slug = problem["type"].rsplit("/", 1)[-1]
        return [{**first, "error": f"{slug}: {problem['detail']}"}]
    records = records_of(BY_NAME[item["operation"]], item["result"])
    return [{**first, **_plain_names(record)} for record in records]


def _plain_names(record: Mapping[str, Any]) -> dict[str, Any]:
    """A record's values; a name that one of the first columns has is told apart."""
    return {f"result.{key}" if key in _FIRST else key: value for key, value in leaves(record)}
