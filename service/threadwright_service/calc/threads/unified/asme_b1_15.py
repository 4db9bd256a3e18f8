"""Unified inch threads of controlled root radius, ASME B1.15 (SAE AS8879): UNJ [in].

Major and pitch diameter are those of the UN thread of the same class; the root radius of the
screw is mandatory and both minor diameters are raised. **No published UNJ table was reached**:
the minor diameters are derived from the published root radii and thread height, the tolerances
are recalled, and the answer says so. Classes 2A, 3A and 3B.

Keys of the result beside the limits: ``reference.basic_external_minor_diameter``,
``thread_height`` (9H/16), and what the UN thread of the same class has in ``reference``.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from types import MappingProxyType
from typing import Final

from threadwright_service.calc.errors import NotTabulatedError
from threadwright_service.calc.rounding import half_even
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.registry import Family, Fields, StandardSize
from threadwright_service.calc.threads.thread import Span, ThreadForm, ThreadLimits
from threadwright_service.calc.threads.unified import asme_b1_1
from threadwright_service.calc.threads.unified import asme_b1_1_formulas as unified
from threadwright_service.calc.trail import Formula, Trail

KEY: Final = "unified-j"
STANDARD: Final = "ASME B1.15"
CLASSES: Final = ("2A", "3A", "3B")
SYMBOLS: Final = ("UNJC", "UNJF", "UNJEF", "UNJ", "UNJS")
PLACES: Final = 4
_IN: Final = "in"
_HEIGHT: Final = 0.866025404

_INTERNAL_MINOR: Final = Formula(
    "basic minor diameter of the nut",
    "D1",
    "D - 0.97427858 * P",
    "D P",
    unit=_IN,
    source="derivation, from the height 9H/16 in the abstract of sae-as8879",
)
_EXTERNAL_MINOR: Final = Formula(
    "maximum minor diameter of the screw",
    "d3_max",
    "D - 1.15470054 * P - es",
    "D P es",
    unit=_IN,
    source="derivation, from the largest root radius in the abstract of asme-b1-15; "
    "1.155 P in bauelemente-der-luftfahrzeuge",
)
_EXTERNAL_MINOR_MIN: Final = Formula(
    "minimum minor diameter of the screw",
    "d3_min",
    "d2_min - 0.56580 * P",
    "d2_min P",
    unit=_IN,
    source="derivation, from the smallest root radius in the abstract of asme-b1-15",
)
_RADIUS_MIN: Final = Formula(
    "smallest root radius", "R min", "0.15010841 * P", "P", unit=_IN, source="asme-b1-15, abstract"
)
_RADIUS_MAX: Final = Formula(
    "largest root radius", "R max", "0.18042196 * P", "P", unit=_IN, source="asme-b1-15, abstract"
)
_MINOR_MAX: Final = Formula(
    "maximum minor diameter of the nut",
    "D1_max",
    "D1 + TD1",
    "D1 TD1",
    unit=_IN,
    source="asme-b1-15",
)

_SYMBOL: Final = re.compile(
    r"(?<![A-Za-z])(?P<count>[0-9]{1,2})?UNJ(?P<series>C|F|EF|S)?(?![A-Za-z])", re.IGNORECASE
)


@cache
def sizes() -> tuple[StandardSize, ...]:
    """The pairs of Unified threads under the symbols of the J form.

    Notes
    -----
    Source: asme-b1-15, the series of asme-b1-1.
    """
    return tuple(replace(size, series=_with_j(size.series)) for size in asme_b1_1.UNIFIED.sizes())


def parse(
    text: str, tolerance_class: str | None = None, *, trail: Trail | None = None
) -> CallOut | None:
    """Read a tidied call-out; ``None`` if it is no UNJ thread.

    Raises
    ------
    CalcError
        If it is one, and is wrong, incomplete or ambiguous.

    Examples
    --------
    >>> found = parse("1/4-28 UNJF-3B")
    >>> found.series, found.side
    ('UNJF', 'internal')
    """
    if _SYMBOL.search(text) is None:
        return None
    plain = _SYMBOL.sub(
        lambda match: f"{match['count'] or ''}UN{match['series'] or ''}", text, count=1
    )
    found = asme_b1_1.UNIFIED.parse(plain, tolerance_class, trail=trail)
    return None if found is None else _of_unified(found)


def read(fields: Fields, *, trail: Trail | None = None) -> CallOut:
    """Make the call-out from fields, lengths in inch.

    Raises
    ------
    CalcError
        If a value is missing or wrong.
    """
    series = (fields.series or "UNJ").upper().replace("J", "", 1)
    return _of_unified(asme_b1_1.UNIFIED.read(replace(fields, series=series), trail=trail))


def _of_unified(call_out: CallOut) -> CallOut:
    """The J thread of a Unified call-out, if its class has been computed for it."""
    name = call_out.tolerance_class.removeprefix("SE")
    if name not in CLASSES:
        raise NotTabulatedError(
            f"class {name} of UNJ is not computed: its "
            + ("minor diameter tolerance" if name.endswith("B") else "place in the standard")
            + " was not reached",
            parameter="tolerance_class",
            value=call_out.tolerance_class,
            accepted=", ".join(CLASSES),
        )
    return replace(call_out, family=KEY, series=_with_j(call_out.series))


def _with_j(series: str) -> str:
    return series.replace("UN", "UNJ", 1)


def limits(
    call_out: CallOut, *, rounding: str | None = None, trail: Trail | None = None
) -> ThreadLimits:
    """Limits of size of one UNJ thread [in].

    Raises
    ------
    CalcError
        As the UN thread of the same size and class.

    Notes
    -----
    Source: asme-b1-15, memory and derivation; asme-b1-1 for major and pitch diameter.

    Examples
    --------
    Recalled values of 1/4-28 UNJF-3B: minor diameter 0.2152 to 0.2229.

    >>> limits(parse("1/4-28 UNJF-3B")).limits.minor_diameter
    Span(max=0.2229, min=0.2152)
    """
    plain = replace(call_out, family="unified", series=call_out.series.replace("J", "", 1))
    found = asme_b1_1.limits(plain, rounding=rounding, trail=trail)
    compute = _rounded(rounding, trail)
    d, p = found.nominal_diameter, found.pitch
    basic_minor = compute(_INTERNAL_MINOR, d, p)
    external_minor = compute(_EXTERNAL_MINOR, d, p, found.allowance)
    if found.side == "external":
        minor = Span(
            max=external_minor,
            min=compute(_EXTERNAL_MINOR_MIN, found.limits.pitch_diameter.min or 0.0, p),
        )
    else:
        formula = unified.minor_tolerance("3B", d, found.threads_per_inch or 1 / p)
        minor = Span(max=compute(_MINOR_MAX, basic_minor, compute(formula, d, p)), min=basic_minor)
        _check_crest(found, minor)
    return replace(
        found,
        designation=found.designation.replace("UN", "UNJ", 1),
        family=KEY,
        standard=STANDARD,
        series=call_out.series,
        form=_FORM,
        basic=replace(found.basic, minor_diameter=basic_minor),
        limits=replace(found.limits, minor_diameter=minor),
        reference=MappingProxyType(
            {
                **{key: value for key, value in found.reference.items() if "minor" not in key},
                "basic_external_minor_diameter": compute(_EXTERNAL_MINOR, d, p, 0.0),
                "thread_height": 9 / 16 * _HEIGHT * p,
            }
        ),
        root_radius=Span(max=compute(_RADIUS_MAX, p), min=compute(_RADIUS_MIN, p))
        if found.side == "external"
        else found.root_radius,
        stress_area=None,
        basis="major and pitch diameter: "
        + found.basis
        + "; that UNJ shares them: foreword of SAE AS8879; root radii and thread height published, "
        "minor diameters derived from them; tolerance of the internal minor diameter: memory. No "
        "published UNJ table was reached",
    )


def _check_crest(found: ThreadLimits, minor: Span) -> None:
    """Refuse a nut whose crest tolerance, being recalled, reaches past the pitch line.

    It does so for the finest small sizes, so that the recalled rule cannot be the standard's there.
    """
    if (minor.max or 0.0) >= (found.limits.pitch_diameter.min or 0.0):
        raise NotTabulatedError(
            f"{found.designation.replace('UN', 'UNJ', 1)}: the recalled tolerance of the minor "
            f"diameter reaches {minor.max:g} in, past the pitch diameter; the standard's own value "
            "for this size was not reached",
            parameter="nominal_diameter",
            value=found.nominal_diameter,
            accepted="larger sizes, or the outside thread",
        )


def _rounded(rounding: str | None, trail: Trail | None) -> Callable[..., float]:
    """Four decimals, ties to even, unless nothing is to be rounded."""
    if rounding == "exact":
        return lambda formula, *values: formula(trail, *values)
    return lambda formula, *values: formula.rounded(trail, *values, to=half_even, places=PLACES)


_FORM: Final = ThreadForm(
    name="Unified J, 60 degrees, controlled root radius",
    pressure_flank_angle_deg=30.0,
    clearance_flank_angle_deg=30.0,
    addendum_ratio=3 / 8 * _HEIGHT,
    dedendum_ratio=3 / 16 * _HEIGHT,
    external_root_ratio=_HEIGHT / 2 - 0.15010841,
    internal_root_ratio=3 / 8 * _HEIGHT,
    external_root_flat_ratio=0.0,
    internal_root_flat_ratio=1 / 8,
)
"""The smallest root radius touches the flanks and ends H/2 less itself below the pitch line."""

FAMILY: Final = Family(
    key=KEY,
    title="Unified inch screw threads of controlled root radius",
    standard=STANDARD,
    unit="in",
    symbols=SYMBOLS,
    classes=CLASSES,
    parse=parse,
    read=read,
    limits=limits,
    sizes=sizes,
)
