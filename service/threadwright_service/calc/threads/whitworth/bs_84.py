"""Threads of Whitworth form, BS 84: BSW, BSF and special pairs [in].

Form and basic diameters are published or reproduce recalled rows, and so are the shares that the
classes have in the tolerance of the effective diameter. **That tolerance itself and the amount of
the allowance of medium and free bolts up to 3/4 in are recalled, not read**; the answer says so.

Keys of the result beside the limits: ``reference.triangle_height`` (H), ``thread_height`` (h),
``crest_radius`` (r), ``tolerance_unit`` (T of the standard's formula),
``pitch_diameter_tolerance`` (of the effective diameter), ``major_diameter_tolerance``,
``minor_diameter_tolerance``. The effective diameter is ``pitch_diameter``.
"""

from __future__ import annotations

from typing import Final

from threadwright_service.calc import tables
from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.rounding import half_up
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.near_sizes import near_sizes
from threadwright_service.calc.threads.pipe.whitworth_pipe import whitworth_form
from threadwright_service.calc.threads.record import record
from threadwright_service.calc.threads.registry import Family
from threadwright_service.calc.threads.rounding_rule import only_rule
from threadwright_service.calc.threads.side_words import side_of
from threadwright_service.calc.threads.thread import (
    DiameterLimits,
    Diameters,
    Side,
    Span,
    ThreadLimits,
)
from threadwright_service.calc.threads.whitworth import bs_84_call_out as call_outs
from threadwright_service.calc.trail import Formula, Trail

STANDARD: Final = "BS 84:1956"
PLACES: Final = 4
ROUNDING_RULE: Final = (
    "height of thread to 0.0001 in first, then diameters; allowance and tolerances to 0.0001 in, "
    "half up; then exact sums"
)
ALLOWANCE_UP_TO_IN: Final = 0.75
ALLOWANCE_FROM_IN: Final = 0.25
"""Smaller sizes of a series take the allowance of its 1/4 in size."""
MOST_IN: Final = 6.0
FINE_NUT_FROM: Final = 26
COARSE_NUT_UP_TO: Final = 20

_HEIGHT: Final = Formula(
    "height of thread", "h", "0.640327 * p", "p", unit="in", source="bs-84, basic form"
)
_TRIANGLE: Final = Formula(
    "height of the triangle", "H", "0.960491 * p", "p", unit="in", source="bs-84, basic form"
)
_RADIUS: Final = Formula(
    "radius of crest and root", "r", "0.137329 * p", "p", unit="in", source="bs-84, basic form"
)
_EFFECTIVE: Final = Formula(
    "basic effective diameter", "E", "D - h", "D h", unit="in", source="bs-84"
)
_MINOR: Final = Formula("basic minor diameter", "K", "D - 2 * h", "D h", unit="in", source="bs-84")
_UNIT: Final = Formula(
    "tolerance of the effective diameter, medium class",
    "T",
    "0.002 * cbrt(D) + 0.003 * sqrt(L) + 0.005 * sqrt(p)",
    "D L p",
    unit="in",
    source="bs-84, memory",
)
_TOLERANCE: Final = Formula(
    "tolerance of one diameter",
    "tol",
    "k * T + c * sqrt(p)",
    "k T c p",
    unit="in",
    source="bs-84, memory",
)
_NUT_MINOR: Final = Formula(
    "tolerance of the nut's minor diameter",
    "tol",
    "0.2 * p + c",
    "p c",
    unit="in",
    source="bs-84, memory",
)
_ALLOWANCE: Final = Formula(
    "allowance of the bolt", "A", "0.3 * T", "T", unit="in", source="bs-84, memory"
)


