"""Size, lead and pitch of metric motion threads: ``32x6``, ``20x8(P4)``, hand and starts [mm].

What stands behind the symbol of a trapezoidal or a metric buttress thread. With several starts
the number behind the ``x`` is the lead, and the pitch stands in brackets (ISO 2902).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import (
    AmbiguousError,
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.designation import (
    Qualifiers,
    checked_starts,
    tidied,
    without_qualifiers,
)
from threadwright_service.calc.threads.registry import Fields
from threadwright_service.calc.threads.thread import Hand

MOST_MM: Final = 3000.0
"""Longest length read, in mm."""
_NUMBER: Final = r"[0-9]+(?:\.[0-9]+)?"
_TEXT: Final = re.compile(
    rf"(?P<diameter>{_NUMBER})(?: ?[x*] ?(?:Ph ?)?(?P<lead>{_NUMBER})"
    rf"(?: ?\(? ?P ?=? ?(?P<pitch>{_NUMBER}) ?\)?)?)?(?P<rest>(?![0-9.x*]).*)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class MetricSize:
    """A metric call-out taken apart; ``rest`` is what stands behind size, pitch, hand, starts."""

    diameter_mm: float
    pitch_mm: float | None
    starts: int
    hand: Hand
    rest: str


def take_apart(text: str, symbol: re.Pattern[str]) -> MetricSize | None:
    """Read a tidied call-out that begins with a symbol; ``None`` if it does not.

    Raises
    ------
    AmbiguousError
        If starts, lead and pitch disagree or leave the pitch open.
    OutOfRangeError
        If a length is no length that is cut.

    Examples
    --------
    >>> found = take_apart("Tr20x8(P4)-7e LH", re.compile("Tr"))
    >>> found.pitch_mm, found.starts, found.hand, found.rest
    (4.0, 2, 'left', '-7e')
    """
    begin = symbol.match(text)
    if begin is None:
        return None
    plain, qualifiers = without_qualifiers(text)
    match = _TEXT.fullmatch(plain[begin.end() :].strip())
    if match is None:
        return None
    pitch_mm, starts = (
        (None, qualifiers.starts or 1)
        if match["lead"] is None
        else _pitch_and_starts(match, qualifiers)
    )
    return MetricSize(
        diameter_mm=length_mm(match["diameter"], "nominal_diameter"),
        pitch_mm=pitch_mm,
        starts=starts,
        hand=qualifiers.hand or "right",
        rest=match["rest"].strip(),
    )


def from_fields(fields: Fields, *, symbol: str) -> MetricSize:
    """The same parts from single values in mm; ``pitch`` is the pitch, not the lead.

    Raises
    ------
    MissingInputError
        If diameter or pitch is missing.
    CalcError
        If one of them is no length, or the starts are no number of starts.
    """
    given = fields.nominal_diameter
    if given is None:
        raise MissingInputError(
            f"the {symbol} thread has no nominal diameter",
            parameter="nominal_diameter",
            accepted="in mm",
        )
    if fields.pitch is None:
        raise MissingInputError(
            f"the {symbol} thread has no pitch", parameter="pitch", accepted="in mm, as 6"
        )
    if isinstance(given, str):
        given = tidied(given).upper().removeprefix(symbol.upper()).strip()
    return MetricSize(
        diameter_mm=length_mm(given, "nominal_diameter"),
        pitch_mm=length_mm(fields.pitch, "pitch"),
        starts=1 if fields.starts is None else checked_starts(fields.starts),
        hand=fields.hand or "right",
        rest="",
    )


def length_mm(value: str | float, parameter: str) -> float:
    """A positive length in mm.

    Raises
    ------
    UnknownDesignationError
        If a text is no number.
    OutOfRangeError
        If it is not above 0, or above 3000 mm.
    """
    try:
        length = float(value)
    except ValueError:
        raise UnknownDesignationError(
            f"'{value}' is not a length in mm", parameter=parameter, value=value, accepted="as 32"
        ) from None
    if not 0 < length <= MOST_MM:
        raise OutOfRangeError(
            f"{length:g} mm; lengths above 0 up to {MOST_MM:g} mm are read",
            parameter=parameter,
            value=length,
            accepted=f"above 0, at most {MOST_MM:g} mm",
        )
    return length


def _pitch_and_starts(match: re.Match[str], qualifiers: Qualifiers) -> tuple[float, int]:
    """Pitch and starts from lead, pitch in brackets and a number of starts in words."""
    lead_mm = length_mm(match["lead"], "pitch")
    stated = qualifiers.starts
    if match["pitch"] is None:
        if stated not in {None, 1}:
            raise AmbiguousError(
                f"with {stated} starts it is not said whether {lead_mm:g} is the lead or the pitch",
                parameter="pitch",
                value=lead_mm,
                accepted=f"lead, then pitch in brackets: x{lead_mm * (stated or 1):g}"
                f"(P{lead_mm:g}) or x{lead_mm:g}(P{lead_mm / (stated or 1):g})",
            )
        return lead_mm, 1
    pitch_mm = length_mm(match["pitch"], "pitch")
    starts = round(lead_mm / pitch_mm)
    if abs(lead_mm / pitch_mm - starts) > 1e-9 * max(1, starts):
        raise AmbiguousError(
            f"a lead of {lead_mm:g} mm is not a whole number of pitches of {pitch_mm:g} mm",
            parameter="pitch",
            value=pitch_mm,
            accepted="lead = starts x pitch, as Tr20x8(P4)",
        )
    if stated not in {None, starts}:
        raise AmbiguousError(
            f"lead and pitch make {starts} starts, the call-out says {stated}",
            parameter="starts",
            value=stated,
            accepted=str(starts),
        )
    return pitch_mm, checked_starts(starts)
