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
    UnknownDesignationError,
)
from threadwright_service.calc.threads.call_out import CallOut, LengthGroup
from threadwright_service.calc.threads.metric_size import (
    MetricSize,
    from_fields,
    length_mm,
    take_apart,
)
from threadwright_service.calc.threads.near_sizes import near_sizes
from threadwright_service.calc.threads.registry import Fields, StandardSize, agreed_class
from threadwright_service.calc.trail import Trail

KEY: Final = "iso-trapezoidal"
CLASSES: Final = ("7e", "8e", "8c", "9c", "7H", "8H", "9H")
_ALL_CLASSES: Final = ("7e", "8e", "9e", "7c", "8c", "9c", "7H", "8H", "9H")
_IN_WORDS: Final = "7e, 8e, 8c or 9c for the screw; 7H, 8H or 9H for the nut"

_SYMBOL: Final = re.compile(r"TR ?\.? ?(?=[0-9])", re.IGNORECASE)
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
    size = take_apart(text, _SYMBOL)
    if size is None:
        return None
    rest = _REST.fullmatch(size.rest)
    if rest is None:
        raise UnknownDesignationError(
            f"'{size.rest}' after the size is no tolerance class of a Tr thread",
            parameter="designation",
            value=text,
            accepted="a call-out like Tr32x6-7e or Tr20x8(P4)-7e LH",
        )
    written = agreed_class(class_of(rest["tolerance"] or ""), class_of(tolerance_class or ""))
    return _call_out(size, written, (rest["engagement"] or "").upper())


def read(fields: Fields, *, trail: Trail | None = None) -> CallOut:
    """Make the call-out from fields; lengths in mm, ``pitch`` is the pitch, not the lead.

    Raises
    ------
    CalcError
        If a value is missing or is none.
    """
    del trail
    engagement = fields.length_of_engagement
    return _call_out(
        from_fields(fields, symbol="Tr"),
        class_of(fields.tolerance_class or ""),
        "" if engagement is None else f"{engagement:.9g}",
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


def _call_out(size: MetricSize, tolerance_class: str, engagement: str) -> CallOut:
    """The record, after pitch and class were found to be there."""
    diameter_mm = size.diameter_mm
    if size.pitch_mm is None:
        known = [f"{each.pitch:g}" for each in sizes() if each.nominal_diameter == diameter_mm]
        raise MissingInputError(
            f"Tr{diameter_mm:g} has no pitch",
            parameter="pitch",
            accepted=f"one of {', '.join(known)} mm" if known else "a pitch, as in Tr32x6",
        )
    if not tolerance_class:
        raise _no_class(diameter_mm, size.pitch_mm)
    group: LengthGroup = "N" if engagement == "N" else "L" if engagement == "L" else ""
    return CallOut(
        family=KEY,
        series="Tr",
        size=f"{diameter_mm:g}",
        nominal_diameter=diameter_mm,
        pitch=size.pitch_mm,
        tolerance_class=tolerance_class,
        side="internal" if tolerance_class.endswith("H") else "external",
        hand=size.hand,
        starts=size.starts,
        length_of_engagement=length_mm(engagement, "length_of_engagement")
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
