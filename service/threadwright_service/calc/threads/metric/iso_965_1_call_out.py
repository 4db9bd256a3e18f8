"""Call-outs of ISO metric threads: read from text or from fields.

``M24x1.5-6g``, ``M10-6H`` (coarse pitch), ``M20x2-5h6h-S-LH``, with several starts
``M16xPh3P1.5-6H``, also ``M24x3(P1.5)`` and ``M24x1.5-6g (2 STARTS)``. The case of the class
counts: ``6h`` is an outside thread, ``6H`` an inside one.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from threadwright_service.calc.errors import (
    AmbiguousError,
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.rounding import half_up
from threadwright_service.calc.threads.beside_the_thread import hint
from threadwright_service.calc.threads.call_out import CallOut, LengthGroup, make_call_out
from threadwright_service.calc.threads.designation import checked_starts, tidied, without_qualifiers
from threadwright_service.calc.threads.metric.iso_261 import pitches_text, plan
from threadwright_service.calc.threads.metric.iso_965_1_classes import metric_class
from threadwright_service.calc.threads.metric.iso_965_1_tolerances import (
    COARSEST_MM,
    FINEST_MM,
    LARGEST_MM,
    SMALLEST_MM,
)
from threadwright_service.calc.threads.registry import Fields, agreed_class
from threadwright_service.calc.threads.thread import Hand
from threadwright_service.calc.trail import Trail

_LARGEST_SHARE: Final = 0.5
"""A pitch above this share of the diameter leaves no core; the plan stays at a quarter."""
_NUMBER: Final = r"(?:[0-9]{1,5}(?:\.[0-9]{1,6})?|\.[0-9]{1,6})"
_HEAD: Final = re.compile(
    rf"[Mm] ?({_NUMBER})"
    rf"(?:(?: ?[xX*] ?| ?- ?(?={_NUMBER}(?:[ \-]|$)))"
    rf"(?:(?:[Pp][Hh]|[Ll]) ?({_NUMBER})[ \-]?[Pp] ?({_NUMBER})"
    rf"|(?:[Pp] ?)?({_NUMBER})(?:[ \-]?\(? ?[Pp] ?=? ?({_NUMBER}) ?\)?)?))?"
    r"(?![0-9.])(.*)"
)
_PLAIN_TAIL: Final = re.compile(r"[ \-]*([0-9]{1,2}[A-Za-z]{1,2}(?:[0-9]{1,2}[A-Za-z]{1,2})?)?")
_SMALL_OR_CAPITAL: Final = re.compile(r"[0-9]G|[0-9]h")
"""Positions whose other case is as likely where a whole text is in one case."""
_TAIL: Final = re.compile(
    r"[ \-]*(?P<class>[0-9]{1,2}[A-Za-z]{1,2}(?: ?[0-9]{1,2}[A-Za-z]{1,2})?"
    r"(?: ?/ ?[0-9]{1,2}[A-Za-z]{1,2}(?:[0-9]{1,2}[A-Za-z]{1,2})?)?)?"
    r"(?:[ \-]+(?P<group>[SNL]))?[ \-]*(?P<rest>.*)"
)
_GROUPS: Final[Mapping[str, LengthGroup]] = {"": "", "S": "S", "N": "N", "L": "L"}


def parse(
    text: str, tolerance_class: str | None = None, *, trail: Trail | None = None
) -> CallOut | None:
    """Read a call-out of an ISO metric thread of M profile.

    Parameters
    ----------
    text : str
        A tidied call-out.
    tolerance_class : str, optional
        The class given beside it.
    trail : Trail, optional
        Takes the coarse pitch, where the call-out leaves it out.

    Returns
    -------
    CallOut or None
        ``None`` if the text does not begin with M and a number.

    Raises
    ------
    CalcError
        If a part is missing, unknown or absurd, or contradicts another.

    Notes
    -----
    Source: iso-965-1, designation; asme-b1-13m.

    Examples
    --------
    >>> found = parse("M16xPh3P1.5-6H")
    >>> found.pitch, found.starts, found.tolerance_class, found.side
    (1.5, 2, '6H', 'internal')
    """
    if text[:1] not in {"M", "m"}:
        return None
    plain, qualifiers = without_qualifiers(text)
    match = _HEAD.fullmatch(plain)
    if match is None:
        return None
    diameter, lead, pitch_of_lead, number, pitch_in_brackets, behind = match.groups()
    written_class, group = _tail(text, behind)
    pitch, lead = (pitch_of_lead, lead) if lead else (number, None)
    if pitch_in_brackets:
        pitch, lead = pitch_in_brackets, number
    pitch_mm = None if pitch is None else float(pitch)
    starts = qualifiers.starts or 1
    if lead is not None and pitch_mm is not None:
        starts = _starts(float(lead), pitch_mm, qualifiers.starts)
    if trail is not None and _SMALL_OR_CAPITAL.search(written_class):
        _caution_case(text, written_class, trail)
    if tolerance_class is not None:
        written = metric_class(written_class).text if written_class else ""
        written_class = agreed_class(written, metric_class(tolerance_class.strip()).text)
    return _call_out(
        float(diameter),
        pitch_mm,
        written_class,
        hand=qualifiers.hand or "right",
        starts=starts,
        group=group,
        engagement_mm=None,
        trail=trail,
    )


def _caution_case(text: str, written_class: str, trail: Trail) -> None:
    """Say which side was read where the call-out is in one case, which may not be the drawing's."""
    if text not in {text.upper(), text.lower()}:
        return
    capital = text.isupper()
    side, other = ("inside", "outside") if capital else ("outside", "inside")
    trail.caution(
        "class-by-case",
        f"{written_class} was read as an {side} thread, by its {'capital' if capital else 'small'} "
        f"letter. If the call-out lost its case on the way, the {other} class is "
        f"{written_class.swapcase()}.",
    )


