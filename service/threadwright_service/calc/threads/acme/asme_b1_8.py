"""Stub Acme screw threads, ASME B1.8: 29°, height 0.3 P, class 2G [in].

The form table is published; no public table of limits was reached, so the limits follow the
rules of ASME B1.5 on these basic dimensions, from memory, and say so.

Keys of the result beside the limits: ``reference.height_basic`` (0.3 P), ``height_total``,
``thickness`` (P/2), ``crest_flat_internal`` (0.4224 P), ``root_flat_internal``,
``pitch_diameter_tolerance`` and the mating member's limits as ``mating_major_diameter_max`` ….
"""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import Final

from threadwright_service.calc.rounding import half_even
from threadwright_service.calc.threads.acme import acme_call_out, acme_limits
from threadwright_service.calc.threads.acme.acme_limits import PLACES, above, below
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.record import record
from threadwright_service.calc.threads.registry import Family, Fields, StandardSize
from threadwright_service.calc.threads.rounding_rule import only_rule
from threadwright_service.calc.threads.side_words import side_of
from threadwright_service.calc.threads.thread import (
    DiameterLimits,
    Diameters,
    Side,
    ThreadLimits,
)
from threadwright_service.calc.trail import Formula, Trail

KEY: Final = "stub-acme"
ROUNDING_RULE: Final = (
    "basic dimensions, allowances and tolerances to 0.0001 in, ties to even, then exact sums; "
    "external minor minimum rounded once"
)
_BASIS: Final = (
    "form published (77 of 77 values); limits by the rules of ASME B1.5 on this form: memory, no "
    "public table was reached"
)
CLASS_OF_THE_STANDARD: Final = "2G"
_HEIGHT_RATIO: Final = 0.3

_PITCH_DIAMETER: Final = Formula(
    "basic pitch diameter", "E", "D - 0.3 * P", "D P", unit="in", source="asme-b1-8"
)
_MINOR: Final = Formula(
    "basic minor diameter", "K", "D - 0.6 * P", "D P", unit="in", source="asme-b1-8"
)
_HEIGHT: Final = Formula(
    "basic height of thread", "h", "0.3 * P", "P", unit="in", source="asme-b1-8"
)
_TOTAL_HEIGHT: Final = Formula(
    "total height of thread", "hs", "0.3 * P + C / 2", "P C", unit="in", source="asme-b1-8"
)
_CREST_FLAT: Final = Formula(
    "width of the internal crest flat", "Fcn", "0.4224 * P", "P", unit="in", source="asme-b1-8"
)
_FLAT_LESS: Final = Formula(
    "what the clearance takes off the root flat",
    "0.259 C",
    "0.259 * C",
    "C",
    unit="in",
    source="asme-b1-8",
)


def form_dimensions(
    *, threads_per_inch: float, trail: Trail | None = None
) -> MappingProxyType[str, float]:
    """The form table: heights, thickness and flats of one pitch [in].

    Notes
    -----
    Source: asme-b1-8, form table, as machinerys-handbook-27, p. 1844 Table 13, prints it; 77 of
    77 values. The root flat is the difference of two rounded numbers.

    Examples
    --------
    The row of 10 threads per inch:

    >>> dict(form_dimensions(threads_per_inch=10))["root_flat_internal"]
    0.037
    """
    pitch = 1 / threads_per_inch
    clearance = acme_limits.clearance_in(threads_per_inch)
    crest = _CREST_FLAT.rounded(trail, pitch, to=half_even, places=PLACES)
    less = _FLAT_LESS.rounded(trail, clearance, to=half_even, places=PLACES)
    return MappingProxyType(
        {
            "height_basic": _HEIGHT.rounded(trail, pitch, to=half_even, places=5),
            "height_total": _TOTAL_HEIGHT.rounded(
                trail, pitch, clearance, to=half_even, places=PLACES
            ),
            "thickness": half_even(pitch / 2, 5),
            "crest_flat_internal": crest,
            "root_flat_internal": half_even(crest - less, PLACES),
        }
    )


