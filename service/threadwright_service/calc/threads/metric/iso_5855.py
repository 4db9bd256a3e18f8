"""Metric threads of controlled root radius, ISO 5855 (ASME B1.21M): MJ [mm].

Major and pitch diameter are those of the M thread of the same class; the root radius of the
screw is mandatory and both minor diameters are raised. **No public MJ table was reached**: the
whole module rests on memory, and the answer says so. Classes: 4h6h outside; inside 4H6H up to 5
mm, 4H5H above.

Keys of the result beside the limits: ``reference.basic_external_minor_diameter``,
``thread_height`` (9H/16), and what the M thread has in ``reference`` for the major diameter.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import cache
from types import MappingProxyType
from typing import Final

from threadwright_service.calc.errors import CalcError, MissingInputError, NotTabulatedError
from threadwright_service.calc.rounding import half_up
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.metric import iso_965_1
from threadwright_service.calc.threads.registry import Family, Fields, StandardSize
from threadwright_service.calc.threads.thread import Span, ThreadForm, ThreadLimits
from threadwright_service.calc.trail import Formula, Trail

KEY: Final = "iso-metric-j"
STANDARD: Final = "ISO 5855"
SERIES: Final = "MJ"
CLASSES: Final = ("4h6h", "4H6H", "4H5H")
LAST_OF_4H6H_MM: Final = 5.0
"""Up to this diameter the inside class is 4H6H, above it 4H5H."""
LEAST_MM: Final = 1.6
FINEST_MM: Final = 0.35
PLACES: Final = 3
_MM: Final = "mm"
_HEIGHT: Final = 0.866025404

_INTERNAL_MINOR: Final = Formula(
    "basic minor diameter of the nut", "D1", "D - 0.974279 * P", "D P",
    unit=_MM, source="iso-5855, memory",
)  # fmt: skip
_EXTERNAL_MINOR: Final = Formula(
    "maximum minor diameter of the screw", "d3_max", "d - 1.154701 * P - es", "d P es",
    unit=_MM, source="iso-5855, memory",
)  # fmt: skip
_EXTERNAL_MINOR_MIN: Final = Formula(
    "minimum minor diameter of the screw", "d3_min", "d2_min - 0.565806 * P", "d2_min P",
    unit=_MM, source="iso-5855, memory",
)  # fmt: skip
_MINOR_MAX: Final = Formula(
    "maximum minor diameter of the nut", "D1_max", "D1 + TD1", "D1 TD1",
    unit=_MM, source="iso-5855, memory",
)  # fmt: skip
_RADIUS_MIN: Final = Formula(
    "smallest root radius", "R min", "0.15011 * P", "P", unit=_MM, source="iso-5855, memory"
)
_RADIUS_MAX: Final = Formula(
    "largest root radius", "R max", "0.18042 * P", "P", unit=_MM, source="iso-5855, memory"
)
_SYMBOL: Final = re.compile(r"MJ(?= ?[0-9.])", re.IGNORECASE)


@cache
def sizes() -> tuple[StandardSize, ...]:
    """The pairs of the general plan of metric threads, which MJ shares from MJ1.6 and 0.35 mm.

    Notes
    -----
    Source: iso-5855, memory; iso-261.
    """
    return tuple(
        replace(size, series=SERIES)
        for size in iso_965_1.ISO_METRIC.sizes()
        if size.nominal_diameter >= LEAST_MM and size.pitch >= FINEST_MM
    )


def parse(
    text: str, tolerance_class: str | None = None, *, trail: Trail | None = None
) -> CallOut | None:
    """Read a tidied call-out; ``None`` if it is no MJ thread.

    Raises
    ------
    CalcError
        If it is one, and is wrong, incomplete or ambiguous.

    Examples
    --------
    >>> found = parse("MJ6x1-4H5H")
    >>> found.series, found.side
    ('MJ', 'internal')
    """
    if _SYMBOL.match(text) is None:
        return None
    plain = _SYMBOL.sub("M", text, count=1)
    with _in_terms_of_mj(plain, text):
        found = iso_965_1.ISO_METRIC.parse(plain, tolerance_class, trail=trail)
    return None if found is None else _of_metric(found)


def read(fields: Fields, *, trail: Trail | None = None) -> CallOut:
    """Make the call-out from fields, lengths in mm.

    Raises
    ------
    CalcError
        If a value is missing or wrong.
    """
    size = fields.nominal_diameter
    if isinstance(size, str):
        size = _SYMBOL.sub("", size.strip())
    plain = replace(fields, series="M", nominal_diameter=size)
    with _in_terms_of_mj():
        found = iso_965_1.ISO_METRIC.read(plain, trail=trail)
    return _of_metric(found)


@contextmanager
def _in_terms_of_mj(plain: str = "", written: str = "") -> Iterator[None]:
    """Let a refusal of the M thread name what was written and the classes of this standard."""
    try:
        yield
    except CalcError as refused:
        if isinstance(refused, MissingInputError) and refused.parameter == "tolerance_class":
            raise MissingInputError(
                "the MJ thread needs a tolerance class",
                parameter="tolerance_class",
                accepted="4h6h outside; inside 4H6H up to 5 mm, 4H5H above",
            ) from None
        if plain and plain in str(refused):
            raise type(refused)(
                str(refused).replace(plain, written),
                parameter=refused.parameter,
                value=written,
                accepted=refused.accepted,
            ) from None
        raise


def _of_metric(call_out: CallOut) -> CallOut:
    """The J thread of a metric call-out, if its class is one of the standard's."""
    small = call_out.nominal_diameter <= LAST_OF_4H6H_MM
    accepted = {"external": "4h6h", "internal": "4H6H" if small else "4H5H"}
    if call_out.tolerance_class != accepted[call_out.side]:
        raise NotTabulatedError(
            f"class {call_out.tolerance_class} of MJ{call_out.size} is not computed: ISO 5855 has "
            "4h6h outside, and inside 4H6H up to 5 mm and 4H5H above (recalled)",
            parameter="tolerance_class",
            value=call_out.tolerance_class,
            accepted=f"{accepted['external']} outside, {accepted['internal']} inside",
        )
    return replace(call_out, family=KEY, series=SERIES)