def limits(
    call_out: CallOut,
    *,
    rounding: str | None = None,
    trail: Trail | None = None,
    side: Side | None = None,
) -> ThreadLimits:
    """Limits of size of one thread of Whitworth form [in].

    Raises
    ------
    OutOfRangeError
        If the size is above 6 in.
    InfeasibleError
        If the pitch leaves no core.
    AmbiguousError
        If the call-out says one side and ``side`` the other.

    Notes
    -----
    Source: bs-84, basic form, as machinerys-handbook-31, p. 2087 Table 2, prints it; tolerances
    and allowance from memory.

    Examples
    --------
    3/16-24 BSW, effective 0.1608 and minor 0.1341 (a public table of BSW):

    >>> thread = limits(call_outs.parse("3/16-24 BSW close"))
    >>> thread.basic.pitch_diameter, thread.basic.minor_diameter
    (0.1608, 0.1341)
    """
    only_rule(rounding)
    side = side_of(call_out, side, trail, reason=call_outs.OPEN_SIDE)
    d, p = call_out.nominal_diameter, call_out.pitch
    basic = _basic(call_out, trail)
    engagement = _engagement(call_out, trail)
    unit = _UNIT(trail, d, engagement, p)
    allowance = _allowance(call_out, side, unit, engagement, trail)
    tolerances = _tolerances(call_out, side, unit, trail)
    radius = _RADIUS.rounded(trail, p, to=half_up, places=6)
    basis = _cautions(call_out, side, trail)
    hand = " LH" if call_out.hand == "left" else ""
    return record(
        call_out,
        side=side,
        designation=f"{call_out.size}-{call_out.threads_per_inch:g} {call_out.series} "
        f"{call_out.tolerance_class}{hand}",
        standard=STANDARD,
        unit="in",
        form=whitworth_form(name="Whitworth, 55°"),
        basic=basic,
        allowance=allowance,
        limits=_sized(basic, side, allowance, tolerances),
        reference={
            "triangle_height": _TRIANGLE.rounded(trail, p, to=half_up, places=6),
            "thread_height": _HEIGHT.rounded(trail, p, to=half_up, places=6),
            "crest_radius": radius,
            "tolerance_unit": half_up(unit, 6),
            **{f"{name}_tolerance": value for name, value in tolerances.items()},
        },
        root_radius=Span(max=radius, min=radius),
        rounding_rule=ROUNDING_RULE,
        basis=basis,
    )


def _basic(call_out: CallOut, trail: Trail | None) -> Diameters:
    """Basic diameters, the height rounded first."""
    d, p = call_out.nominal_diameter, call_out.pitch
    if d > MOST_IN:
        raise OutOfRangeError(
            f"a size of {d:g} in; BS 84 ends at {MOST_IN:g} in",
            parameter="nominal_diameter",
            value=d,
            accepted=f"at most {MOST_IN:g} in",
        )
    height = _HEIGHT.rounded(trail, p, to=half_up, places=PLACES)
    if d - 2 * height < 0.25 * d:
        near = near_sizes(call_outs.sizes(), nominal_diameter=d, pitch=p)
        raise InfeasibleError(
            f"{call_out.threads_per_inch:g} threads per inch leave less than a quarter of {d:g} in "
            "as core",
            parameter="threads_per_inch",
            value=call_out.threads_per_inch,
            accepted=f"near sizes: {near}",
        )
    return Diameters(
        major_diameter=half_up(d, PLACES),
        pitch_diameter=_EFFECTIVE.rounded(trail, d, height, to=half_up, places=PLACES),
        minor_diameter=_MINOR.rounded(trail, d, height, to=half_up, places=PLACES),
    )


def _engagement(call_out: CallOut, trail: Trail | None) -> float:
    """Length of engagement: as given, else one diameter."""
    if call_out.length_of_engagement is not None:
        return call_out.length_of_engagement
    if trail is not None:
        trail.assume(
            "length_of_engagement",
            call_out.nominal_diameter,
            "none given; the tables of BSW and BSF take one diameter (recalled, not read)",
            unit="in",
        )
    return call_out.nominal_diameter


def _allowance(
    call_out: CallOut, side: Side, unit: float, engagement: float, trail: Trail | None
) -> float:
    """Allowance of a medium or free bolt up to 3/4 in; of smaller sizes that of the 1/4 in size."""
    d = call_out.nominal_diameter
    if side == "internal" or call_out.tolerance_class == "close" or d > ALLOWANCE_UP_TO_IN:
        return 0.0
    if trail is not None:
        trail.caution(
            "allowance-from-memory",
            "medium and free bolts of 3/4 in and under have an allowance; its amount, 0.3 T, is "
            "recalled and not confirmed. Agree the limits before parts are made to them.",
        )
    count = call_outs.standard_counts().get((call_out.series, ALLOWANCE_FROM_IN))
    if d < ALLOWANCE_FROM_IN and count is not None:
        share = engagement / d
        unit = _UNIT(trail, ALLOWANCE_FROM_IN, share * ALLOWANCE_FROM_IN, 1 / count)
    return _ALLOWANCE.rounded(trail, unit, to=half_up, places=PLACES)


