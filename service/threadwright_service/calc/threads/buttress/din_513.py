"""Metric buttress threads, DIN 513: S, 3°/30°, basic profile only [mm].

The pressure flank stands at 3°, the clearance flank at 30°. The profile is recalled, not read,
and **no tolerance of the standard was reached**: a call-out with a class is refused, one without
is answered with basic dimensions and no limits.

Keys of the result: ``basic``, and in ``reference`` ``external_minor_diameter`` (d3),
``thread_height`` (H1), ``external_thread_height`` (h3), ``root_clearance`` (ac). ``root_radius`` is
R.
"""

from __future__ import annotations

import math
import re
from functools import cache
from typing import Final

from threadwright_service.calc.errors import InfeasibleError, MissingInputError, NotTabulatedError
from threadwright_service.calc.rounding import half_up
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.metric_size import MetricSize, from_fields, take_apart
from threadwright_service.calc.threads.near_sizes import near_sizes
from threadwright_service.calc.threads.record import record
from threadwright_service.calc.threads.registry import Family, Fields, StandardSize
from threadwright_service.calc.threads.rounding_rule import only_rule
from threadwright_service.calc.threads.side_words import side_of, without_side
from threadwright_service.calc.threads.thread import (
    NO_LIMIT,
    DiameterLimits,
    Diameters,
    Side,
    Span,
    ThreadForm,
    ThreadLimits,
)
from threadwright_service.calc.threads.trapezoidal import iso_2902
from threadwright_service.calc.trail import Formula, Trail

KEY: Final = "buttress-metric"
SERIES: Final = "S"
STANDARD: Final = "DIN 513"
PRESSURE_FLANK_DEG: Final = 3.0
CLEARANCE_FLANK_DEG: Final = 30.0
LEAST_PLAN_MM: Final = 10.0
ROUNDING_RULE: Final = "basic dimensions to 0.001 mm, half up"
_OPEN_SIDE: Final = "the call-out does not say screw or nut"

_PITCH_DIAMETER: Final = Formula(
    "basic pitch diameter", "d2", "d - 0.75 * P", "d P", unit="mm", source="din-513, memory"
)
_MINOR: Final = Formula(
    "basic minor diameter of the nut",
    "D1",
    "d - 1.5 * P",
    "d P",
    unit="mm",
    source="din-513, memory",
)
_EXTERNAL_MINOR: Final = Formula(
    "minor diameter of the screw",
    "d3",
    "d - 1.73554 * P",
    "d P",
    unit="mm",
    source="din-513, memory",
)
_RADIUS: Final = Formula(
    "root radius", "R", "0.12427 * P", "P", unit="mm", source="din-513, memory"
)
_SYMBOL: Final = re.compile(r"S[ ]?(?=[0-9])", re.IGNORECASE)


@cache
def sizes() -> tuple[StandardSize, ...]:
    """The plan: that of trapezoidal threads from 10 mm.

    Notes
    -----
    Source: din-513, memory; iso-2902 for the pairs.
    """
    return tuple(
        StandardSize(
            series=SERIES, size=each.size, nominal_diameter=each.nominal_diameter, pitch=each.pitch
        )
        for each in iso_2902.sizes()
        if each.nominal_diameter >= LEAST_PLAN_MM
    )


def parse(
    text: str, tolerance_class: str | None = None, *, trail: Trail | None = None
) -> CallOut | None:
    """Read a tidied call-out; ``None`` if it is no metric buttress thread.

    Raises
    ------
    CalcError
        If it is one with a class, or is wrong or incomplete.

    Examples
    --------
    >>> found = parse("S 40x14(P7) LH")
    >>> found.pitch, found.starts, found.hand
    (7.0, 2, 'left')
    """
    del trail
    plain, side = without_side(text)
    size = take_apart(plain, _SYMBOL)
    if size is None:
        return None
    word = (size.rest or tolerance_class or "").strip(" -()")
    if word:
        raise _no_class(word, text)
    return _call_out(size, side, None)


def read(fields: Fields, *, trail: Trail | None = None) -> CallOut:
    """Make the call-out from fields, lengths in mm.

    Raises
    ------
    CalcError
        If a class is given, or a value is missing or wrong.
    """
    del trail
    if fields.tolerance_class:
        raise _no_class(fields.tolerance_class, fields.tolerance_class)
    return _call_out(from_fields(fields, symbol=SERIES), fields.side, fields.length_of_engagement)


def _call_out(size: MetricSize, side: Side | None, engagement_mm: float | None) -> CallOut:
    """The record, once the pitch is known to be there."""
    if size.pitch_mm is None:
        near = near_sizes(sizes(), nominal_diameter=size.diameter_mm, pitch=None)
        raise MissingInputError(
            f"S{size.diameter_mm:g} has no pitch",
            parameter="pitch",
            accepted=f"as in S40x7; near sizes: {near}",
        )
    return CallOut(
        family=KEY,
        series=SERIES,
        size=f"{size.diameter_mm:g}",
        nominal_diameter=size.diameter_mm,
        pitch=size.pitch_mm,
        tolerance_class="",
        side=side or "external",
        side_stated=side is not None,
        hand=size.hand,
        starts=size.starts,
        length_of_engagement=engagement_mm,
    )


