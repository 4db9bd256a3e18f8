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

from threadwright_service.calc.errors import InfeasibleError, UnknownDesignationError
from threadwright_service.calc.threads import asme_b1_1_formulas as unified
from threadwright_service.calc.threads.asme_b1_1_call_out import SYMBOLS, parse, read
from threadwright_service.calc.threads.asme_b1_1_inputs import SPECIAL, inputs_of
from threadwright_service.calc.threads.asme_b1_1_series import standard_sizes
from threadwright_service.calc.threads.asme_b1_30 import RULES, Inputs, Rule, Sizes
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.designation import lead_angle_deg
from threadwright_service.calc.threads.registry import Family
from threadwright_service.calc.threads.thread import (
    NO_LIMIT,
    NONE_NAMED,
    Side,
    Span,
    ThreadForm,
    ThreadLimits,
    make_span,
    make_thread_limits,
)
from threadwright_service.calc.trail import Trail

STANDARD: Final = "ASME B1.1"
DEFAULT_RULE: Final = "table"
_BASIS: Final = {
    "table": (
        "formulas of ASME B1.1 with the rounding of its printed tables: 824 of 833 published "
        "values met digit for digit"
    ),
    "b130": (
        "formulas of ASME B1.1 with the rounding of ASME B1.30: 13 of 13 published worked "
        "values, 754 of 833 values of the older printed tables"
    ),
    "exact": "formulas of ASME B1.1, which 833 published values confirm, without their rounding",
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
    rule = RULES[DEFAULT_RULE] if rounding is None else _rule(rounding)
    inputs = inputs_of(call_out, rule, trail)
    sizes = rule.sizes(inputs, trail)
    _check(sizes, call_out)
    if trail is not None:
        for code, detail in inputs.remarks:
            trail.caution(code, detail)
    if not inputs.rounded_root:
        return _assembled(call_out, inputs, sizes, unified.FORM_UN, NO_LIMIT, rule)
    (radius_in,) = rule.root_radius(trail, inputs.pitch_in)
    return _assembled(call_out, inputs, sizes, unified.FORM_UNR, make_span(None, radius_in), rule)


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


def _check(sizes: Sizes, call_out: CallOut) -> None:
    """Refuse limits that overlap: a thread whose tolerances are larger than its height."""
    _, _, limits, reference_in, _ = sizes
    inner = reference_in.get("un_minor_diameter_max") or limits.minor_diameter.max or 0.0
    pitch = limits.pitch_diameter
    if not inner < (pitch.min or 0.0) < (pitch.max or 0.0) < (limits.major_diameter.min or 0.0):
        raise InfeasibleError(
            f"{call_out.size}-{call_out.threads_per_inch:g} of class {call_out.tolerance_class}: "
            "the tolerances are larger than the thread's height",
            parameter="tolerance_class",
            value=call_out.tolerance_class,
            accepted="a coarser pitch or a finer class",
        )


def _assembled(
    call_out: CallOut,
    inputs: Inputs,
    sizes: Sizes,
    form: ThreadForm,
    root_radius: Span,
    rule: Rule,
) -> ThreadLimits:
    """The record; by position, in the order of its fields."""
    basic, allowance_in, limits, reference_in, stress_area_in2 = sizes
    tolerance_class = inputs.tolerance_class
    side: Side = "external" if tolerance_class[1] == "A" else "internal"
    if inputs.special:
        tolerance_class = f"{SPECIAL}{tolerance_class}"
    count = inputs.threads_per_inch
    whole = int(count)
    starts, pitch_in = call_out.starts, inputs.pitch_in
    lead_in = starts * pitch_in
    basis = _BASIS[rule.key]
    return make_thread_limits(
        _designation(call_out, count, tolerance_class),
        "unified",
        STANDARD,
        "in",
        side,
        call_out.hand,
        starts,
        call_out.series,
        tolerance_class,
        inputs.diameter_in,
        pitch_in,
        lead_in,
        whole if whole == count else count,
        lead_angle_deg(lead=lead_in, pitch_diameter=basic.pitch_diameter),
        form,
        basic,
        allowance_in,
        NONE_NAMED,
        limits,
        MappingProxyType(reference_in),
        root_radius,
        stress_area_in2,
        inputs.engagement_in,
        SPECIAL if inputs.special else "",
        rule.text,
        "; ".join((basis, *inputs.notes)) if inputs.notes else basis,
    )


def _designation(call_out: CallOut, count: float, tolerance_class: str) -> str:
    """The call-out in one spelling: ``1-8 UNC-SE2A LE 2.5 (2 STARTS) LH``."""
    if (count * 10_000).is_integer():
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
