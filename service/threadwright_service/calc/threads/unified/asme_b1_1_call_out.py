"""Call-outs of Unified threads: read from text or from fields, and checked against the series.

The order is size, pitch, series, class, qualifiers: ``3/4-16 UNF-2A``, ``#10-32 UNF-2B LH``,
``.5-.0833P-.1667L (2 STARTS) UN-2A``, ``1-8 UNC-SE2A LE 2.5``. A bare whole number up to 12 is a
number size or inches, whichever makes a standard pair; where neither does, nothing is guessed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Final, NamedTuple

from threadwright_service.calc.errors import (
    AmbiguousError,
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.beside_the_thread import hint
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.designation import checked_starts, without_qualifiers
from threadwright_service.calc.threads.registry import Fields, agreed_class
from threadwright_service.calc.threads.unified.asme_b1_1_agreement import (
    CLASSES,
    FEWEST_TPI,
    MOST_TPI,
    Size,
    agreed,
)
from threadwright_service.calc.threads.unified.asme_b1_1_series import standard_pairs
from threadwright_service.calc.threads.unified.asme_b1_1_size import (
    SIZE,
    size_of_parts,
    size_of_text,
)
from threadwright_service.calc.trail import Trail

_CONSTANT_TPI: Final = (4, 6, 8, 12, 16, 20, 28, 32)
_PLAIN_SYMBOLS: Final = (
    "UNC", "UNF", "UNEF", "UN", "UNS", "UNRC", "UNRF", "UNREF", "UNR", "UNRS",
)  # fmt: skip
SYMBOLS: Final = (
    *_PLAIN_SYMBOLS,
    *(f"{count}UN" for count in _CONSTANT_TPI),
    *(f"{count}UNR" for count in _CONSTANT_TPI),
)


class Tail(NamedTuple):
    """What stands behind size and threads per inch."""

    symbol: str
    tolerance_class: str
    pitch_in: str = ""
    lead_in: str = ""
    engagement_in: float | None = None


_FIRST: Final = frozenset("0123456789.#Nn")
"""What a size begins with; nearly every text of another family begins with a letter."""
_HEAD: Final = re.compile(
    SIZE + r"(?:(?: ?[\-X*] ?| )([0-9]{1,6}(?:\.[0-9]{1,6}|[ \-]1/2(?![0-9/]))?)(?: ?TPI)?"
    r"(?![AB]\b))?(?![0-9])(.*)"
)
_SERIES_BEFORE: Final = re.compile(
    r"(UNR?(?:C|F|EF|S)?)(?:[ \-]?([1-3] ?[AB]))?[ \-]+(?=[0-9.#N])", re.IGNORECASE
)
_PITCH_WITH_DIGIT: Final = re.compile(r" ?P(?![A-Z])")
_LONG_TAIL: Final = re.compile(
    r"(?:[ \-X]*([0-9]{0,2}\.[0-9]{1,8}) ?P(?![A-Z]))?"  # pitch
    r"(?:[ \-]*([0-9]{0,2}\.[0-9]{1,8}|[0-9]) ?L(?![A-Z]))?"  # lead
    r"[ \-]*(?:([0-9]{1,2}) ?(?=UN))?(UNR?(?:C|F|EF|S)?(?![A-Z]))?"  # series, its count before it
    r"[ \-]*(?:CL(?:ASS|\.)? ?)?((?:SE ?)?[0-9]{1,2} ?[A-Z](?![A-Z])"  # class
    r"(?:(?: ?/ ?| )[0-9]{1,2} ?[A-Z](?![A-Z]))?)?"
    r"[ \-]*(?:LE ?=? ?([0-9]{0,3}\.[0-9]{1,6}|[0-9]{1,3})(?: ?(?:IN\.?|\"))?)?"  # engagement
    r"[ \-]*(\(2[123]\))?"  # gauging system
    r"[ \-]*(.*)"
)
_BETWEEN_CLASSES: Final = re.compile(r"(?<=[A-Z]) (?=[0-9])")
_AMERICAN_NATIONAL: Final = re.compile(r"N(?:C|F|EF|S)?(?:[ \-]?[1-4])?[AB]?$")
_METRIC_POSITIONS: Final = frozenset("EFGH")
_TAILS: Final[Mapping[str, Tail]] = {
    text: Tail(symbol, tolerance_class)
    for symbol in ("", *_PLAIN_SYMBOLS)
    for tolerance_class in ("", *CLASSES)
    for text in (f"{symbol}{tolerance_class}", f" {symbol}-{tolerance_class}")
}
"""What stands behind size and pitch, without blanks and dashes, and as it is usually written."""


def parse(
    text: str, tolerance_class: str | None = None, *, trail: Trail | None = None
) -> CallOut | None:
    """Read a call-out of a Unified thread.

    Parameters
    ----------
    text : str
        A tidied call-out.
    tolerance_class : str, optional
        The class given beside it.
    trail : Trail, optional
        Takes what the standard implied, like the series of a standard pair.

    Returns
    -------
    CallOut or None
        ``None`` if the text is not of this family.

    Raises
    ------
    UnknownDesignationError
        If the size, pitch, series or class is not one that is known.
    AmbiguousError
        If parts contradict each other or fit more than one thread.
    MissingInputError
        If pitch or class is missing.
    OutOfRangeError
        If size or pitch is absurd.

    Notes
    -----
    Source: asme-y14-6, 3.2.1; the spelling of starts and of SE from memory.

    Examples
    --------
    >>> found = parse(".750-16UNF-2A")
    >>> found.size, found.threads_per_inch, found.series, found.tolerance_class
    ('3/4', 16.0, 'UNF', '2A')
    """
    if text[:1] in "Uu":
        text = _series_behind(text)
    if text[:1] not in _FIRST:
        return None
    plain, qualifiers = without_qualifiers(text)
    match = _HEAD.match(plain.upper())
    if match is None:
        return None
    decimal, *size, in_parentheses, count, behind = match.groups()
    tail = _TAILS.get(behind) or _TAILS.get(behind.replace(" ", "").replace("-", ""))
    if tail is None:
        count, tail = _long_tail(text, count, behind, trail)
        if tail is None:
            return None
    symbol, written_class, pitch, lead, engagement_in = tail
    if written_class and not symbol and written_class[-1] in _METRIC_POSITIONS:
        raise UnknownDesignationError(
            f"'{text}': {written_class.lower()} is a class of metric threads, whose size "
            "begins with M",
            parameter="designation",
            value=text,
            accepted="M24x1.5-6g for a metric thread; 2A or 2B for a Unified one",
        )
    hand, starts = qualifiers
    threads_per_inch = None if count is None else _count(count)
    if pitch:
        threads_per_inch = count_of_pitch(float(pitch), trail)
    if lead:
        starts = _starts(lead, threads_per_inch, starts)
    if tolerance_class is not None:
        written_class = agreed_class(written_class, tolerance_class.upper().replace(" ", ""))
    inches, number = (
        (float(decimal), None)
        if decimal is not None and in_parentheses is None
        else size_of_parts(decimal, *size, in_parentheses)
    )
    return agreed(
        inches,
        number,
        threads_per_inch,
        symbol,
        written_class,
        hand or "right",
        starts or 1,
        engagement_in,
        trail,
    )


def _series_behind(text: str) -> str:
    """A call-out whose series stands first, in the usual order: ``UNC 1/4-20 2B``."""
    before = _SERIES_BEFORE.match(text)
    if before is None:
        return text
    rest = text[before.end() :]
    head = _HEAD.match(rest.upper())
    if head is None:
        return text
    behind = len(rest) - len(head[head.re.groups])
    return f"{rest[:behind].strip()} {before[1]} {before[2] or ''}{rest[behind:]}".rstrip()


def read(fields: Fields, *, trail: Trail | None = None) -> CallOut:
    """Make the call-out of a Unified thread from fields; lengths in inches.

    Raises
    ------
    CalcError
        As :func:`parse`; a missing field is named.
    """
    symbol, count = _symbol_of_field(fields.series or "")
    if fields.nominal_diameter is None:
        raise MissingInputError(
            "a Unified thread needs its size",
            parameter="nominal_diameter",
            accepted="a size like 3/4, #10 or 0.75",
        )
    counts: dict[str, float] = {}
    if count is not None:
        counts[f"series {fields.series}"] = count
    if fields.threads_per_inch is not None:
        counts[f"threads_per_inch {fields.threads_per_inch:g}"] = float(fields.threads_per_inch)
    if fields.pitch is not None:
        counts[f"pitch {fields.pitch:g} in"] = count_of_pitch(fields.pitch, trail)
    if len(set(counts.values())) > 1:
        raise AmbiguousError(
            f"{' and '.join(counts)} contradict each other",
            parameter="pitch" if fields.pitch is not None else "threads_per_inch",
            value=fields.pitch if fields.pitch is not None else fields.threads_per_inch,
            accepted="one of them, or values that agree",
        )
    if isinstance(fields.nominal_diameter, str):
        size = size_of_text(fields.nominal_diameter)
    else:
        size = Size(float(fields.nominal_diameter), None)
    return agreed(
        *size,
        next(iter(counts.values()), None),
        symbol,
        (fields.tolerance_class or "").upper().replace(" ", ""),
        fields.hand or "right",
        1 if fields.starts is None else checked_starts(fields.starts),
        fields.length_of_engagement,
        trail,
    )


def _long_tail(
    text: str, count: str | None, behind: str, trail: Trail | None
) -> tuple[str | None, Tail | None]:
    """Read a tail with pitch and lead, engagement or gauging system; or refuse it."""
    if count is not None and _PITCH_WITH_DIGIT.match(behind):
        # A pitch with a digit before its point was taken for threads per inch.
        count, behind = None, f"-{count}{behind}"
    match = _LONG_TAIL.fullmatch(behind)
    if match is None:
        return count, None
    pitch, lead, series_count, symbol, written_class, engagement, system, rest = match.groups()
    rest = rest.strip()
    if rest:
        if _AMERICAN_NATIONAL.match(rest):
            raise UnknownDesignationError(
                f"'{text}': {rest} is the American National thread, which the Unified one replaced",
                parameter="designation",
                value=text,
                accepted="UNC, UNF, UNEF or UNS with a class like 2A",
            )
        if symbol is None and written_class is None:
            return count, None  # neither a Unified series nor a class, but something else
        raise UnknownDesignationError(
            f"'{text}': '{rest}' was not understood{hint(rest)}",
            parameter="designation",
            value=text,
            accepted="size-threads series-class, then LE, starts or LH, as 1-8 UNC-2A LH",
        )
    if series_count is not None and count is not None and float(series_count) != _count(count):
        raise AmbiguousError(
            f"'{text}' says {count} threads per inch and names the series {series_count}{symbol}",
            parameter="threads_per_inch",
            value=count,
            accepted=f"{series_count} or {count}, not both",
        )
    if system and trail is not None:
        trail.caution(
            "gauging-system-ignored",
            f"The gauging system {system} of the call-out does not change the limits.",
        )
    return count, Tail(
        symbol or "",
        "" if written_class is None else _BETWEEN_CLASSES.sub("/", written_class).replace(" ", ""),
        pitch or "",
        lead or "",
        None if engagement is None else float(engagement),
    )


def _count(text: str) -> float:
    """Threads per inch as they are written, ``4 1/2`` among them."""
    whole, _, part = text.replace("-", " ").partition(" ")
    return float(whole) + (float(Fraction(part)) if part else 0.0)


def count_of_pitch(pitch_in: float, trail: Trail | None = None) -> float:
    """Threads per inch of a pitch in inches; a rounded standard pitch is taken as the exact one.

    Raises
    ------
    OutOfRangeError
        If the pitch is not above 0 or makes no threads per inch that are read.

    Examples
    --------
    >>> count_of_pitch(0.0833), count_of_pitch(0.08), count_of_pitch(0.2222)
    (12.0, 12.5, 4.5)
    """
    if not 1 / MOST_TPI <= pitch_in <= 1 / FEWEST_TPI:
        raise OutOfRangeError(
            f"a pitch of {pitch_in:g} in; {1 / MOST_TPI:g} in to {1 / FEWEST_TPI:g} in are read",
            parameter="pitch",
            value=pitch_in,
            accepted=f"{1 / MOST_TPI:g} in to {1 / FEWEST_TPI:g} in",
        )
    count = 1 / pitch_in
    for parts in (1, 2, 4, 8):
        near = round(count * parts) / parts
        if abs(near - count) <= 1e-6 * count:
            return near
    for standard in {count for _, count in standard_pairs()}:
        if abs(1 / standard - pitch_in) <= 0.000051:
            if trail is not None:
                trail.assume(
                    "threads_per_inch", standard, f"{pitch_in:g} in is 1/{standard:g} in, rounded"
                )
            return standard
    return count


def _starts(lead_in: str, threads_per_inch: float | None, stated: int | None) -> int:
    """Number of starts from the lead; must agree with the words."""
    if threads_per_inch is None:
        raise MissingInputError(
            "the call-out has a lead but no pitch",
            parameter="pitch",
            value=lead_in,
            accepted="pitch and lead, as .5-.0833P-.1667L (2 STARTS) UN-2A",
        )
    turns = float(lead_in) * threads_per_inch
    starts = round(turns)
    if abs(turns - starts) > 0.0001 * threads_per_inch:
        raise AmbiguousError(
            f"a lead of {lead_in} in is {turns:.4g} pitches, not a whole number of starts",
            parameter="designation",
            value=lead_in,
            accepted="a lead that is a multiple of the pitch",
        )
    if stated is not None and starts != stated:
        raise AmbiguousError(
            f"the lead makes {starts} starts, the call-out says {stated}",
            parameter="starts",
            value=stated,
            accepted=f"{starts} starts, or another lead",
        )
    return checked_starts(starts)


def _symbol_of_field(series: str) -> tuple[str, float | None]:
    """Series symbol without the count that may stand before it (``8UN``), and that count."""
    compact = series.upper().replace(" ", "")
    symbol = compact.lstrip("0123456789")
    digits = compact[: len(compact) - len(symbol)]
    if (symbol and symbol not in _PLAIN_SYMBOLS) or len(digits) > 3 or (digits and not symbol):
        raise UnknownDesignationError(
            f"'{series[:40]}' is not a series of Unified threads",
            parameter="series",
            value=series[:100],
            accepted=", ".join(SYMBOLS),
        )
    return symbol, float(digits) if digits else None