def _tolerances(
    call_out: CallOut, side: Side, unit: float, trail: Trail | None
) -> dict[str, float]:
    """Tolerances of the three diameters; the nut's major diameter has none."""
    row = tables.load(__package__, "tables/bs_84_classes").row(
        **{"side": side, "class": call_out.tolerance_class}
    )
    p, count = call_out.pitch, call_out.threads_per_inch or 1 / call_out.pitch
    factor = float(row["effective"])

    def tolerance(root_factor: float) -> float:
        return _TOLERANCE.rounded(trail, factor, unit, root_factor, p, to=half_up, places=PLACES)

    if side == "external":
        return {
            "major_diameter": tolerance(float(row["major"])),
            "pitch_diameter": tolerance(0.0),
            "minor_diameter": tolerance(float(row["minor"])),
        }
    constant = 0.004 if count >= FINE_NUT_FROM else 0.007 if count <= COARSE_NUT_UP_TO else 0.005
    return {
        "pitch_diameter": tolerance(0.0),
        "minor_diameter": _NUT_MINOR.rounded(trail, p, constant, to=half_up, places=PLACES),
    }


def _sized(
    basic: Diameters, side: Side, allowance: float, tolerances: dict[str, float]
) -> DiameterLimits:
    """Limits from basic diameters, allowance and tolerances."""

    def below(name: str) -> Span:
        largest = half_up(getattr(basic, name) - allowance, PLACES)
        return Span(max=largest, min=half_up(largest - tolerances[name], PLACES))

    def above(name: str) -> Span:
        smallest: float = getattr(basic, name)
        return Span(max=half_up(smallest + tolerances[name], PLACES), min=smallest)

    if side == "external":
        return DiameterLimits(
            major_diameter=below("major_diameter"),
            pitch_diameter=below("pitch_diameter"),
            minor_diameter=below("minor_diameter"),
        )
    return DiameterLimits(
        major_diameter=Span(max=None, min=basic.major_diameter),
        pitch_diameter=above("pitch_diameter"),
        minor_diameter=above("minor_diameter"),
    )


def _cautions(call_out: CallOut, side: Side, trail: Trail | None) -> str:
    """Note what is recalled or untabulated; what is returned is the basis."""
    parts = [
        "form published (50 of 50 values); basic diameters by its rule, 18 of 18 recalled rows; "
        "shares of the classes published; tolerances: memory only, and the standard's tables are "
        "known to differ from the formulas by 0.0001 in in four major-diameter tolerances"
    ]
    if side == "internal" and call_out.tolerance_class == "close":
        parts.append("close nuts are for special use")
    if side == "external" and call_out.tolerance_class != "close":
        parts.append("allowance up to 3/4 in published, its amount from memory and not confirmed")
    if trail is not None:
        trail.caution(
            "tolerance-from-memory",
            "the tolerances of BS 84 are recalled, not read; check them against the standard "
            "before parts are accepted or refused by them",
        )
    if call_out.series == call_outs.SPECIAL:
        parts.append("not tabulated: a special pair")
        if trail is not None:
            near = near_sizes(
                call_outs.sizes(), nominal_diameter=call_out.nominal_diameter, pitch=call_out.pitch
            )
            trail.caution(
                "not-tabulated",
                f"{call_out.size}-{call_out.threads_per_inch:g} is neither BSW nor BSF here; near "
                f"sizes: {near}",
            )
    if call_out.starts > 1:
        parts.append("limits of the single-start thread")
        if trail is not None:
            trail.caution("several-starts", "BS 84 gives its limits for single-start threads")
    return "; ".join(parts)


FAMILY: Final = Family(
    key=call_outs.KEY,
    title="Parallel screw threads of Whitworth form",
    standard=STANDARD,
    unit="in",
    symbols=call_outs.SYMBOLS,
    classes=call_outs.CLASSES,
    parse=call_outs.parse,
    read=call_outs.read,
    limits=limits,
    sizes=call_outs.sizes,
    options=("side",),
)
