"""Threads of Whitworth form, BS 84: the series BSW and BSF and their call-outs [in].

``1/2-12 BSW medium``, ``1/4-20 B.S.W. (close) bolt``, ``3/8 BSF normal nut``; any other pair as
``1/2-20 WHIT medium``.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Final

from threadwright_service.calc import tables
from threadwright_service.calc.errors import (
    AmbiguousError,
    MissingInputError,
    NotTabulatedError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.inch_call_out import (
    InchCallOut,
    from_fields,
    take_apart,
    written_size,
)
from threadwright_service.calc.threads.near_sizes import near_sizes
from threadwright_service.calc.threads.registry import Fields, StandardSize, agreed_class
from threadwright_service.calc.threads.thread import Side
from threadwright_service.calc.trail import Trail

KEY: Final = "whitworth"
COARSE: Final = "BSW"
FINE: Final = "BSF"
SPECIAL: Final = "Whit"
SYMBOLS: Final = (COARSE, FINE, SPECIAL)
CLASSES: Final = ("close", "medium", "free", "normal")
_IN_WORDS: Final = "close, medium or free for the bolt; medium or normal for the nut"
_SIDES: Final[dict[str, tuple[Side, ...]]] = {
    "close": ("external", "internal"),
    "medium": ("external", "internal"),
    "free": ("external",),
    "normal": ("internal",),
}
OPEN_SIDE: Final = "the class is of bolt and nut alike; write 'nut' or give the side"

_SERIES: Final = re.compile(
    r"(?<![A-Za-z])(?:(?P<coarse>B\.?S\.?W\.?)|(?P<fine>B\.?S\.?F\.?)"
    r"|(?P<special>WHIT(?:WORTH)?\.?))(?![A-Za-z])",
    re.IGNORECASE,
)
_WORDS: Final = re.compile(r"\b(?:CLASS|FIT|THREAD)\b", re.IGNORECASE)


@cache
def sizes() -> tuple[StandardSize, ...]:
    """The series BSW and BSF.

    Notes
    -----
    Source: bs-84, B.S.W. and B.S.F. series, memory.
    """
    return tuple(
        StandardSize(
            series=str(row["series"]),
            size=written_size(float(row["nominal_diameter_in"])),
            nominal_diameter=float(row["nominal_diameter_in"]),
            pitch=1 / float(row["threads_per_inch"]),
            threads_per_inch=float(row["threads_per_inch"]),
        )
        for row in tables.load(__package__, "tables/bs_84_sizes")
    )


@cache
def standard_counts() -> dict[tuple[str, float], float]:
    """Threads per inch by series and size [in]."""
    return {
        (size.series, size.nominal_diameter): float(size.threads_per_inch or 0) for size in sizes()
    }


def parse(
    text: str, tolerance_class: str | None = None, *, trail: Trail | None = None
) -> CallOut | None:
    """Read a tidied call-out; ``None`` if it is no thread of Whitworth form.

    Raises
    ------
    CalcError
        If it is one, and is wrong, incomplete or ambiguous.

    Examples
    --------
    >>> found = parse("1/4 B.S.W. (close) bolt")
    >>> found.threads_per_inch, found.tolerance_class, found.side
    (20.0, 'close', 'external')
    """
    del trail
    parts = take_apart(text, _SERIES)
    if parts is None:
        return None
    written = agreed_class(class_of(parts.tolerance_class), class_of(tolerance_class or ""))
    return _call_out(parts, written, _symbol(text), None)


def read(fields: Fields, *, trail: Trail | None = None) -> CallOut:
    """Make the call-out from fields, lengths in inch.

    Raises
    ------
    CalcError
        If a value is missing or wrong.
    """
    del trail
    parts = from_fields(fields)
    return _call_out(
        parts,
        class_of(parts.tolerance_class),
        _symbol(fields.series or SPECIAL),
        fields.length_of_engagement,
    )


def class_of(text: str) -> str:
    """The class in small letters; empty if the text is.

    Raises
    ------
    UnknownDesignationError
        If BS 84 has no such class.

    Examples
    --------
    >>> class_of("(Close) fit"), class_of("MED")
    ('close', 'medium')
    """
    plain = _WORDS.sub(" ", text).strip(" -()").lower().rstrip(".")
    plain = {"med": "medium"}.get(plain, plain)
    if plain and plain not in CLASSES:
        raise UnknownDesignationError(
            f"'{plain}' is no class of BS 84",
            parameter="tolerance_class",
            value=text,
            accepted=_IN_WORDS,
        )
    return plain


def _symbol(text: str) -> str:
    """Series symbol of a text that holds one."""
    match = _SERIES.search(text)
    if match is None or match["special"]:
        return SPECIAL
    return COARSE if match["coarse"] else FINE


def _call_out(
    parts: InchCallOut, tolerance_class: str, series: str, engagement_in: float | None
) -> CallOut:
    """The record, once size, pitch, class and side agree."""
    count = _count(parts, series)
    if not tolerance_class:
        raise MissingInputError(
            f"{parts.size}-{count:g} {series} has no class",
            parameter="tolerance_class",
            accepted=_IN_WORDS,
        )
    possible = _SIDES[tolerance_class]
    if parts.side is not None and parts.side not in possible:
        raise AmbiguousError(
            f"class {tolerance_class} is not of the {parts.side} thread",
            parameter="tolerance_class",
            value=tolerance_class,
            accepted=_IN_WORDS,
        )
    return CallOut(
        family=KEY,
        series=series,
        size=parts.size,
        nominal_diameter=parts.diameter_in,
        pitch=1 / count,
        threads_per_inch=count,
        tolerance_class=tolerance_class,
        side=parts.side or possible[0],
        side_stated=parts.side is not None or len(possible) == 1,
        hand=parts.hand,
        starts=parts.starts,
        length_of_engagement=engagement_in,
    )


def _count(parts: InchCallOut, series: str) -> float:
    """Threads per inch: the series' own, which must agree with those that are written."""
    standard = standard_counts().get((series, parts.diameter_in))
    if series == SPECIAL:
        if parts.threads_per_inch is None:
            known = [
                f"{parts.size}-{count:g} {name}"
                for (name, size), count in standard_counts().items()
                if size == parts.diameter_in
            ]
            raise MissingInputError(
                f"a thread of Whitworth form, {parts.size}, has no threads per inch",
                parameter="threads_per_inch",
                accepted=" or ".join(known) or "threads per inch, as 1/2-20 WHIT medium",
            )
        return parts.threads_per_inch
    if standard is None or parts.threads_per_inch not in {None, standard}:
        near = near_sizes(
            (size for size in sizes() if size.series == series),
            nominal_diameter=parts.diameter_in,
            pitch=None,
        )
        written = parts.size + (
            "" if parts.threads_per_inch is None else f"-{parts.threads_per_inch:g}"
        )
        raise NotTabulatedError(
            f"{series} has no {written}",
            parameter="designation",
            value=written,
            accepted=f"near sizes: {near}; another pair of Whitworth form: "
            f"{parts.size}-{parts.threads_per_inch or 20:g} WHIT",
        )
    return standard
