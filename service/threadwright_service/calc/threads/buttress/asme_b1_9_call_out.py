"""Inch buttress threads, ANSI/ASME B1.9: series, ranges of the tolerance table, call-outs [in].

``2.5-8 BUTT-2A`` is the screw, ``2.5-8 BUTT-2B`` the nut; PUSH-BUTT and PULL-BUTT say which way
the load goes.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Final

from threadwright_service.calc import tables
from threadwright_service.calc.errors import (
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.inch_call_out import (
    InchCallOut,
    from_fields,
    take_apart,
    written_size,
)
from threadwright_service.calc.threads.registry import Fields, StandardSize, agreed_class
from threadwright_service.calc.threads.thread import Side
from threadwright_service.calc.trail import Trail

KEY: Final = "buttress-inch"
STANDARD: Final = "ANSI/ASME B1.9-1973"
SYMBOLS: Final = ("BUTT", "PUSH-BUTT", "PULL-BUTT")
CLASSES: Final = ("2A", "2B", "3A", "3B")
COUNTS: Final = (20, 16, 12, 10, 8, 6, 5, 4, 3, 2.5, 2, 1.5, 1.25, 1)
"""Threads per inch of the series."""
OPEN_SIDE: Final = "the class is without A (screw) or B (nut)"
_IN_WORDS: Final = "2A or 3A for the screw, 2B or 3B for the nut"

_SERIES: Final = re.compile(
    r"(?<![A-Za-z])(?:(?P<way>PUSH|PULL)[ \-]*)?N?[ \-]?BUTT(?:RESS)?(?![A-Za-z])", re.IGNORECASE
)
_CLASS: Final = re.compile(r"(?P<grade>[23])(?P<side>[AB])?", re.IGNORECASE)


@cache
def _ranges() -> tuple[tuple[float, float, float, float], ...]:
    return tuple(
        (
            float(row["over_in"]),
            float(row["through_in"]),
            float(row["finest"]),
            float(row["coarsest"]),
        )
        for row in tables.load(__package__, "tables/asme_b1_9_ranges")
    )


def range_of(nominal_diameter_in: float) -> tuple[float, float, float, float]:
    """The range of the tolerance table that a size falls into."""
    for over, through, finest, coarsest in _ranges():
        if over < nominal_diameter_in <= through or nominal_diameter_in == _ranges()[0][0]:
            return over, through, finest, coarsest
    first, last = _ranges()[0][0], _ranges()[-1][1]
    raise OutOfRangeError(
        f"a size of {nominal_diameter_in:g} in; ANSI B1.9 covers {first:g} in to {last:g} in",
        parameter="nominal_diameter",
        value=nominal_diameter_in,
        accepted=f"{first:g} to {last:g} in",
    )


@cache
def sizes() -> tuple[StandardSize, ...]:
    """Preferred diameters with the threads per inch that the tolerance table has for them.

    Notes
    -----
    Source: asme-b1-9, Table 1 (memory) and Table 4.
    """
    found: list[StandardSize] = []
    for row in tables.load(__package__, "tables/asme_b1_9_sizes"):
        diameter = float(row["nominal_diameter_in"])
        _, _, finest, coarsest = range_of(diameter)
        found.extend(
            StandardSize(
                series=SYMBOLS[0],
                size=written_size(diameter),
                nominal_diameter=diameter,
                pitch=1 / count,
                threads_per_inch=count,
            )
            for count in COUNTS
            if coarsest <= count <= finest
        )
    return tuple(found)


def parse(
    text: str, tolerance_class: str | None = None, *, trail: Trail | None = None
) -> CallOut | None:
    """Read a tidied call-out; ``None`` if it is no inch buttress thread.

    Raises
    ------
    CalcError
        If it is one, and is wrong, incomplete or ambiguous.

    Examples
    --------
    >>> found = parse("2.5-8 PUSH-BUTT-2B LH")
    >>> found.series, found.side, found.tolerance_class
    ('PUSH-BUTT', 'internal', '2B')
    """
    del trail
    parts = take_apart(text, _SERIES)
    if parts is None:
        return None
    written = agreed_class(_class_of(parts.tolerance_class), _class_of(tolerance_class or ""))
    return _call_out(parts, written, text, None)


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
        _class_of(parts.tolerance_class),
        fields.series or SYMBOLS[0],
        fields.length_of_engagement,
    )


def _class_of(text: str) -> str:
    """The class as the standard writes it; empty if the text is."""
    plain = text.strip(" -()").upper().removeprefix("CLASS").strip(" -")
    if plain and _CLASS.fullmatch(plain) is None:
        raise UnknownDesignationError(
            f"'{plain}' is no class of ANSI B1.9",
            parameter="tolerance_class",
            value=text,
            accepted=_IN_WORDS,
        )
    return plain


def _call_out(
    parts: InchCallOut, tolerance_class: str, text: str, engagement_in: float | None
) -> CallOut:
    """The record, once size, pitch, class and side agree."""
    if parts.threads_per_inch is None:
        raise MissingInputError(
            f"the buttress thread of {parts.size} in has no threads per inch",
            parameter="threads_per_inch",
            accepted="as in 2.5-8 BUTT-2A",
        )
    if not tolerance_class:
        raise MissingInputError(
            f"{parts.size}-{parts.threads_per_inch:g} BUTT has no class",
            parameter="tolerance_class",
            accepted=_IN_WORDS,
        )
    letter = tolerance_class[1:]
    from_letter: Side | None = (
        "external" if letter == "A" else "internal" if letter == "B" else None
    )
    if from_letter is not None and parts.side not in {None, from_letter}:
        raise UnknownDesignationError(
            f"class {tolerance_class} is {from_letter}, the call-out says {parts.side}",
            parameter="tolerance_class",
            value=tolerance_class,
            accepted=_IN_WORDS,
        )
    side = from_letter or parts.side
    match = _SERIES.search(text)
    way = (match["way"] or "").upper() if match is not None else ""
    return CallOut(
        family=KEY,
        series=f"{way}-BUTT" if way else SYMBOLS[0],
        size=parts.size,
        nominal_diameter=parts.diameter_in,
        pitch=1 / parts.threads_per_inch,
        threads_per_inch=parts.threads_per_inch,
        tolerance_class=tolerance_class,
        side=side or "external",
        side_stated=side is not None,
        hand=parts.hand,
        starts=parts.starts,
        length_of_engagement=engagement_in,
    )
