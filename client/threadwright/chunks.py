"""Cutting many items into requests that the service takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from threadwright.wire import strict_json_bytes

Item = tuple[str, Mapping[str, Any]]
"""An operation's name and its keys."""

MOST_ITEMS: Final = 1_000
"""What a batch may hold by the contract."""

MOST_BYTES: Final = 900_000
"""Below the service's limit of a body, which is a mebibyte unless its operator sets another."""


def chunks(items: Sequence[Item]) -> Iterator[tuple[list[bytes], Item | None]]:
    """Items as JSON, as many together as a request may hold; or one that must go alone.

    An item goes alone if it holds a number that JSON does not know, or is longer than a request.
    """
    bodies: list[bytes] = []
    size = 0
    for item in items:
        try:
            body = strict_json_bytes({"operation": item[0], "params": item[1]})
        except ValueError:
            body = b""
        goes_alone = not body or len(body) > MOST_BYTES
        if bodies and (
            goes_alone or len(bodies) == MOST_ITEMS or size + len(body) + 1 > MOST_BYTES
        ):
            yield bodies, None
            bodies, size = [], 0
        if goes_alone:
            yield [], item
        else:
            bodies.append(body)
            size += len(body) + 1
    if bodies:
        yield bodies, None


def halves(bodies: Sequence[bytes]) -> tuple[Sequence[bytes], Sequence[bytes]]:
    """The first half and the rest."""
    middle = len(bodies) // 2
    return bodies[:middle], bodies[middle:]
