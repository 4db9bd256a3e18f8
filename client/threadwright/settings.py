"""What a client is set up with, checked when it is made and not when it is first used."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlsplit

_HEADER_VALUE = re.compile(r"[\t\x20-\x7e\xa0-\xff]*")


def checked_address(base_url: str) -> str:
    """The address without its last slash.

    Raises
    ------
    ValueError
        If it is no address of HTTP, or holds more than host, port and path.
    """
    try:
        parts = urlsplit(base_url)
        good = parts.scheme in ("http", "https") and bool(parts.hostname) and parts.port != 0
    except (ValueError, AttributeError):
        good = False
    if not good:
        raise ValueError(
            f"{shown_address(str(base_url))!r} is no address of a service; "
            "write http://127.0.0.1:8000 or the like"
        )
    if parts.query or parts.fragment:
        raise ValueError(
            f"{shown_address(base_url)!r} holds more than an address: leave away what follows the "
            "path"
        )
    return base_url.strip().rstrip("/")


def shown_address(base_url: str) -> str:
    """The address as messages tell it: without a name and a password."""
    return re.sub(r"//[^/@]*@", "//", base_url)


def checked_timeout(timeout: Any) -> Any:
    """The timeout.

    Raises
    ------
    ValueError
        If it is neither a number above 0, nor two of them, nor ``None``.
    """
    parts = timeout if isinstance(timeout, tuple) and len(timeout) == 2 else (timeout,)
    for each in parts:
        if each is None:
            continue
        if isinstance(each, bool) or not isinstance(each, (int, float)) or not each > 0:
            raise ValueError(
                f"timeout={timeout!r}: seconds above 0, a pair of seconds to connect and to wait, "
                "or None to wait for ever"
            )
    return timeout


def checked_retries(retries: Any) -> int:
    """The number of retries.

    Raises
    ------
    ValueError
        If it is no whole number from 0.
    """
    if isinstance(retries, bool) or not isinstance(retries, int) or retries < 0:
        raise ValueError(f"retries={retries!r}: a whole number from 0")
    return retries


def checked_headers(headers: Mapping[str, str]) -> dict[str, str]:
    """The headers; a message never tells a value, which may be a key.

    Raises
    ------
    ValueError
        If a value cannot be sent.
    """
    for name, value in headers.items():
        if not isinstance(value, str) or not _HEADER_VALUE.fullmatch(value):
            told = "token" if name == "Authorization" else f"header {name}"
            raise ValueError(f"{told}: one line of text in Latin-1, without control characters")
    return dict(headers)
