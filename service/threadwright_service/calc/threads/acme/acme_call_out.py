"""Call-outs of Acme and Stub Acme threads, and the size series that both standards share.

``1-5 ACME-2G``, ``1.750-6-ACME-4C-LH``, ``2.875-0.4P-0.8L-ACME-3G (Two Start)``,
``0.500-20 STUB ACME``.
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
from threadwright_service.calc.threads.registry import Fields, StandardSize, agreed_class

ACME: Final = "Acme"
STUB: Final = "Stub Acme"
CLASSES: Final = ("2G", "3G", "4G", "2C", "3C", "4C")
STUB_CLASSES: Final = ("2G", "3G", "4G")
OPEN_SIDE: Final = "the call-out is the same for screw and nut; write 'nut' or give the side"

_SERIES: Final = re.compile(
    r"(?<![A-Za-z])(?P<stub>STUB[ \-]*)?ACME(?P<late>[ \-]*STUB)?(?![A-Za-z])", re.IGNORECASE
)
_MODIFIED: Final = re.compile(r"(?:FORM[ \-]?|M)[12]|MOD(?:IFIED)?\.?", re.IGNORECASE)
_OBSOLETE: Final = frozenset({"5G", "5C", "6C"})


@cache
def standard_counts() -> dict[float, float]:
    """Threads per inch of the standard series, by nominal size [in].

    Notes
    -----
    Source: asme-b1-5, standard series, as machinerys-handbook-27, p. 1831 Table 3, prints it.
    """
    return {
        float(row["nominal_diameter_in"]): float(row["threads_per_inch"])
        for row in tables.load(__package__, "tables/asme_b1_5_sizes")
    }


@cache
def sizes(series: str) -> tuple[StandardSize, ...]:
    """The standard series under the symbol of one of the two standards."""
    return tuple(
        StandardSize(
            series=series,
            size=written_size(diameter_in),
            nominal_diameter=diameter_in,
            pitch=1 / count,
            threads_per_inch=count,
        )
        for diameter_in, count in standard_counts().items()
    )


def parse(text: str, tolerance_class: str | None, *, family: str, stub: bool) -> CallOut | None:
    """Read a tidied call-out of one of the two standards; ``None`` if it is of neither or other.

    Raises
    ------
    CalcError
        If it is one, and is wrong, incomplete or ambiguous.
    """
    found = _SERIES.search(text)
    if found is None or (bool(found["stub"] or found["late"]) is not stub):
        return None
    parts = take_apart(text, _SERIES)
    if parts is None:
        return None
    classes = STUB_CLASSES if stub else CLASSES
    written = agreed_class(
        class_of(parts.tolerance_class, classes), class_of(tolerance_class or "", classes)
    )
    return _call_out(parts, written, family=family, series=STUB if stub else ACME)


def read(fields: Fields, *, family: str, stub: bool) -> CallOut:
    """Make the call-out of one of the two standards from fields.

    Raises
    ------
    CalcError
        If a value is missing or wrong.
    """
    parts = from_fields(fields)
    written = class_of(parts.tolerance_class, STUB_CLASSES if stub else CLASSES)
    return _call_out(
        parts,
        written,
        family=family,
        series=STUB if stub else ACME,
        engagement=fields.length_of_engagement,
    )


def class_of(text: str, classes: tuple[str, ...]) -> str:
    """The class as the standard writes it; empty if the text is.

    Raises
    ------
    NotTabulatedError
        If the class is obsolete or a modified form.
    AmbiguousError
        If it says nothing about general purpose or centralizing.
    UnknownDesignationError
        If there is no such class.
    """
    plain = text.strip(" -()").upper().removeprefix("CLASS").strip(" -")
    if not plain or plain in classes:
        return plain
    accepted = ", ".join(classes)
    if _MODIFIED.fullmatch(plain):
        raise NotTabulatedError(
            f"'{plain}': the modified forms of Stub Acme are not carried here",
            parameter="designation",
            value=text,
            accepted="the standard form, without M1 or M2",
        )
    if plain in _OBSOLETE:
        raise NotTabulatedError(
            f"class {plain} is obsolete and not in the present standard",
            parameter="tolerance_class",
            value=text,
            accepted=accepted,
        )
    if plain in {"2", "3", "4"}:
        raise AmbiguousError(
            f"class {plain} does not say whether general purpose (G) or centralizing (C)",
            parameter="tolerance_class",
            value=text,
            accepted=accepted,
        )
    raise UnknownDesignationError(
        f"'{plain}' is no class of this standard",
        parameter="tolerance_class",
        value=text,
        accepted=accepted,
    )


def _call_out(
    parts: InchCallOut,
    tolerance_class: str,
    *,
    family: str,
    series: str,
    engagement: float | None = None,
) -> CallOut:
    """The record, once pitch and class are known to be there."""
    if parts.threads_per_inch is None:
        standard = standard_counts().get(parts.diameter_in)
        raise MissingInputError(
            f"{series} {parts.size} has no threads per inch",
            parameter="threads_per_inch",
            accepted=f"the standard series has {parts.size}-{standard:g}"
            if standard
            else "threads per inch, as in 1-5 ACME-2G",
        )
    if not tolerance_class and series == ACME:
        raise MissingInputError(
            f"{parts.size}-{parts.threads_per_inch:g} ACME has no class",
            parameter="tolerance_class",
            accepted=", ".join(CLASSES),
        )
    return CallOut(
        family=family,
        series=series,
        size=parts.size,
        nominal_diameter=parts.diameter_in,
        pitch=1 / parts.threads_per_inch,
        threads_per_inch=parts.threads_per_inch,
        tolerance_class=tolerance_class,
        side=parts.side or "external",
        side_stated=parts.side is not None,
        hand=parts.hand,
        starts=parts.starts,
        length_of_engagement=engagement,
    )


def designation(call_out: CallOut, tolerance_class: str) -> str:
    """The normalised call-out: size, pitch, series, class, hand.

    Examples
    --------
    >>> found = parse("2.875-0.4P-0.8L ACME-3G LH", None, family="acme", stub=False)
    >>> designation(found, found.tolerance_class)
    '2 7/8-0.4P-0.8L ACME-3G-LH'
    """
    if call_out.starts > 1:
        pitch = f"{call_out.pitch:.4f}".rstrip("0")
        lead = f"{call_out.pitch * call_out.starts:.4f}".rstrip("0").rstrip(".")
        count = f"{pitch}P-{lead}L"
    else:
        count = f"{call_out.threads_per_inch:g}"
    hand = "-LH" if call_out.hand == "left" else ""
    return f"{call_out.size}-{count} {call_out.series.upper()}-{tolerance_class}{hand}"
