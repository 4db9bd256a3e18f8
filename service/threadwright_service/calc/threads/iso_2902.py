"""ISO metric trapezoidal threads: the diameter-pitch plan and the call-outs of ISO 2902.

``Tr32x6-7e``, ``Tr20x8(P4)-7e LH`` (lead 8, pitch 4, two starts), ``Tr 40 x 7 LH - 7H``.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Final

from threadwright_service.calc import tables
from threadwright_service.calc.errors import (
    AmbiguousError,
    CalcError,
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.call_out import CallOut, LengthGroup
from threadwright_service.calc.threads.designation import (
    Qualifiers,
    checked_starts,
    tidied,
    without_qualifiers,
)
from threadwright_service.calc.threads.near_sizes import near_sizes
from threadwright_service.calc.threads.registry import Fields, StandardSize, agreed_class
from threadwright_service.calc.threads.thread import Hand
from threadwright_service.calc.trail import Trail

KEY: Final = "iso-trapezoidal"
CLASSES: Final = ("7e", "8e", "8c", "9c", "7H", "8H", "9H")
_ALL_CLASSES: Final = ("7e", "8e", "9e", "7c", "8c", "9c", "7H", "8H", "9H")
_IN_WORDS: Final = "7e, 8e, 8c or 9c for the screw; 7H, 8H or 9H for the nut"

_TEXT: Final = re.compile(
    r"TR ?\.? ?(?P<diameter>[0-9]+(?:\.[0-9]+)?)"
    r"(?: ?[x*] ?(?P<lead>[0-9]+(?:\.[0-9]+)?)"
    r"(?: ?\(? ?P ?=? ?(?P<pitch>[0-9]+(?:\.[0-9]+)?) ?\)?)?)?"
    r"(?P<rest>.*)",
    re.IGNORECASE,
)
_REST: Final = re.compile(
    r"[ \-]*(?P<tolerance>[^ \-]+)?(?:[ \-]+(?P<engagement>N|L|[0-9]+(?:\.[0-9]+)?))?[ \-]*",
    re.IGNORECASE,
)


@cache
def sizes() -> tuple[StandardSize, ...]:
    """The diameter-pitch plan.

    Notes
    -----
    Source: iso-2902.
    """
    pairs = sorted(
        (float(row["nominal_diameter_mm"]), float(row["pitch_mm"]))
        for row in tables.load(__package__, "tables/iso_2904_pitches")
    )
    return tuple(
        StandardSize(series="Tr", size=f"{d:g}", nominal_diameter=d, pitch=pitch)
        for d, pitch in pairs
    )


@cache
def plan() -> frozenset[tuple[float, float]]:
    """Diameters with their pitches [mm], to look a pair up."""
    return frozenset((size.nominal_diameter, size.pitch) for size in sizes())


def parse(
    text: str, tolerance_class: str | None = None, *, trail: Trail | None = None
) -> CallOut | None:
    """Read a tidied call-out; ``None`` if it is no trapezoidal thread.

    Raises
    ------
    CalcError
        If it is one, and is wrong, incomplete or ambiguous.

    Examples
    --------
    >>> found = parse("Tr20x8(P4)-7e LH")
    >>> found.pitch, found.starts, found.hand, found.tolerance_class
    (4.0, 2, 'left', '7e')
    """
    del trail
    plain, qualifiers = without_qualifiers(text)
    match = _TEXT.fullmatch(plain)
    if match is None:
        return None
    rest = _REST.fullmatch(match["rest"])
    if rest is None:
        raise UnknownDesignationError(
            f"'{match['rest'].strip()}' after the size is no tolerance class of a Tr thread",
            parameter="designation",
            value=text,
            accepted="a call-out like Tr32x6-7e or Tr20x8(P4)-7e LH",
        )
    diameter_mm = _length(match["diameter"], "nominal_diameter")
    if match["lead"] is None:
        near = [f"{s.pitch:g}" for s in sizes() if s.nominal_diameter == diameter_mm]
        raise MissingInputError(
            f"Tr{diameter_mm:g} has no pitch",
            parameter="pitch",
            accepted=f"one of {', '.join(near)} mm" if near else "a pitch, as in Tr32x6",
        )
    pitch_mm, starts = _pitch_and_starts(match, qualifiers)
    return _call_out(
        diameter_mm=diameter_mm,
        pitch_mm=pitch_mm,
        tolerance_class=agreed_class(
            class_of(rest["tolerance"] or ""), class_of(tolerance_class or "")
        ),
        hand=qualifiers.hand or "right",
        starts=starts,
        engagement=(rest["engagement"] or "").upper(),
    )


def read(fields: Fields, *, trail: Trail | None = None) -> CallOut:
    """Make the call-out from fields; lengths in mm, ``pitch`` is the pitch, not the lead.

    Raises
    ------
    CalcError
        If a value is missing or is none.
    """
    del trail
    if fields.nominal_diameter is None:
        raise MissingInputError(
            "the Tr thread has no nominal diameter", parameter="nominal_diameter", accepted="in mm"
        )
    if fields.pitch is None:
        raise MissingInputError(
            "the Tr thread has no pitch", parameter="pitch", accepted="in mm, as 6 for Tr32x6"
        )
    given = fields.nominal_diameter
    text = tidied(given).upper().removeprefix("TR").strip() if isinstance(given, str) else ""
    return _call_out(
        diameter_mm=_length(text, "nominal_diameter") if isinstance(given, str) else given,
        pitch_mm=fields.pitch,
        tolerance_class=class_of(fields.tolerance_class or ""),
        hand=fields.hand or "right",
        starts=1 if fields.starts is None else checked_starts(fields.starts),
        engagement=""
        if fields.length_of_engagement is None
        else f"{fields.length_of_engagement:.9g}",
    )


def class_of(text: str) -> str:
    """The tolerance class as ISO 2903 writes it; empty if the text is empty.

    Raises
    ------
    AmbiguousError
        If it names screw and nut together.
    UnknownDesignationError
        If ISO 2903 has no such class.

    Examples
    --------
    >>> class_of("7E"), class_of("7h/7e".split("/")[1])
    ('7e', '7e')
    """
    plain = text.strip(" -()")
    if not plain:
        return ""
    if "/" in plain:
        raise AmbiguousError(
            f"'{plain}' is a fit of screw and nut",
            parameter="tolerance_class",
            value=text,
            accepted=f"one member's class: {_IN_WORDS}",
        )
    written = plain[:-1] + (plain[-1] if plain[-1] == "H" else plain[-1].lower())
    if written not in _ALL_CLASSES:
        hint = "; positions exist on the pitch diameter only: c and e outside, H inside"
        raise UnknownDesignationError(
            f"ISO 2903 has no class '{plain}'{hint}",
            parameter="tolerance_class",
            value=text,
            accepted=_IN_WORDS,
        )
    return written


def _pitch_and_starts(match: re.Match[str], qualifiers: Qualifiers) -> tuple[float, int]:
    """Pitch and starts from lead, pitch in brackets and a number of starts in words."""
    lead_mm = _length(match["lead"], "pitch")
    if match["pitch"] is None:
        if qualifiers.starts not in {None, 1}:
            raise AmbiguousError(
                f"with {qualifiers.starts} starts it is not said whether {lead_mm:g} is the lead "
                "or the pitch",
                parameter="pitch",
                value=lead_mm,
                accepted=f"the lead, then the pitch in brackets, as Tr20x8(P4): here "
                f"x{lead_mm * (qualifiers.starts or 1):g}(P{lead_mm:g}) or "
                f"x{lead_mm:g}(P{lead_mm / (qualifiers.starts or 1):g})",
            )
        return lead_mm, 1
    pitch_mm = _length(match["pitch"], "pitch")
    starts = round(lead_mm / pitch_mm)
    if abs(lead_mm / pitch_mm - starts) > 1e-9:
        raise AmbiguousError(
            f"a lead of {lead_mm:g} mm is not a whole number of pitches of {pitch_mm:g} mm",
            parameter="pitch",
            value=pitch_mm,
            accepted="lead = starts x pitch, as Tr20x8(P4)",
        )
    if qualifiers.starts not in {None, starts}:
        raise AmbiguousError(
            f"lead and pitch make {starts} starts, the call-out says {qualifiers.starts}",
            parameter="starts",
            value=qualifiers.starts,
            accepted=str(starts),
        )
    return pitch_mm, checked_starts(starts)


def _call_out(
    *,
    diameter_mm: float,
    pitch_mm: float,
    tolerance_class: str,
    hand: Hand,
    starts: int,
    engagement: str,
) -> CallOut:
    """The record, after the class was found to be there."""
    if not tolerance_class:
        raise _no_class(diameter_mm, pitch_mm)
    group: LengthGroup = "N" if engagement == "N" else "L" if engagement == "L" else ""
    return CallOut(
        family=KEY,
        series="Tr",
        size=f"{diameter_mm:g}",
        nominal_diameter=diameter_mm,
        pitch=pitch_mm,
        tolerance_class=tolerance_class,
        side="internal" if tolerance_class.endswith("H") else "external",
        hand=hand,
        starts=starts,
        length_of_engagement=_length(engagement, "length_of_engagement")
        if engagement and not group
        else None,
        length_group=group,
    )


def _no_class(diameter_mm: float, pitch_mm: float) -> CalcError:
    """The refusal of a call-out without class; nothing says which member is meant."""
    near = near_sizes(sizes(), nominal_diameter=diameter_mm, pitch=pitch_mm)
    known = (diameter_mm, pitch_mm) in plan()
    return MissingInputError(
        f"Tr{diameter_mm:g}x{pitch_mm:g} has no tolerance class"
        + ("" if known else f", and is not in the plan of ISO 2902 (near sizes: {near})"),
        parameter="tolerance_class",
        accepted=_IN_WORDS,
    )


def _length(text: str, parameter: str) -> float:
    """A positive length in mm from a text."""
    try:
        value = float(text)
    except ValueError:
        raise UnknownDesignationError(
            f"'{text}' is not a length in mm", parameter=parameter, value=text, accepted="as 32"
        ) from None
    if not 0 < value <= 3000:
        raise OutOfRangeError(
            f"{value:g} mm; lengths above 0 up to 3000 mm are read",
            parameter=parameter,
            value=value,
            accepted="above 0, at most 3000 mm",
        )
    return value
