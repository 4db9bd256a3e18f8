"""A batch as JSON or CSV.

JSON is written item by item. What an item's answer is made of, some hundred small objects, is then
let go while it is at hand; kept until the last item is there, it would have to be fetched again to
be written and to be let go, which took a fifth of the time of a large batch.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final, NamedTuple

from threadwright_service.api import BY_NAME
from threadwright_service.api.batch import META, counts
from threadwright_service.app.flat import leaves
from threadwright_service.app.reply import json_bytes
from threadwright_service.app.representations.options import Options
from threadwright_service.app.representations.rows import records_of, table_bytes

_FIRST: Final = ("index", "id", "operation", "status", "error")
Item = Mapping[str, Any]


class WrittenBatch(NamedTuple):
    """A batch's answer, and how many of its items were answered and refused."""

    body: bytes
    ok: int
    failed: int


def batch_json(items: Iterable[Item]) -> WrittenBatch:
    """The items as they come, and what stands around them."""
    written = bytearray()
    number = failed = 0
    for number, item in enumerate(items, 1):
        failed += item["status"] != 200
        if number > 1:
            written += b","
        written += json_bytes(item)
    head = json_bytes(counts(number, failed)).removesuffix(b"}")
    body = b"".join((head, b',"items":[', written, b'],"meta":', json_bytes(META), b"}"))
    return WrittenBatch(body, number - failed, failed)


def batch_csv(items: Iterable[Item], options: Options) -> WrittenBatch:
    """One row for each row of each item's own table, with the item's status.

    The columns after the first five are the union of the items' own.
    """
    ok = failed = 0
    rows: list[Mapping[str, Any]] = []
    for item in items:
        if item["status"] == 200:
            ok += 1
        else:
            failed += 1
        rows += _rows(item)
    columns = list(dict.fromkeys((*_FIRST, *(key for row in rows for key in row))))
    body = table_bytes(columns, ([row.get(key) for key in columns] for row in rows), options)
    return WrittenBatch(body, ok, failed)


def _rows(item: Item) -> list[dict[str, Any]]:
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