def _no_class(word: str, text: str) -> NotTabulatedError:
    return NotTabulatedError(
        f"'{word}': the tolerances of DIN 513 were not reached, so no class is computed",
        parameter="tolerance_class",
        value=text,
        accepted="no class, as S40x7: the basic profile without limits",
    )


def limits(
    call_out: CallOut,
    *,
    rounding: str | None = None,
    trail: Trail | None = None,
    side: Side | None = None,
) -> ThreadLimits:
    """Basic dimensions of one metric buttress thread, without limits [mm].

    Raises
    ------
    InfeasibleError
        If the pitch leaves no core.
    AmbiguousError
        If the call-out says one side and ``side`` the other.

    Notes
    -----
    Source: din-513, memory. That the flanks meet half the pitch on d2 with this crest was
    checked by derivation.
    """
    only_rule(rounding)
    side = side_of(call_out, side, trail, reason=_OPEN_SIDE)
    d, p = call_out.nominal_diameter, call_out.pitch
    if d - 1.73554 * p < 0.25 * d:
        raise InfeasibleError(
            f"a pitch of {p:g} mm leaves less than a quarter of {d:g} mm as core",
            parameter="pitch",
            value=p,
            accepted=f"near sizes: {near_sizes(sizes(), nominal_diameter=d, pitch=p)}",
        )
    basic = Diameters(
        major_diameter=half_up(d, 3),
        pitch_diameter=_PITCH_DIAMETER.rounded(trail, d, p, to=half_up, places=3),
        minor_diameter=_MINOR.rounded(trail, d, p, to=half_up, places=3),
    )
    starts = f"(P{p:g})" if call_out.starts > 1 else ""
    hand = " LH" if call_out.hand == "left" else ""
    return record(
        call_out,
        side=side,
        designation=f"S{call_out.size}x{p * call_out.starts:g}{starts}{hand}",
        standard=STANDARD,
        unit="mm",
        form=_FORM,
        basic=basic,
        limits=DiameterLimits(
            major_diameter=NO_LIMIT, pitch_diameter=NO_LIMIT, minor_diameter=NO_LIMIT
        ),
        reference={
            "external_minor_diameter": _EXTERNAL_MINOR.rounded(trail, d, p, to=half_up, places=3),
            "thread_height": half_up(0.75 * p, 3),
            "external_thread_height": half_up(0.86777 * p, 3),
            "root_clearance": half_up(0.11777 * p, 3),
        },
        root_radius=Span(max=_RADIUS.rounded(trail, p, to=half_up, places=3), min=None),
        rounding_rule=ROUNDING_RULE,
        basis=_basis(call_out, trail),
    )


def _basis(call_out: CallOut, trail: Trail | None) -> str:
    """Note what is missing; what is returned is the basis."""
    parts = ["profile: memory only; no tolerances: those of DIN 513 were not reached"]
    d, p = call_out.nominal_diameter, call_out.pitch
    if trail is not None:
        trail.caution(
            "no-limits",
            "these are basic dimensions recalled from DIN 513, without limits; take the "
            "tolerances from the drawing or the standard",
        )
    if not any(each.nominal_diameter == d and each.pitch == p for each in sizes()):
        parts.append("not tabulated: this pair is not in the plan")
        if trail is not None:
            trail.caution(
                "not-tabulated",
                f"S{call_out.size}x{p:g} is not in the plan; near sizes: "
                f"{near_sizes(sizes(), nominal_diameter=d, pitch=p)}",
            )
    return "; ".join(parts)


_SLOPE: Final = math.tan(math.radians(PRESSURE_FLANK_DEG)) + math.tan(
    math.radians(CLEARANCE_FLANK_DEG)
)
_FORM: Final = ThreadForm(
    name="metric buttress, 3° and 30°",
    pressure_flank_angle_deg=PRESSURE_FLANK_DEG,
    clearance_flank_angle_deg=CLEARANCE_FLANK_DEG,
    addendum_ratio=0.375,
    dedendum_ratio=0.375,
    external_root_ratio=0.86777 - 0.375,
    internal_root_ratio=0.375,
    external_root_flat_ratio=0.0,
    internal_root_flat_ratio=0.5 - 0.375 * _SLOPE,
)

FAMILY: Final = Family(
    key=KEY,
    title="Metric buttress threads, 3°/30°",
    standard=STANDARD,
    unit="mm",
    symbols=(SERIES,),
    classes=(),
    parse=parse,
    read=read,
    limits=limits,
    sizes=sizes,
    options=("side",),
)
