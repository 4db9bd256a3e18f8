"""XML without a namespace: element names are the keys, a list is its element repeated."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from html import escape
from typing import Any, Final

from threadwright_service.api.operation import Operation
from threadwright_service.app.flat import plain
from threadwright_service.app.representations.options import Options

_NAME: Final = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]*")


def write(operation: Operation, answer: Mapping[str, Any], options: Options) -> bytes:  # noqa: ARG001
    """The whole answer; a missing value is an empty element."""
    parts = ['<?xml version="1.0" encoding="UTF-8"?>\n<answer>']
    _members(answer, parts.append)
    parts.append("</answer>")
    return "".join(parts).encode("utf-8")


def _members(value: Mapping[str, Any], put: Any) -> None:
    for key, member in value.items():
        _element(_named(key), member, put)


def _element(name: str, value: Any, put: Any) -> None:
    kind = type(value)
    if kind is float or kind is int:
        put(f"<{name}>{plain(value)}</{name}>")
    elif kind is str:
        put(f"<{name}>{escape(value, quote=False)}</{name}>")
    elif value is None:
        put(f"<{name}/>")
    elif kind is bool:
        put(f"<{name}>{'true' if value else 'false'}</{name}>")
    elif isinstance(value, Mapping):
        put(f"<{name}>")
        _members(value, put)
        put(f"</{name}>")
    else:
        for item in value:
            _element(name, item, put)


@lru_cache(maxsize=4096)
def _named(key: str) -> str:
    """The key as an element's name; a key that is none (of a caller's object) gets a plain one."""
    return key if _NAME.fullmatch(key) and not key.lower().startswith("xml") else "item"
