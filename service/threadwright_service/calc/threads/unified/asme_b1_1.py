"""Unified inch threads: UN, UNR, UNC, UNF, UNEF, the constant-pitch series and UNS.

What the answer holds, beside the three basic diameters and the allowance (all in inches):

``limits``
    Outside: major and pitch diameter; the minor diameter has no lower limit, and an upper one
    for UNR alone. Inside: the major diameter has a lower limit alone; pitch and minor both.
``reference`` (printed, but no limits)
    Outside: ``un_minor_diameter_max`` (flat root), ``unr_minor_diameter_max`` (rounded root),
    ``minor_diameter_min``, and for class 2A of UNC and 8UN ``major_diameter_min_unfinished``
    (unfinished, hot-rolled material). Inside: ``major_diameter_max``.

The tolerance goes by the length of engagement: one diameter or nine pitches by series. A given
length inside the range for which that holds changes nothing; one outside of it goes into the
formula, and the class is then written with SE, special engagement.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from threadwright_service.calc.errors import UnknownDesignationError
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.designation import lead_angle_deg
from threadwright_service.calc.threads.registry import Family
from threadwright_service.calc.threads.thread import (
    FINISHED,
    NO_LIMIT,
    NONE_NAMED,
    ThreadLimits,
    make_diameter_limits,
    make_span,
    make_thread_limits,
)
from threadwright_service.calc.threads.unified import asme_b1_1_formulas as unified
from threadwright_service.calc.threads.unified.asme_b1_1_call_out import SYMBOLS, parse, read
from threadwright_service.calc.threads.unified.asme_b1_1_inputs import (
    SPECIAL,
    Remark,
    facts_of,
    given_of,
)
from threadwright_service.calc.threads.unified.asme_b1_1_series import (
    LARGEST_TABULATED_IN,
    standard_sizes,
)
from threadwright_service.calc.threads.unified.asme_b1_30 import (
    NOTHING,
    RULES,
    Rule,
    Sizes,
    external_sizes,
    internal_sizes,
)
from threadwright_service.calc.trail import Trail

STANDARD: Final = "ASME B1.1"
_BY_TABLE: Final = RULES["table"]
_NO_REMARKS: Final[tuple[Remark, ...]] = ()
_BASIS: Final = {
    "table": (
        "formulas of ASME B1.1 with the rounding of its printed tables: 981 of 990 published "
        "values met digit for digit"
    ),
    "b130": (
        "formulas of ASME B1.1 with the rounding of ASME B1.30: 13 of 13 published worked "
        "values, 865 of 977 values of the older printed tables"
    ),
    "exact": (
        "formulas of ASME B1.1, which 981 of 990 published values confirm, without their rounding"
    ),
}


def limits(
    call_out: CallOut, *, rounding: str | None = None, trail: Trail | None = None
) -> ThreadLimits:
    """Limits of size of one Unified thread [in].

    Parameters
    ----------
    call_out : CallOut
        As :func:`parse` or :func:`read` returns it.
    rounding : "table", "b130" or "exact", optional
        The rounding rule; that of the published tables if none is given.
    trail : Trail, optional
        Takes cautions and, if it keeps steps, the working.

    Raises
    ------
    UnknownDesignationError
        If there is no such rounding rule.
    MissingInputError
        If special engagement is called out without its length.
    OutOfRangeError
        If the length of engagement is absurd.
    InfeasibleError
        If the tolerances are larger than the thread's height.

    Notes
    -----
    Source: asme-b1-1, asme-b1-30.

    Examples
    --------
    A row of the published tables, 2 1/2-4 UNC-2A:

    >>> found = limits(parse("2 1/2-4 UNC-2A"))
    >>> found.allowance, found.limits.major_diameter.max, found.limits.pitch_diameter.min
    (0.0031, 2.4969, 2.3241)
    """
    rule = _BY_TABLE if rounding is None else _rule(rounding)
    diameter_in, count = call_out.nominal_diameter, call_out.threads_per_inch or 1 / call_out.pitch
    pair, tolerance_class = (diameter_in, count), call_out.tolerance_class
    facts, departs = facts_of(pair)
    given, notes, remarks = NOTHING, facts.notes, _NO_REMARKS
    if (
        departs
        or call_out.length_of_engagement is not None
        or len(tolerance_class) > 2
        or tolerance_class[0] == "1"
        or diameter_in > LARGEST_TABULATED_IN
    ):
        given, notes, remarks = given_of(
            call_out, pair, facts, by_table=rule is _BY_TABLE, trail=trail
        )
        tolerance_class = tolerance_class[-2:]
    if call_out.side == "external":
        unfinished = tolerance_class == "2A" and facts.is_unfinished_made
        sizes = external_sizes(
            rule, pair, tolerance_class, facts.by_diameter, unfinished, given, trail
        )
    else:
        sizes = internal_sizes(rule, pair, tolerance_class, facts.by_diameter, given, trail)
    if trail is not None:
        for code, detail in remarks:
            trail.caution(code, detail)
    if given.engagement_in is not None:
        tolerance_class = f"{SPECIAL}{tolerance_class}"
    return _assembled(call_out, count, tolerance_class, sizes, rule, notes, trail)


def _assembled(
    call_out: CallOut,
    count: float,
    tolerance_class: str,
    sizes: Sizes,
    rule: Rule,
    notes: tuple[str, ...],
    trail: Trail | None,
) -> ThreadLimits:
    """The record; by position, in the order of its fields."""
    (
        diameter_in, pitch_in, engagement_in, allowance_in, basic, size_limits, reference_in,
        stress_area_in2,
    ) = sizes  # fmt: skip
    form, root_radius = unified.FORM_UN, NO_LIMIT
    if "R" in call_out.series:
        form = unified.FORM_UNR
        root_radius = make_span(None, *rule.root_radius(trail, pitch_in))
        size_limits = make_diameter_limits(
            size_limits.major_diameter,
            size_limits.pitch_diameter,
            make_span(reference_in["unr_minor_diameter_max"], None),
        )
    starts = call_out.starts
    lead_in, basis = starts * pitch_in, _BASIS[rule.key]
    return make_thread_limits(
        _designation(call_out, count, tolerance_class),
        "unified",
        STANDARD,
        "in",
        call_out.side,
        call_out.hand,
        starts,
        call_out.series,
        tolerance_class,
        diameter_in,
        pitch_in,
        lead_in,
        int(count) if count.is_integer() else count,
        lead_angle_deg(lead=lead_in, pitch_diameter=basic.pitch_diameter),
        form,
        basic,
        allowance_in,
        NONE_NAMED,
        size_limits,
        MappingProxyType(reference_in),
        root_radius,
        stress_area_in2,
        engagement_in,
        SPECIAL if len(tolerance_class) > 2 else "",
        rule.text,
        f"{basis}; {'; '.join(notes)}" if notes else basis,
        FINISHED,
    )


def _rule(rounding: str) -> Rule:
    rule = RULES.get(rounding)
    if rule is None:
        raise UnknownDesignationError(
            f"'{rounding}' is no rounding rule of Unified threads",
            parameter="rounding",
            value=rounding,
            accepted=", ".join(RULES),
        )
    return rule


def _designation(call_out: CallOut, count: float, tolerance_class: str) -> str:
    """The call-out in one spelling: ``1-8 UNC-SE2A LE 2.5 (2 STARTS) LH``."""
    if count.is_integer():
        pitch = str(int(count))
    elif (count * 10_000).is_integer():
        pitch = f"{count:.10g}"
    else:
        pitch = f"{1 / count:.6f}".rstrip("0") + "P"
    text = f"{call_out.size}-{pitch} {call_out.series}-{tolerance_class}"
    if tolerance_class.startswith(SPECIAL):
        text += f" LE {call_out.length_of_engagement:.6g}"
    if call_out.starts > 1:
        text += f" ({call_out.starts} STARTS)"
    return f"{text} LH" if call_out.hand == "left" else text


UNIFIED: Final = Family(
    key="unified",
    title="Unified inch screw threads",
    standard=STANDARD,
    unit="in",
    symbols=SYMBOLS,
    classes=("1A", "2A", "3A", "1B", "2B", "3B"),
    parse=parse,
    read=read,
    limits=limits,
    sizes=standard_sizes,
)