def _tail(text: str, behind: str) -> tuple[str, LengthGroup]:
    """Class and engagement group of what stands behind the size."""
    plain = _PLAIN_TAIL.fullmatch(behind)
    if plain is not None:
        return plain[1] or "", ""
    match = _TAIL.fullmatch(behind)
    rest = behind if match is None else match["rest"].strip()
    if match is None or rest:
        raise UnknownDesignationError(
            f"'{text}': '{rest}' was not understood behind the size{hint(rest)}",
            parameter="designation",
            value=text,
            accepted="size, pitch, class, then S or L, LH, as M24x1.5-6g-LH; no length of the part",
        )
    return (match["class"] or "").replace(" ", ""), _GROUPS[match["group"] or ""]


def read(fields: Fields, *, trail: Trail | None = None) -> CallOut:
    """Make the call-out of an ISO metric thread from fields; lengths in mm.

    Raises
    ------
    CalcError
        As :func:`parse`; a missing field is named.
    """
    if fields.threads_per_inch is not None:
        raise AmbiguousError(
            f"a metric thread has a pitch in mm, not {fields.threads_per_inch:g} threads per inch",
            parameter="threads_per_inch",
            value=fields.threads_per_inch,
            accepted="pitch",
        )
    given = fields.nominal_diameter
    if given is None:
        raise MissingInputError(
            "a metric thread needs its nominal diameter",
            parameter="nominal_diameter",
            accepted="a diameter in mm, as 24",
        )
    if isinstance(given, str):
        plain = tidied(given)
        if re.fullmatch(rf"[Mm]? ?{_NUMBER}", plain) is None:
            raise UnknownDesignationError(
                f"'{plain}' is not the nominal diameter of a metric thread",
                parameter="nominal_diameter",
                value=given,
                accepted="a diameter in mm, as 24 or M24; a whole call-out goes into designation",
            )
        given = float(plain.lstrip("Mm "))
    return _call_out(
        given,
        fields.pitch,
        (fields.tolerance_class or "").strip(),
        hand=fields.hand or "right",
        starts=1 if fields.starts is None else checked_starts(fields.starts),
        group="",
        engagement_mm=fields.length_of_engagement,
        trail=trail,
    )


def _starts(lead_mm: float, pitch_mm: float, stated: int | None) -> int:
    """Number of starts from lead and pitch; must agree with the words."""
    turns = lead_mm / pitch_mm if pitch_mm else 0.0
    starts = half_up(turns, 0)
    if not starts or abs(turns - starts) > 1e-6:
        raise AmbiguousError(
            f"a lead of {lead_mm:g} mm is not a whole number of pitches of {pitch_mm:g} mm",
            parameter="pitch",
            value=pitch_mm,
            accepted="lead = starts x pitch, as M16xPh3P1.5",
        )
    if stated is not None and stated != starts:
        raise AmbiguousError(
            f"lead and pitch make {starts:g} starts, the call-out says {stated}",
            parameter="starts",
            value=stated,
            accepted=f"{starts:g}",
        )
    return checked_starts(int(starts))


def _call_out(
    diameter_mm: float,
    pitch_mm: float | None,
    written_class: str,
    *,
    hand: Hand,
    starts: int,
    group: LengthGroup,
    engagement_mm: float | None,
    trail: Trail | None,
) -> CallOut:
    diameter_mm = half_up(diameter_mm, 3)
    if not SMALLEST_MM <= diameter_mm <= LARGEST_MM:
        raise OutOfRangeError(
            f"a diameter of {diameter_mm:g} mm; ISO 965-1 has tolerances from {SMALLEST_MM:g} mm "
            f"to {LARGEST_MM:g} mm",
            parameter="nominal_diameter",
            value=diameter_mm,
            accepted=f"{SMALLEST_MM:g} mm to {LARGEST_MM:g} mm",
        )
    if pitch_mm is None:
        pitch_mm = _coarse_pitch_mm(diameter_mm, trail)
    elif not FINEST_MM <= pitch_mm <= min(COARSEST_MM, _LARGEST_SHARE * diameter_mm):
        raise OutOfRangeError(
            f"a pitch of {pitch_mm:g} mm on a diameter of {diameter_mm:g} mm; ISO 965-1 has "
            f"pitches from {FINEST_MM:g} mm to {COARSEST_MM:g} mm, and half of the diameter "
            "leaves no core",
            parameter="pitch",
            value=pitch_mm,
            accepted=pitches_text(diameter_mm),
        )
    found = metric_class(written_class)
    return make_call_out(
        "iso-metric",
        "M",
        f"{diameter_mm:.6g}",
        diameter_mm,
        pitch_mm,
        None,
        found.text,
        found.side,
        True,
        hand,
        starts,
        engagement_mm,
        group,
    )


def _coarse_pitch_mm(diameter_mm: float, trail: Trail | None) -> float:
    """The coarse pitch, which a call-out without a pitch means."""
    row = plan().get(diameter_mm)
    if row is None or row.coarse_mm is None:
        raise MissingInputError(
            f"M{diameter_mm:g} has no coarse pitch in ISO 261, so its pitch must be given",
            parameter="pitch",
            accepted=pitches_text(diameter_mm),
        )
    if trail is not None:
        trail.assume(
            "pitch", row.coarse_mm, f"none given; the coarse pitch of M{diameter_mm:g}", unit="mm"
        )
    return row.coarse_mm
