"""Limits of size of ISO metric threads of M profile (ISO 965-1, with 6az of ISO 965-4).

Basic diameters are rounded to 0.001 mm first; deviations and tolerances are whole micrometres, so
that every limit is exact. What the answer holds beside ``basic`` and ``allowance`` (in mm):

``limits``
    Outside: major and pitch diameter; the standard sets no limit of the minor diameter. Inside:
    the major diameter has a lower limit alone; pitch and minor diameter both.
``reference`` (printed, but no limits)
    Outside: ``minor_diameter_flat_max`` (flat root, d1 less the deviation),
    ``minor_diameter_rounded_min`` (root radius P/8 below the smallest pitch diameter) and
    ``minor_diameter_stress`` (for load, as ISO 965-4 prints it). Inside: ``major_diameter_max``.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from threadwright_service.calc.chain import Chain, Link
from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.rounding import half_up
from threadwright_service.calc.threads.call_out import CallOut, LengthGroup
from threadwright_service.calc.threads.designation import lead_angle_deg
from threadwright_service.calc.threads.metric import iso_724
from threadwright_service.calc.threads.metric import iso_965_1_formulas as metric
from threadwright_service.calc.threads.metric.iso_261 import (
    is_planned,
    pitches_text,
    standard_sizes,
)
from threadwright_service.calc.threads.metric.iso_965_1_call_out import parse, read
from threadwright_service.calc.threads.metric.iso_965_1_classes import (
    COMMON_CLASSES,
    MetricClass,
    metric_class,
)
from threadwright_service.calc.threads.metric.iso_965_1_engagement import engagement_group
from threadwright_service.calc.threads.metric.iso_965_1_tolerances import (
    ClassTolerances,
    class_tolerances,
)
from threadwright_service.calc.threads.registry import Family
from threadwright_service.calc.threads.rounding_rule import only_rule
from threadwright_service.calc.threads.thread import (
    FINISHED,
    NO_LIMIT,
    NONE_NAMED,
    DiameterLimits,
    Diameters,
    Span,
    ThreadLimits,
    make_diameter_limits,
    make_diameters,
    make_span,
    make_thread_limits,
)
from threadwright_service.calc.trail import Trail

STANDARD: Final = "ISO 965-1"
PLACES: Final = 3
ROUNDING_RULE: Final = (
    "ISO 965-1: basic diameters to 0.001 mm, half up, then whole micrometres are added; reference "
    "diameters rounded once, at the end"
)


_Sizes = tuple[Diameters, DiameterLimits, dict[str, float], Span, float]
"""Basic diameters, limits, reference sizes by name, root radius [mm], and stress area [mm2]."""

_BASIC: Final = (
    Link(iso_724.TRIANGLE_HEIGHT, None),
    Link(iso_724.NOMINAL, PLACES, "d_basic"),
    Link(iso_724.PITCH_DIAMETER, PLACES),
    Link(iso_724.MINOR_DIAMETER, PLACES),
)
_EXTERNAL: Final = Chain(
    "d P es es_crest Td Td2",
    *_BASIC,
    Link(metric.EXTERNAL_MAJOR_MAX, PLACES, "", "d_basic es_crest"),
    Link(metric.EXTERNAL_MAJOR_MIN, PLACES),
    Link(metric.EXTERNAL_PITCH_MAX, PLACES),
    Link(metric.EXTERNAL_PITCH_MIN, PLACES),
    Link(metric.FLAT_MINOR_MAX, PLACES),
    Link(metric.ROUNDED_MINOR_MIN, PLACES),
    Link(metric.STRESS_DEVIATION, 0),
    Link(metric.STRESS_MINOR, PLACES),
    Link(metric.ROOT_RADIUS_MIN, PLACES),
    Link(iso_724.STRESS_AREA, None),
    to=half_up,
    results="d_basic d2 d1 d_max d_min d2_max d2_min d1_max d3_min d3_stress R_min As",
    whole="es es_crest Td Td2",
)
_INTERNAL: Final = Chain(
    "d P EI EI_crest TD1 TD2",
    *_BASIC,
    Link(metric.INTERNAL_MAJOR_MIN, PLACES, "", "d_basic EI"),
    Link(metric.INTERNAL_PITCH_MIN, PLACES, "", "d2 EI"),
    Link(metric.INTERNAL_PITCH_MAX, PLACES),
    Link(metric.INTERNAL_MINOR_MIN, PLACES, "", "d1 EI_crest"),
    Link(metric.INTERNAL_MINOR_MAX, PLACES),
    Link(metric.INTERNAL_MAJOR_MAX, PLACES, "", "d H EI TD2"),
    Link(iso_724.STRESS_AREA, None),
    to=half_up,
    results="d_basic d2 d1 D_min D2_max D2_min D1_max D1_min D_max As",
    whole="EI EI_crest TD1 TD2",
)


def limits(
    call_out: CallOut, *, rounding: str | None = None, trail: Trail | None = None
) -> ThreadLimits:
    """Limits of size of one ISO metric thread [mm].

    Parameters
    ----------
    call_out : CallOut
        As :func:`parse` or :func:`read` returns it.
    rounding : str, optional
        ``table``, the standard's own rule, or nothing.
    trail : Trail, optional
        Takes assumptions, cautions and, if it keeps steps, the working.

    Raises
    ------
    UnknownDesignationError
        If another rounding rule is asked for.
    NotTabulatedError
        If the standard has no such grade or position for this pitch.
    OutOfRangeError
        If the length of engagement is absurd, or the tolerance has no formula for the pitch.
    AmbiguousError
        If the length of engagement is not of the group that the call-out names.
    InfeasibleError
        If the tolerances are larger than the thread's height.

    Notes
    -----
    Source: iso-965-1, iso-724, iso-261; iso-965-4 for 6az.

    Examples
    --------
    A row of the published tables, M10x1.5-6g:

    >>> found = limits(parse("M10x1.5-6g"))
    >>> found.limits.pitch_diameter.max, found.limits.pitch_diameter.min
    (8.994, 8.862)
    """
    if rounding is not None:
        only_rule(rounding)
    diameter_mm, pitch_mm = call_out.nominal_diameter, call_out.pitch
    tolerance_class = metric_class(call_out.tolerance_class)
    found = class_tolerances(
        call_out.tolerance_class, diameter_mm=diameter_mm, pitch_mm=pitch_mm, trail=trail
    )
    compute = _external if tolerance_class.side == "external" else _internal
    sizes, notes = compute(call_out, found, trail), found.words
    group, remarks = engagement_group(
        tolerance_class,
        diameter_mm=diameter_mm,
        pitch_mm=pitch_mm,
        length_mm=call_out.length_of_engagement,
        called_out=call_out.length_group,
    )
    pitch = f"{pitch_mm:.6g}"
    if not is_planned(diameter_mm, pitch_mm):
        notes += "; pair not in the general plan of ISO 261"
        remarks.append(
            (
                "not-in-general-plan",
                f"M{call_out.size}x{pitch} is not in the general plan of ISO 261; in it: "
                f"{pitches_text(diameter_mm)}.",
            )
        )
    if trail is not None:
        for code, detail in remarks:
            trail.caution(code, detail)
        if call_out.length_of_engagement is None and not call_out.length_group:
            trail.assume(
                "length_of_engagement",
                "N",
                "none given; ISO 965-1 takes an unknown length as group N",
            )
    designation = _designation(call_out, pitch)
    return _assembled(call_out, tolerance_class, designation, sizes, found, group, notes)


def _external(call_out: CallOut, found: ClassTolerances, trail: Trail | None) -> _Sizes:
    es_um, crest_es_um, td_um, td2_um, _ = found
    (
        major, pitch, minor, major_max, major_min, pitch_max, pitch_min,
        flat_max, rounded_min, stress_minor, radius_min, stress_area_mm2,
    ) = _EXTERNAL.on(trail)(
        call_out.nominal_diameter, call_out.pitch, es_um, crest_es_um, td_um, td2_um
    )  # fmt: skip
    if not flat_max < pitch_min < pitch_max < major_min:
        raise _overlap(call_out)
    limits = make_diameter_limits(
        make_span(major_max, major_min), make_span(pitch_max, pitch_min), NO_LIMIT
    )
    reference_mm = {
        "minor_diameter_flat_max": flat_max,
        "minor_diameter_rounded_min": rounded_min,
        "minor_diameter_stress": stress_minor,
    }
    basic, root_radius = make_diameters(major, pitch, minor), make_span(None, radius_min)
    return basic, limits, reference_mm, root_radius, stress_area_mm2


def _internal(call_out: CallOut, found: ClassTolerances, trail: Trail | None) -> _Sizes:
    ei_um, crest_ei_um, td1_um, td2_um, _ = found
    (
        major, pitch, minor, major_min, pitch_max, pitch_min, minor_max, minor_min,
        major_max, stress_area_mm2,
    ) = _INTERNAL.on(trail)(
        call_out.nominal_diameter, call_out.pitch, ei_um, crest_ei_um, td1_um, td2_um
    )  # fmt: skip
    if not minor_max < pitch_min < pitch_max < major_min:
        raise _overlap(call_out)
    limits = make_diameter_limits(
        make_span(None, major_min), make_span(pitch_max, pitch_min), make_span(minor_max, minor_min)
    )
    basic = make_diameters(major, pitch, minor)
    return basic, limits, {"major_diameter_max": major_max}, NO_LIMIT, stress_area_mm2


def _overlap(call_out: CallOut) -> InfeasibleError:
    """The refusal of a thread whose tolerances are larger than its height."""
    return InfeasibleError(
        f"M{call_out.nominal_diameter:g}x{call_out.pitch:g}-{call_out.tolerance_class}: the "
        "tolerances are larger than the thread's height",
        parameter="tolerance_class",
        value=call_out.tolerance_class,
        accepted="a coarser pitch or a finer class",
    )


def _assembled(
    call_out: CallOut,
    tolerance_class: MetricClass,
    designation: str,
    sizes: _Sizes,
    found: ClassTolerances,
    group: LengthGroup,
    notes: str,
) -> ThreadLimits:
    """The record; by position, in the order of its fields."""
    basic, limits, reference_mm, root_radius, stress_area_mm2 = sizes
    starts, pitch_mm = call_out.starts, call_out.pitch
    lead_mm = starts * pitch_mm
    allowances = NONE_NAMED
    if found.crest_deviation_um != found.deviation_um:
        crest = "major_diameter" if tolerance_class.side == "external" else "minor_diameter"
        allowances = MappingProxyType({crest: abs(found.crest_deviation_um) / 1000})
    return make_thread_limits(
        designation,
        "iso-metric",
        f"{STANDARD}, ISO 965-4" if tolerance_class.pitch_position == "az" else STANDARD,
        "mm",
        tolerance_class.side,
        call_out.hand,
        starts,
        "M",
        tolerance_class.text,
        basic.major_diameter,
        pitch_mm,
        lead_mm,
        None,
        lead_angle_deg(lead=lead_mm, pitch_diameter=basic.pitch_diameter),
        iso_724.FORM,
        basic,
        abs(found.deviation_um) / 1000,
        allowances,
        limits,
        MappingProxyType(reference_mm),
        root_radius,
        stress_area_mm2,
        call_out.length_of_engagement,
        group,
        ROUNDING_RULE,
        f"ISO 965-1. {notes}",
        FINISHED,
    )


def _designation(call_out: CallOut, pitch: str) -> str:
    """The call-out in one spelling: ``M16xPh3P1.5-6H-L-LH``; the pitch is always written."""
    if call_out.starts > 1:
        pitch = f"Ph{call_out.starts * call_out.pitch:.6g}P{pitch}"
    text = f"M{call_out.size}x{pitch}-{call_out.tolerance_class}"
    if call_out.length_group in {"S", "L"}:
        text += f"-{call_out.length_group}"
    return f"{text}-LH" if call_out.hand == "left" else text


ISO_METRIC: Final = Family(
    key="iso-metric",
    title="ISO metric screw threads, M profile",
    standard=STANDARD,
    unit="mm",
    symbols=("M",),
    classes=COMMON_CLASSES,
    parse=parse,
    read=read,
    limits=limits,
    sizes=standard_sizes,
)
