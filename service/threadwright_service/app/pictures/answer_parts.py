"""What pictures read from an answer: the same numbers as its JSON, written the same way."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from threadwright_service.app.flat import for_people

Answer = Mapping[str, Any]


class Limits(NamedTuple):
    """A pair of limits of size."""

    low: float
    high: float


def said(value: Any, unit: str = "") -> str:
    """A value of the answer as text, with its unit."""
    return f"{for_people(value)} {unit}" if unit else for_people(value)


def thread_of(answer: Answer) -> Mapping[str, Any] | None:
    """The thread that an answer is about, if a standard's."""
    result = answer["result"]
    found = answer.get("thread") or result.get("thread")
    if found is None and "basic" in result:
        found = result
    return found if isinstance(found, Mapping) else None


def part_of(answer: Answer, name: str, sign: str) -> Mapping[str, Any] | None:
    """A part of a job sheet, or the result itself where that is what the operation answers.

    Parameters
    ----------
    name : str
        Key of the part in a job sheet, such as ``plan``.
    sign : str
        A key that only this kind of result holds.
    """
    result = answer["result"]
    found = result.get(name)
    if found is None and sign in result:
        found = result
    return found if isinstance(found, Mapping) else None


def limits_of(pair: Mapping[str, Any] | None) -> Limits | None:
    """Both limits, if both exist."""
    if pair is None or pair.get("min") is None or pair.get("max") is None:
        return None
    return Limits(pair["min"], pair["max"])


def given(answer: Answer, key: str) -> Any:
    """What the caller gave for a key, or what was assumed in its place."""
    if key in answer["input"]:
        return answer["input"][key]
    return next((item["value"] for item in answer["assumed"] if item["parameter"] == key), None)


def brief(value: float, unit: str = "", digits: int = 4) -> str:
    """A value of the answer rounded for a picture, where its last places say nothing.

    Examples
    --------
    >>> brief(956.6, "s"), brief(19.666667), brief(12345.6)
    ('956.6 s', '19.67', '12346')
    """
    whole = len(str(int(abs(value))))
    text = f"{value:.{max(digits - whole, 0)}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{text} {unit}" if unit else text


def money(value: float, currency: str | None) -> str:
    """An amount as it is written on a quote.

    Examples
    --------
    >>> money(963.440178, "EUR")
    '963.44 EUR'
    """
    return f"{value:.2f} {currency or ''}".rstrip()
