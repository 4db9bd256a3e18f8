"""Keys as they may stand in JSON, whatever kind of number or list the caller has."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any, Final

_READY: Final = frozenset((str, int, float, bool, type(None)))
_ENCODER: Final = json.JSONEncoder(separators=(",", ":"))
_STRICT_ENCODER: Final = json.JSONEncoder(separators=(",", ":"), allow_nan=False)


def sendable(keys: Mapping[str, Any]) -> dict[str, Any]:
    """The same keys with values that JSON holds.

    Numbers of numpy and ``Decimal`` become plain ones, tuples, arrays and other iterables lists.

    Raises
    ------
    TypeError
        If a value is none of these; names the key.

    Examples
    --------
    >>> sendable({"measured": (Decimal("0.7011"), 0.7012)})
    {'measured': [0.7011, 0.7012]}
    """
    return {
        key: value if type(value) in _READY else _plain(key, value) for key, value in keys.items()
    }


def _plain(key: str, value: Any) -> Any:
    if type(value) in _READY:
        return value
    if isinstance(value, Decimal):
        return float(value)
    if isinstance(value, Mapping):
        return {str(name): _plain(f"{key}.{name}", member) for name, member in value.items()}
    for kind in (str, bool, int, float):  # a subclass: an enumeration's member, a numpy float
        if isinstance(value, kind):
            return kind(value)
    if hasattr(value, "tolist"):  # numpy's scalars and arrays, pandas' columns
        return _plain(key, value.tolist())
    if isinstance(value, Iterable) and not isinstance(value, (bytes, bytearray)):
        return [_plain(f"{key}.{index}", item) for index, item in enumerate(value)]
    raise TypeError(f"{key} is {type(value).__name__}, which is neither number, text nor list")


def json_bytes(value: Any) -> bytes:
    """JSON; NaN too, because the service's own sentence about it is better than ours."""
    return _ENCODER.encode(value).encode()


def strict_json_bytes(value: Any) -> bytes:
    """JSON that holds finite numbers only.

    Raises
    ------
    ValueError
        For NaN and infinity.
    """
    return _STRICT_ENCODER.encode(value).encode()
