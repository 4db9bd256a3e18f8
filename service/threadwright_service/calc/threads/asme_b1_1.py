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

from functools import lru_cache
from typing import Final

from threadwright_service.calc.errors import InfeasibleError, UnknownDesignationError
from threadwright_service.calc.threads import asme_b1_1_formulas as unified
from threadwright_service.calc.threads.asme_b1_1_call_out import SYMBOLS, parse, read
from threadwright_service.calc.threads.asme_b1_1_inputs import SPECIAL, Prepared, Thread, prepared
from threadwright_service.calc.threads.asme_b1_1_series import standard_sizes
from threadwright_service.calc.threads.asme_b1_30 import RULES, Rule, Sizes
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.designation import lead_angle_deg
from threadwright_service.calc.threads.registry import Family
from threadwright_service.calc.threads.thread import (
    NO_LIMIT,
    DiameterLimits,
    Span,
    ThreadLimits,
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

Remark = tuple[str, str]
"""Code and sentence of a caution."""


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
    thread = Thread(
        call_out.series,
        call_out.size,
        call_out.nominal_diameter,
        call_out.threads_per_inch or 1 / call_out.pitch,
        call_out.tolerance_class,
        call_out.hand,
        call_out.starts,
        call_out.length_of_engagement,
    )
    if trail is None or trail.steps is None:
        found, remarks = _remembered(thread, rounding)
    else:
        found, remarks = _computed(thread, rounding, trail)
    if trail is not None:
        for code, detail in remarks:
            trail.caution(code, detail)
    return found


def _computed(
    thread: Thread, rounding: str | None, trail: Trail | None = None
) -> tuple[ThreadLimits, tuple[Remark, ...]]:
    """Compute one thread; the working goes to the trail, if it keeps any."""
    rule = _rule(DEFAULT_RULE if rounding is None else rounding)
    length = rule.length(trail)
    found = prepared(thread, rule, length, trail)
    sizes = rule.sizes(found.inputs, length)
    _check(sizes, thread)
    root_radius = NO_LIMIT
    if "R" in thread.series:
        radius_in = length(unified.ROOT_RADIUS_MIN, found.inputs.pitch_in)
        root_radius = Span(max=None, min=radius_in)
    stress_area_in2 = unified.STRESS_AREA(trail, found.inputs.diameter_in, found.inputs.pitch_in)
    limits_found = _assembled(
        thread, found, sizes, root_radius=root_radius, stress_area_in2=stress_area_in2, rule=rule
    )
    return limits_found, found.remarks


_remembered = lru_cache(maxsize=4096)(_computed)


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


def _check(sizes: Sizes, thread: Thread) -> None:
    """Refuse limits that overlap: a thread whose tolerances are larger than its height."""
    major, pitch, minor = sizes.major_in, sizes.pitch_in, sizes.minor_in
    inner = sizes.reference_in["un_minor_diameter_max"] if minor.max is None else minor.max
    if not inner < (pitch.min or 0.0) < (pitch.max or 0.0) < (major.min or 0.0):
        raise InfeasibleError(
            f"{thread.size}-{thread.threads_per_inch:g} of class {thread.tolerance_class}: the "
            "tolerances are larger than the thread's height",
            parameter="tolerance_class",
            value=thread.tolerance_class,
            accepted="a coarser pitch or a finer class",
        )


def _assembled(
    thread: Thread,
    found: Prepared,
    sizes: Sizes,
    *,
    root_radius: Span,
    stress_area_in2: float,
    rule: Rule,
) -> ThreadLimits:
    inputs, minor = found.inputs, sizes.minor_in
    pitch_in, tolerance_class = inputs.pitch_in, inputs.tolerance_class
    rounded_root = "R" in thread.series
    if rounded_root:
        minor = Span(max=sizes.reference_in["unr_minor_diameter_max"], min=None)
    count = thread.threads_per_inch
    if found.special:
        tolerance_class = f"{SPECIAL}{tolerance_class}"
    lead_in = thread.starts * pitch_in
    return ThreadLimits(
        designation=_designation(thread, tolerance_class),
        family="unified",
        standard=STANDARD,
        unit="in",
        side="external" if tolerance_class[-1] == "A" else "internal",
        hand=thread.hand,
        starts=thread.starts,
        series=thread.series,
        tolerance_class=tolerance_class,
        nominal_diameter=inputs.diameter_in,
        pitch=pitch_in,
        lead=lead_in,
        threads_per_inch=int(count) if count.is_integer() else count,
        lead_angle_deg=lead_angle_deg(lead=lead_in, pitch_diameter=sizes.basic.pitch_diameter),
        form=unified.FORM_UNR if rounded_root else unified.FORM_UN,
        basic=sizes.basic,
        allowance=sizes.allowance_in,
        limits=DiameterLimits(
            major_diameter=sizes.major_in, pitch_diameter=sizes.pitch_in, minor_diameter=minor
        ),
        reference=sizes.reference_in,
        root_radius=root_radius,
        stress_area=stress_area_in2,
        length_of_engagement=inputs.engagement_in,
        length_of_engagement_group=SPECIAL if found.special else "",
        rounding_rule=rule.text,
        basis="; ".join((_BASIS[rule.key], *found.notes)),
    )


def _designation(thread: Thread, tolerance_class: str) -> str:
    """The call-out in one spelling: ``1-8 UNC-SE2A LE 2.5 (2 STARTS) LH``."""
    count = thread.threads_per_inch
    if (count * 10_000).is_integer():
        pitch = f"{count:.4f}".rstrip("0").rstrip(".")
    else:
        pitch = f"{1 / count:.6f}".rstrip("0") + "P"
    text = f"{thread.size}-{pitch} {thread.series}-{tolerance_class}"
    if tolerance_class.startswith(SPECIAL):
        text += f" LE {thread.engagement_in:.6g}"
    if thread.starts > 1:
        text += f" ({thread.starts} STARTS)"
    return f"{text} LH" if thread.hand == "left" else text


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
