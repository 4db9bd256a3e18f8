"""Call-outs of the form ``size - threads per inch  SERIES - class``, which many inch threads share.

The size is a fraction, a mixed number or a decimal; the pitch is threads per inch, or for
multi-start threads a pitch and a lead (``2.875-0.4P-0.8L-ACME-3G``). The series may stand first
(``BSW 1/2-12 medium``), as people also write it.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from threadwright_service.calc.errors import (
    AmbiguousError,
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.designation import checked_starts, without_qualifiers
from threadwright_service.calc.threads.registry import Fields
from threadwright_service.calc.threads.side_words import without_side
from threadwright_service.calc.threads.thread import Hand, Side

SIZE: Final = (
    r"(?:[0-9]{1,3}[ \-][0-9]{1,3}/[0-9]{1,3}|[0-9]{1,3}/[0-9]{1,3}|[0-9]*\.[0-9]+|[0-9]+)"
)
"""A size in inches as it is written: ``1 1/2``, ``1-1/2``, ``3/4``, ``1.750``, ``.5``, ``2``."""

_HEAD: Final = re.compile(
    rf"(?P<size>{SIZE})(?: ?(?:\"|in\.?|inch))?"
    r"(?:[ \-x]+(?:"
    r"(?P<count>[0-9]{1,3}[ \-][0-9]/[0-9]|[0-9]{1,3}(?:\.[0-9]+)?)(?: ?(?:TPI|T\.P\.I\.))?"
    r"|(?P<pitch>[0-9]*\.?[0-9]+) ?P"
    r")(?![0-9./P])(?:[ \-]*(?P<lead>[0-9]*\.?[0-9]+) ?L)?)?[ \-]*",
    re.IGNORECASE,
)
_WHOLE_STARTS: Final = 0.01
"""How far a written lead may be from a whole number of pitches: they are printed to 4 decimals."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InchCallOut:
    """One inch call-out taken apart; ``None`` or empty where it says nothing. Lengths in inch."""

    size: str
    diameter_in: float
    threads_per_inch: float | None
    tolerance_class: str
    side: Side | None
    hand: Hand
    starts: int


def size_in(text: str) -> float:
    """A written size in inches.

    Raises
    ------
    UnknownDesignationError
        If it is none, or its fraction divides by nothing.

    Examples
    --------
    >>> size_in("1 1/2"), size_in("1-3/8"), size_in(".5")
    (1.5, 1.375, 0.5)
    """
    try:
        if re.fullmatch(SIZE, text, re.ASCII) is None:
            raise ValueError
        whole, _, part = text.replace("-", " ").rpartition(" ")
        value = float(Fraction(part) + int(whole or 0))
    except (ValueError, ZeroDivisionError):
        raise UnknownDesignationError(
            f"'{text}' is not a size in inches",
            parameter="nominal_diameter",
            value=text,
            accepted="a fraction, a mixed number or a decimal, as 3/4, 1 1/2, 0.750",
        ) from None
    if not 0 < value <= MOST_IN:
        raise OutOfRangeError(
            f"a diameter of {text} in; sizes from above 0 to {MOST_IN:g} in are read",
            parameter="nominal_diameter",
            value=text,
            accepted=f"above 0, at most {MOST_IN:g} in",
        )
    return value


MOST_IN: Final = 48.0
"""Largest size read, in inch: above every standard here, below a slip of the keyboard."""


def written_size(diameter_in: float) -> str:
    """A diameter as a call-out writes it: a mixed number in 64ths, else a decimal.

    Examples
    --------
    >>> written_size(1.5), written_size(0.75), written_size(2.0), written_size(0.33)
    ('1 1/2', '3/4', '2', '0.33')
    """
    in_64ths = diameter_in * 64
    if abs(in_64ths - round(in_64ths)) > 1e-9:
        return f"{diameter_in:.6f}".rstrip("0")
    whole, part = divmod(Fraction(round(in_64ths), 64), 1)
    if not part:
        return str(whole)
    return f"{whole} {part}" if whole else str(part)