def limits(
    call_out: CallOut, *, rounding: str | None = None, trail: Trail | None = None
) -> ThreadLimits:
    """Limits of size of one MJ thread [mm].

    Raises
    ------
    CalcError
        As the M thread of the same size and class.

    Notes
    -----
    Source: iso-5855, memory; iso-965-1 for major and pitch diameter.

    Examples
    --------
    MJ6x1-4H5H by the rule: D1 = 6 - 0.974 = 5.026, tolerance of grade 5 at P = 1 is 190 um:

    >>> limits(parse("MJ6x1-4H5H")).limits.minor_diameter
    Span(max=5.216, min=5.026)
    """
    plain = replace(call_out, family="iso-metric", series="M")
    found = iso_965_1.ISO_METRIC.limits(plain, rounding=rounding, trail=trail)

    def length(formula: Formula, *values: float) -> float:
        return formula.rounded(trail, *values, to=half_up, places=PLACES)

    d, p = found.nominal_diameter, found.pitch
    basic_minor = length(_INTERNAL_MINOR, d, p)
    if found.side == "external":
        minor = Span(
            max=length(_EXTERNAL_MINOR, d, p, found.allowance),
            min=length(_EXTERNAL_MINOR_MIN, found.limits.pitch_diameter.min or 0.0, p),
        )
    else:
        tolerance = half_up(found.limits.minor_diameter.tolerance or 0.0, PLACES)
        minor = Span(max=length(_MINOR_MAX, basic_minor, tolerance), min=basic_minor)
    return replace(
        found,
        designation=found.designation.replace("M", "MJ", 1),
        family=KEY,
        standard=STANDARD,
        series=SERIES,
        form=_FORM,
        basic=replace(found.basic, minor_diameter=basic_minor),
        limits=replace(found.limits, minor_diameter=minor),
        reference=MappingProxyType(
            {
                **{key: value for key, value in found.reference.items() if "minor" not in key},
                "basic_external_minor_diameter": length(_EXTERNAL_MINOR, d, p, 0.0),
                "thread_height": 9 / 16 * _HEIGHT * p,
            }
        ),
        root_radius=Span(max=length(_RADIUS_MAX, p), min=length(_RADIUS_MIN, p))
        if found.side == "external"
        else found.root_radius,
        stress_area=None,
        basis="memory only: ISO 5855 and ASME B1.21M were not reached; major and pitch diameter "
        f"as the M thread ({found.basis})",
    )


_FORM: Final = ThreadForm(
    name="ISO metric J, 60 degrees, controlled root radius",
    pressure_flank_angle_deg=30.0,
    clearance_flank_angle_deg=30.0,
    addendum_ratio=3 / 8 * _HEIGHT,
    dedendum_ratio=3 / 16 * _HEIGHT,
    external_root_ratio=_HEIGHT / 2 - 0.15011,
    internal_root_ratio=3 / 8 * _HEIGHT,
    external_root_flat_ratio=0.0,
    internal_root_flat_ratio=1 / 8,
)
"""The smallest root radius touches the flanks and ends H/2 less itself below the pitch line."""

FAMILY: Final = Family(
    key=KEY,
    title="Metric screw threads of controlled root radius",
    standard=STANDARD,
    unit="mm",
    symbols=(SERIES,),
    classes=CLASSES,
    parse=parse,
    read=read,
    limits=limits,
    sizes=sizes,
)
