"""Many items in few requests: any iterable in, answers out in the same order."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sized
from importlib import import_module
from itertools import islice
from typing import Any, Final

from threadwright.chunks import MOST_ITEMS, Item
from threadwright.errors import InvalidInputError, MissingExtraError, problem_error
from threadwright.operations import result_of
from threadwright.results.answer import Result
from threadwright.transport import Timeout, Transport
from threadwright.wire import sendable

BatchItem = Mapping[str, Any] | tuple[str, Mapping[str, Any]]

_AT_ONCE: Final = 4 * MOST_ITEMS
"""Items taken from the iterable before any is sent: enough to fill requests, few enough to keep."""


def answered(
    transport: Transport,
    items: Iterable[BatchItem],
    *,
    operation: str | None,
    raise_first: bool,
    progress: bool,
    timeout: Timeout,
    shared: Mapping[str, Any],
) -> Iterator[Result | InvalidInputError]:
    """Each item's result, or the error that a single call would have raised."""
    bar = _bar(len(items) if isinstance(items, Sized) else None) if progress else None
    source = iter(items)
    try:
        while taken := [_item(each, operation, shared) for each in islice(source, _AT_ONCE)]:
            answers = transport.batch(taken, timeout)
            for (name, _), (status, members, request_id) in zip(taken, answers, strict=True):
                if bar is not None:
                    bar.update()
                if status == 200:
                    yield result_of(name).from_answer(members, request_id)
                    continue
                error = problem_error(members, status=status, request_id=request_id)
                if raise_first or not isinstance(error, InvalidInputError):
                    raise error
                yield error
    finally:
        if bar is not None:
            bar.close()


def _item(item: BatchItem, operation: str | None, shared: Mapping[str, Any]) -> Item:
    """One item as the pair of an operation's name and the keys that are sent."""
    keys: Mapping[str, Any]
    if operation is not None:
        name, keys = operation, item  # type: ignore[assignment]
    elif isinstance(item, Mapping):
        name, keys = item["operation"], item.get("params", {})
    else:
        name, keys = item
    return name.replace("_", "-"), sendable({**shared, **keys})


def _bar(total: int | None) -> Any:
    try:
        tqdm = import_module("tqdm").tqdm
    except ModuleNotFoundError as error:
        raise MissingExtraError(
            f"a progress bar needs tqdm ({error}): pip install 'threadwright[progress]'"
        ) from error
    return tqdm(total=total, unit=" items", smoothing=0.05)
