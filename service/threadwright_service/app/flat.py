"""Nested results as flat ones: dotted paths with list index, in the result's own order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any


def leaves(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Every single value under its dotted path.

    Examples
    --------
    >>> list(leaves({"limits": {"max": 1.5}, "passes": [{"number": 1}]}))
    [('limits.max', 1.5), ('passes.0.number', 1)]
    """
    if isinstance(value, Mapping):
        for key, member in value.items():
            yield from leaves(member, f"{path}.{key}" if path else str(key))
    elif isinstance(value, Sequence) and not isinstance(value, str):
        for index, item in enumerate(value):
            yield from leaves(item, f"{path}.{index}" if path else str(index))
    else:
        yield path, value


def found(value: Any, path: str) -> Any:
    """The value at a dotted path.

    Raises
    ------
    LookupError
        If there is none.
    """
    for step in path.split("."):
        if isinstance(value, Mapping):
            value = value[step]
        elif isinstance(value, Sequence) and not isinstance(value, str):
            if not (step.isascii() and step.isdigit() and len(step) < 6):
                raise LookupError(path)
            value = value[int(step)]
        else:
            raise LookupError(path)
    return value


def for_people(value: Any) -> str:
    """A single value as people write it: the same number, without the nought of a whole one.

    Examples
    --------
    >>> for_people(24.0), for_people(22.994)
    ('24', '22.994')
    """
    if type(value) is not float:
        return plain(value)
    return str(int(value)) if value.is_integer() else plain(value)


def plain(value: Any) -> str:
    """A single value as text: decimal point, no unit, ``#N/A`` for none, TRUE and FALSE."""
    if type(value) is float:
        text = repr(value)
        return text if "e" not in text else f"{value:.12f}".rstrip("0").rstrip(".")
    if value is None:
        return "#N/A"
    if value is True:
        return "TRUE"
    if value is False:
        return "FALSE"
    return str(value)