def limits(
    call_out: CallOut,
    *,
    rounding: str | None = None,
    trail: Trail | None = None,
    side: Side | None = None,
) -> ThreadLimits:
    """Limits of size of one Stub Acme thread [in].

    Raises
    ------
    OutOfRangeError
        If the size is above 5 1/2 in, where the allowances end.
    InfeasibleError
        If the pitch leaves no core.
    AmbiguousError
        If the call-out says one side and ``side`` the other.

    Notes
    -----
    Source: asme-b1-8 for the form; limits by the rules of asme-b1-5 on it (memory).
    """
    only_rule(rounding)
    side = side_of(call_out, side, trail, reason=acme_call_out.OPEN_SIDE)
    call_out = _with_class(call_out, trail)
    d, p = call_out.nominal_diameter, call_out.pitch
    count = call_out.threads_per_inch or 1 / p
    basic = Diameters(
        major_diameter=half_even(d, PLACES),
        pitch_diameter=_PITCH_DIAMETER.rounded(trail, d, p, to=half_even, places=PLACES),
        minor_diameter=_MINOR.rounded(trail, d, p, to=half_even, places=PLACES),
    )
    acme_limits.checked_core(call_out, basic_minor_in=basic.minor_diameter)
    clearance = acme_limits.clearance_in(count)
    allowance = acme_limits.allowance_in(
        nominal_diameter_in=d, tolerance_class=call_out.tolerance_class, trail=trail
    )
    exact_tolerance = acme_limits.pitch_tolerance_in(
        nominal_diameter_in=d, pitch_in=p, tolerance_class=call_out.tolerance_class, trail=trail
    )
    external, internal = _members(basic, p, clearance, allowance, exact_tolerance, trail)
    found, mating = (external, internal) if side == "external" else (internal, external)
    return record(
        call_out,
        designation=acme_call_out.designation(call_out, call_out.tolerance_class),
        standard="ASME/ANSI B1.8-1988",
        unit="in",
        side=side,
        form=acme_limits.acme_form(
            name="Stub Acme, 29°", height_ratio=_HEIGHT_RATIO, clearance_in=clearance, pitch_in=p
        ),
        basic=basic,
        allowance=allowance if side == "external" else 0.0,
        allowances={
            "major_diameter": 0.0 if side == "external" else clearance,
            "minor_diameter": clearance if side == "external" else 0.0,
        },
        limits=found,
        reference=acme_limits.with_mating_limits(
            {
                **form_dimensions(threads_per_inch=count, trail=trail),
                "pitch_diameter_tolerance": half_even(exact_tolerance, PLACES),
            },
            mating,
        ),
        rounding_rule=ROUNDING_RULE,
        basis=_BASIS + acme_limits.cautions(call_out, standard="ASME B1.8", trail=trail),
    )


def _members(
    basic: Diameters,
    pitch: float,
    clearance: float,
    allowance: float,
    exact_tolerance: float,
    trail: Trail | None,
) -> tuple[DiameterLimits, DiameterLimits]:
    """Limits of screw and nut."""
    crest = acme_limits.CREST_TOLERANCE.rounded(trail, pitch, to=half_even, places=PLACES)
    tolerance = half_even(exact_tolerance, PLACES)
    external = DiameterLimits(
        major_diameter=below(basic.major_diameter, crest),
        pitch_diameter=below(basic.pitch_diameter - allowance, tolerance),
        minor_diameter=acme_limits.external_minor(
            basic.minor_diameter, clearance, exact_tolerance, trail
        ),
    )
    internal = DiameterLimits(
        major_diameter=above(basic.major_diameter + clearance, clearance),
        pitch_diameter=above(basic.pitch_diameter, tolerance),
        minor_diameter=above(basic.minor_diameter, crest),
    )
    return external, internal


def _with_class(call_out: CallOut, trail: Trail | None) -> CallOut:
    """The standard has one class; a call-out without any means it."""
    if call_out.tolerance_class:
        return call_out
    if trail is not None:
        trail.assume(
            "tolerance_class",
            CLASS_OF_THE_STANDARD,
            "the call-out names none, and ASME B1.8 establishes this class alone",
        )
    return replace(call_out, tolerance_class=CLASS_OF_THE_STANDARD)


def parse(
    text: str, tolerance_class: str | None = None, *, trail: Trail | None = None
) -> CallOut | None:
    """Read a tidied call-out; ``None`` if it is no Stub Acme thread."""
    del trail
    return acme_call_out.parse(text, tolerance_class, family=KEY, stub=True)


def read(fields: Fields, *, trail: Trail | None = None) -> CallOut:
    """Make the call-out from fields, lengths in inch."""
    del trail
    return acme_call_out.read(fields, family=KEY, stub=True)


def sizes() -> tuple[StandardSize, ...]:
    """The preferred series of Stub Acme threads."""
    return acme_call_out.sizes(acme_call_out.STUB)


FAMILY: Final = Family(
    key=KEY,
    title="Stub Acme screw threads",
    standard="ASME/ANSI B1.8-1988",
    unit="in",
    symbols=(acme_call_out.STUB,),
    classes=acme_call_out.STUB_CLASSES,
    parse=parse,
    read=read,
    limits=limits,
    sizes=sizes,
    options=("side",),
)