def take_apart(text: str, series: re.Pattern[str]) -> InchCallOut | None:
    """Read a tidied call-out whose series symbol matches; ``None`` if there is no such symbol.

    Raises
    ------
    UnknownDesignationError
        If the symbol is there and the rest is no size and pitch.
    AmbiguousError
        If the text names both hands, both sides, or starts that disagree with its lead.
    OutOfRangeError
        If a number in it is outside of anything that is cut.
    """
    found = series.search(text)
    if found is None:
        return None
    plain, qualifiers = without_qualifiers(text)
    plain, side = without_side(plain)
    found = series.search(plain)
    if found is None:
        return None
    before, after = plain[: found.start()].strip(" -"), plain[found.end() :].strip(" -")
    match = _HEAD.fullmatch(before) if before else _HEAD.match(after)
    if match is None:
        raise UnknownDesignationError(
            f"'{text}': '{before or after}' is not a size with threads per inch",
            parameter="designation",
            value=text,
            accepted="a call-out like 1 1/2-4, 1.750-6 or 2.875-0.4P-0.8L before the series",
        )
    diameter_in = size_in(match["size"])
    threads_per_inch = _count(match)
    return InchCallOut(
        size=written_size(diameter_in),
        diameter_in=diameter_in,
        threads_per_inch=threads_per_inch,
        tolerance_class=(after if before else after[match.end() :]).strip(" -"),
        side=side,
        hand=qualifiers.hand or "right",
        starts=_starts(match["lead"], threads_per_inch, qualifiers.starts),
    )


def _count(match: re.Match[str]) -> float | None:
    """Threads per inch of a matched head, from a count or from a pitch."""
    if match["count"]:
        whole, _, part = match["count"].replace("-", " ").rpartition(" ")
        try:
            return checked_count(float(Fraction(part) + int(whole or 0)))
        except ZeroDivisionError:
            return checked_count(math.inf)
    if match["pitch"]:
        pitch_in = float(match["pitch"])
        return checked_count(whole_count(1 / pitch_in) if pitch_in else math.inf)
    return None


def whole_count(threads_per_inch: float) -> float:
    """Threads per inch, whole or in quarters and thirds where a rounded pitch hides them.

    Examples
    --------
    >>> whole_count(1 / 0.0833), whole_count(1 / 0.3333), whole_count(1 / 0.4)
    (12.0, 3.0, 2.5)
    """
    for parts in (1, 2, 3, 4, 8):
        near = round(threads_per_inch * parts) / parts
        if near and abs(1 / near - 1 / threads_per_inch) <= 0.00005:
            return near
    return threads_per_inch


def checked_count(threads_per_inch: float) -> float:
    """The threads per inch, if they can be cut at all.

    Raises
    ------
    OutOfRangeError
        If they are below 0.5 or above 100.
    """
    if not 0.5 <= threads_per_inch <= 100:
        raise OutOfRangeError(
            f"{threads_per_inch:g} threads per inch; 0.5 to 100 are read",
            parameter="threads_per_inch",
            value=threads_per_inch,
            accepted="0.5 to 100",
        )
    return threads_per_inch


def _starts(lead: str | None, threads_per_inch: float | None, stated: int | None) -> int:
    """Number of starts from the lead and from the words, which must agree."""
    if lead is None or threads_per_inch is None:
        return 1 if stated is None else checked_starts(stated)
    turns = float(lead) * threads_per_inch
    starts = round(turns)
    if abs(turns - starts) > _WHOLE_STARTS:
        raise AmbiguousError(
            f"a lead of {lead} in is {turns:.4g} pitches, not a whole number of starts",
            parameter="lead",
            value=lead,
            accepted="a lead that is a multiple of the pitch",
        )
    checked_starts(starts)
    if stated is not None and stated != starts:
        raise AmbiguousError(
            f"the lead makes {starts} starts, the call-out says {stated}",
            parameter="starts",
            value=stated,
            accepted=str(starts),
        )
    return starts


def from_fields(fields: Fields) -> InchCallOut:
    """The same parts from single values, their lengths already in inch.

    Raises
    ------
    MissingInputError
        If there is no diameter.
    AmbiguousError
        If a pitch and threads per inch are given that disagree.
    CalcError
        If a value is out of all range.
    """
    if fields.nominal_diameter is None:
        raise MissingInputError(
            "the thread has no nominal diameter",
            parameter="nominal_diameter",
            accepted="a size, as 3/4 or 0.75",
        )
    given = fields.nominal_diameter
    diameter_in = size_in(given.strip() if isinstance(given, str) else f"{given:.9f}")
    count = None if fields.threads_per_inch is None else checked_count(fields.threads_per_inch)
    if fields.pitch is not None:
        from_pitch = checked_count(whole_count(1 / fields.pitch) if fields.pitch > 0 else math.inf)
        if count is not None and abs(1 / count - 1 / from_pitch) > 0.00005:
            raise AmbiguousError(
                f"a pitch of {fields.pitch:g} in is {from_pitch:g} threads per inch, not {count:g}",
                parameter="threads_per_inch",
                value=count,
                accepted="one of pitch and threads_per_inch",
            )
        count = count or from_pitch
    return InchCallOut(
        size=written_size(diameter_in),
        diameter_in=diameter_in,
        threads_per_inch=count,
        tolerance_class=fields.tolerance_class or "",
        side=fields.side,
        hand=fields.hand or "right",
        starts=checked_starts(fields.starts) if fields.starts is not None else 1,
    )
