"""Many items of any operations in one request: answered in order, each with its own status."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches
from itertools import count
from typing import Any

from threadwright_service.api import BY_NAME
from threadwright_service.api.answer import SERVICE_VERSION, TABLES_VERSION, RefusedError, tell
from threadwright_service.api.operation import Operation
from threadwright_service.api.problems import Problem, invalid_request, refused
from threadwright_service.schemas.faults import Fault, InvalidRequestError
from threadwright_service.schemas.query_text import shown

_ITEM_KEYS = frozenset(("id", "operation", "params"))
_LONGEST_NAME = 40


def run_batch(body: Any, limit: int) -> dict[str, Any]:
    """Answer a batch.

    Parameters
    ----------
    body : object
        ``{"items": [{"id": …, "operation": …, "params": {…}}, …]}``
    limit : int
        Most items.

    Returns
    -------
    dict
        ``count``, ``ok``, ``failed`` and ``items`` in the order asked for: each has ``index``,
        ``id``, ``status`` and either the answer's members or ``error``, a problem.

    Raises
    ------
    InvalidRequestError
        If the batch itself is malformed.
    BatchTooLargeError
        If it holds more items than ``limit``.
    """
    items = list(answers(body, limit))
    failed = sum(1 for item in items if item["status"] != 200)
    return {**counts(len(items), failed), "items": items, "meta": META}


def answers(body: Any, limit: int) -> Iterator[dict[str, Any]]:
    """The members of ``items`` one by one, each computed when it is asked for.

    Parameters and what it raises, at once, as :func:`run_batch`.
    """
    return map(_answered, count(), _items_of(body, limit))


def counts(items: int, failed: int) -> dict[str, int]:
    """The members of a batch's answer that come before its items."""
    return {"count": items, "ok": items - failed, "failed": failed}


META = {"service": SERVICE_VERSION, "tables": TABLES_VERSION}
"""What all items of a batch rest on."""


class BatchTooLargeError(Exception):
    """More items than a batch may hold."""


def _items_of(body: Any, limit: int) -> list[Any]:
    faults = []
    if type(body) is not dict:
        faults.append(_fault("", "not-an-object", "the body is not a JSON object", body))
    elif set(body) != {"items"}:
        faults += [
            _fault(key, "unknown", f"{key} is not a key of a batch", body[key])
            for key in body
            if key != "items"
        ]
        if "items" not in body:
            faults.append(_fault("items", "missing", "items is missing", None))
    if not faults:
        items = body["items"]
        if type(items) is list and items:
            if len(items) > limit:
                raise BatchTooLargeError(
                    f"the batch holds {len(items)} items, more than {limit}; send several batches"
                )
            return items
        wrong = "an empty list" if items == [] else f"{shown(items)}, not a list"
        faults.append(_fault("items", "not-a-list", f"items is {wrong}", items))
    raise InvalidRequestError(tuple(faults))


def _fault(parameter: str, code: str, detail: str, value: Any) -> Fault:
    return Fault(
        parameter=parameter,
        code=code,
        detail=detail,
        value=value,
        accepted='{"items": [{"id": "a", "operation": "thread-limits", "params": {…}}, …]}',
    )


def _answered(index: int, item: Any) -> dict[str, Any]:
    told: dict[str, Any] = {"index": index}
    try:
        operation = _operation_of(item, told)
        loaded = operation.request.load_json(item.get("params", {}))
        told["status"] = 200
        tell(told, operation, loaded)
    except InvalidRequestError as error:
        return _failed(told, invalid_request(error))
    except RefusedError as error:
        return _failed(told, refused(error))
    return told


def _operation_of(item: Any, told: dict[str, Any]) -> Operation:
    """The operation that an item asks for; its ``id`` is told."""
    if type(item) is not dict:
        raise InvalidRequestError(
            (_fault("", "not-an-object", f"the item is {shown(item)}, not an object", item),)
        )
    name = item.get("operation")
    operation = BY_NAME.get(name) if type(name) is str else None
    if "id" in item:
        kind = type(item["id"])
        named = kind is str or kind is int
        told["id"] = item["id"] if named else None
    else:
        named = True
    if operation is not None and named and item.keys() <= _ITEM_KEYS:
        return operation
    raise InvalidRequestError(_faults_of(item, operation))


def _faults_of(item: dict[str, Any], operation: Operation | None) -> tuple[Fault, ...]:
    """Every fault of an item around its ``params``."""
    faults = [
        _fault(key, "unknown", _misplaced(key, operation), item[key])
        for key in item
        if key not in _ITEM_KEYS
    ]
    if "id" in item and type(item["id"]) not in (str, int):
        faults.append(_fault("id", "not-text", "id is neither text nor a whole number", item["id"]))
    if operation is None:
        name = item.get("operation")
        faults.append(
            Fault(
                parameter="operation",
                code="not-a-choice" if "operation" in item else "missing",
                detail=_no_operation(name) if name is not None else "operation is missing",
                value=name,
                accepted=f"one of {', '.join(BY_NAME)}",
            )
        )
    return tuple(faults)


def _misplaced(key: str, operation: Operation | None) -> str:
    """What is wrong with a key that stands beside ``params``."""
    if operation is not None and key in operation.request.wire_fields():
        return f"{key} is a key of {operation.name}: it goes into params"
    return f"{key} is not a key of an item"


def _no_operation(name: Any) -> str:
    """What is wrong with a name, and the operation that may be meant."""
    plain = name[:_LONGEST_NAME].lower().replace("_", "-") if type(name) is str else ""
    near = get_close_matches(plain, BY_NAME, n=2, cutoff=0.8)
    hint = f" (did you mean {' or '.join(near)}?)" if near else ""
    return f"{shown(name)} is no operation of a batch{hint}"


def _failed(told: dict[str, Any], problem: Problem) -> dict[str, Any]:
    told["status"] = problem.status
    told["error"] = problem.members()
    return told
