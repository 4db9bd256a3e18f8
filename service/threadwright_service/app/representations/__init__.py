"""The forms in which an answer goes out, and how a request chooses one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from threadwright_service.api.operation import Operation
from threadwright_service.app.reply import JSON, TEXT, json_bytes
from threadwright_service.app.representations import html, rows, svg, text, xml
from threadwright_service.app.representations.options import Options

_NONE: Final[Mapping[str, str]] = MappingProxyType({})
_NOTHING_ACTIVE: Final[Mapping[str, str]] = MappingProxyType(
    {"Content-Security-Policy": "default-src 'none'"}
)


def _no_headers(operation: Operation) -> Mapping[str, str]:  # noqa: ARG001
    return _NONE


@dataclass(frozen=True, slots=True, kw_only=True)
class Representation:
    """One form of an answer.

    ``media_types`` are those of an ``Accept`` header that ask for it; ``headers`` gives what goes
    with it besides its type.
    """

    name: str
    suffix: str
    content_type: str
    media_types: tuple[str, ...]
    write: Callable[[Operation, Mapping[str, Any], Options], bytes]
    headers: Callable[[Operation], Mapping[str, str]] = _no_headers


def _json(operation: Operation, answer: Mapping[str, Any], options: Options) -> bytes:  # noqa: ARG001
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
    Representation(
        name="xml",
        suffix=".xml",
        content_type="application/xml; charset=utf-8",
        media_types=("application/xml", "text/xml"),
        write=xml.write,
    ),
    Representation(
        name="html",
        suffix=".html",
        content_type="text/html; charset=utf-8",
        media_types=("text/html", "application/xhtml+xml"),
        write=html.write,
        headers=lambda operation: html.look(operation).headers,
    ),
    Representation(
        name="svg",
        suffix=".svg",
        content_type="image/svg+xml; charset=utf-8",
        media_types=("image/svg+xml",),
        write=svg.write,
        headers=lambda _: _NOTHING_ACTIVE,
    ),
)

BY_FORMAT: Final = {each.name: each for each in REPRESENTATIONS}
BY_SUFFIX: Final = {each.suffix: each for each in REPRESENTATIONS}
