"""The forms in which an answer goes out, and how a request chooses one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from threadwright_service.api.operation import Operation
from threadwright_service.app.reply import JSON, TEXT, json_bytes
from threadwright_service.app.representations import rows, text


@dataclass(frozen=True, slots=True, kw_only=True)
class Representation:
    """One form of an answer.

    ``media_types`` are those of an ``Accept`` header that ask for it.
    """

    name: str
    suffix: str
    content_type: str
    media_types: tuple[str, ...]
    write: Callable[[Operation, Mapping[str, Any]], bytes]


def _json(operation: Operation, answer: Mapping[str, Any]) -> bytes:  # noqa: ARG001
    return json_bytes(answer)


REPRESENTATIONS: Final = (
    Representation(
        name="json",
        suffix=".json",
        content_type=JSON,
        media_types=("application/json", "application/*", "*/*"),
        write=_json,
    ),
    Representation(
        name="csv",
        suffix=".csv",
        content_type="text/csv; charset=utf-8; header=present",
        media_types=("text/csv",),
        write=rows.write,
    ),
    Representation(
        name="text",
        suffix=".txt",
        content_type=TEXT,
        media_types=("text/plain",),
        write=text.write,
    ),
)

BY_FORMAT: Final = {each.name: each for each in REPRESENTATIONS}
BY_SUFFIX: Final = {each.suffix: each for each in REPRESENTATIONS}
