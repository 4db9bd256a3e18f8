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

from functools import lru_cache
from types import MappingProxyType
from typing import Final, NamedTuple

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.rounding import half_up
from threadwright_service.calc.threads import iso_724
from threadwright_service.calc.threads import iso_965_1_formulas as metric
from threadwright_service.calc.threads import iso_965_1_tolerances as tables
from threadwright_service.calc.threads.call_out import CallOut, LengthGroup
from threadwright_service.calc.threads.designation import lead_angle_deg
from threadwright_service.calc.threads.iso_261 import pitches_text, plan, standard_sizes
from threadwright_service.calc.threads.iso_965_1_call_out import parse, read
from threadwright_service.calc.threads.iso_965_1_classes import (
    COMMON_CLASSES,
    MetricClass,
    metric_class,
)
from threadwright_service.calc.threads.iso_965_1_engagement import Remark, engagement_group
from threadwright_service.calc.threads.registry import Family
from threadwright_service.calc.threads.rounding_rule import only_rule
from threadwright_service.calc.threads.thread import (
    NO_LIMIT,
    DiameterLimits,
    Diameters,
    Hand,
    Span,
    ThreadLimits,
)
from threadwright_service.calc.trail import Formula, Trail

STANDARD: Final = "ISO 965-1"
PLACES: Final = 3
ROUNDING_RULE: Final = (
    "ISO 965-1: basic diameters to 0.001 mm, half up, then whole micrometres are added; reference "
    "diameters rounded once, at the end"
)


class _Thread(NamedTuple):
    """One metric thread as it was asked for; lengths in mm."""

    diameter_mm: float
    pitch_mm: float
    tolerance_class: str
    hand: Hand
    starts: int
    engagement_mm: float | None
    group: LengthGroup


class _Sizes(NamedTuple):
    """What is computed for one side; deviations as magnitudes."""

    allowance_um: int
    crest_allowance_um: int
    limits: DiameterLimits
    reference_mm: dict[str, float]
    root_radius: Span
    notes: list[str]


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
    thread = _Thread(
        call_out.nominal_diameter,
        call_out.pitch,
        call_out.tolerance_class,
        call_out.hand,
        call_out.starts,
        call_out.length_of_engagement,
        call_out.length_group,
    )
    if trail is None:
        return _remembered(thread)[0]
    found, remarks = _remembered(thread) if trail.steps is None else _computed(thread, trail)
    for code, detail in remarks:
        trail.caution(code, detail)
    if thread.engagement_mm is None and not thread.group:
        trail.assume(
            "length_of_engagement", "N", "none given; ISO 965-1 takes an unknown length as group N"
        )
    return found


def _computed(
    thread: _Thread, trail: Trail | None = None
) -> tuple[ThreadLimits, tuple[Remark, ...]]:
    """Compute one thread; the working goes to the trail, if it keeps any."""
    tolerance_class = metric_class(thread.tolerance_class)
    basic = iso_724.basic_diameters_mm(
        diameter_mm=thread.diameter_mm, pitch_mm=thread.pitch_mm, trail=trail
    )
    height_mm = iso_724.TRIANGLE_HEIGHT.function(thread.pitch_mm)
    compute = _external if tolerance_class.side == "external" else _internal
    sizes = compute(thread, tolerance_class, basic, height_mm, trail)
    _check(sizes, thread)
    group, remarks = engagement_group(
        tolerance_class,
        diameter_mm=thread.diameter_mm,
        pitch_mm=thread.pitch_mm,
        length_mm=thread.engagement_mm,
        called_out=thread.group,
    )
    row = plan().get(thread.diameter_mm)
    if row is None or thread.pitch_mm not in row.pitches_mm:
        sizes.notes.append("pair not in the general plan of ISO 261")
        remarks.append(
            (
                "not-in-general-plan",
                f"M{thread.diameter_mm:g}x{thread.pitch_mm:g} is not in the general plan of ISO "
                f"261; in it: {pitches_text(thread.diameter_mm)}.",
            )
        )
    stress_area_mm2 = iso_724.STRESS_AREA(trail, thread.diameter_mm, height_mm)
    found = _assembled(thread, tolerance_class, basic, sizes, group, stress_area_mm2)
    return found, tuple(remarks)


_remembered = lru_cache(maxsize=4096)(_computed)


def _external(
    thread: _Thread,
    tolerance_class: MetricClass,
    basic: Diameters,
    height_mm: float,
    trail: Trail | None,
) -> _Sizes:
    diameter_mm, pitch_mm = thread.diameter_mm, thread.pitch_mm
    es = tables.deviation(tolerance_class.pitch_position, pitch_mm=pitch_mm, trail=trail)
    crest_es = es
    if tolerance_class.crest_position != tolerance_class.pitch_position:
        crest_es = tables.deviation(tolerance_class.crest_position, pitch_mm=pitch_mm, trail=trail)
    td = tables.tolerance(
        tables.EXTERNAL_MAJOR, tolerance_class.crest_grade,
        diameter_mm=diameter_mm, pitch_mm=pitch_mm, trail=trail,
    )  # fmt: skip
    td2 = tables.tolerance(
        tables.EXTERNAL_PITCH, tolerance_class.pitch_grade,
        diameter_mm=diameter_mm, pitch_mm=pitch_mm, trail=trail,
    )  # fmt: skip

    def length(formula: Formula, *values: float, places: int = PLACES) -> float:
        return formula.rounded(trail, *values, to=half_up, places=places)

    major_max = length(metric.EXTERNAL_MAJOR_MAX, basic.major_diameter, crest_es.value_um)
    pitch_max = length(metric.EXTERNAL_PITCH_MAX, basic.pitch_diameter, es.value_um)
    stress_um = length(metric.STRESS_DEVIATION, es.value_um, height_mm, places=0)
    return _Sizes(
        allowance_um=-es.value_um,
        crest_allowance_um=-crest_es.value_um,
        limits=DiameterLimits(
            major_diameter=Span(
                max=major_max, min=length(metric.EXTERNAL_MAJOR_MIN, major_max, td.value_um)
            ),
            pitch_diameter=Span(
                max=pitch_max, min=length(metric.EXTERNAL_PITCH_MIN, pitch_max, td2.value_um)
            ),
            minor_diameter=NO_LIMIT,
        ),
        reference_mm={
            "minor_diameter_flat_max": length(
                metric.FLAT_MINOR_MAX, basic.minor_diameter, es.value_um
            ),
            "minor_diameter_rounded_min": length(
                metric.ROUNDED_MINOR_MIN,
                diameter_mm,
                height_mm,
                es.value_um,
                td2.value_um,
                pitch_mm,
            ),
            "minor_diameter_stress": length(metric.STRESS_MINOR, basic.minor_diameter, stress_um),
        },
        root_radius=Span(max=None, min=length(metric.ROOT_RADIUS_MIN, pitch_mm)),
        notes=[f"es: {es.words}", f"Td: {td.words}", f"Td2: {td2.words}"],
    )


def _internal(
    thread: _Thread,
    tolerance_class: MetricClass,
    basic: Diameters,
    height_mm: float,
    trail: Trail | None,
) -> _Sizes:
    diameter_mm, pitch_mm = thread.diameter_mm, thread.pitch_mm
    ei = tables.deviation(tolerance_class.pitch_position, pitch_mm=pitch_mm, trail=trail)
    crest_ei = ei
    if tolerance_class.crest_position != tolerance_class.pitch_position:
        crest_ei = tables.deviation(tolerance_class.crest_position, pitch_mm=pitch_mm, trail=trail)
    td1 = tables.tolerance(
        tables.INTERNAL_MINOR, tolerance_class.crest_grade,
        diameter_mm=diameter_mm, pitch_mm=pitch_mm, trail=trail,
    )  # fmt: skip
    td2 = tables.tolerance(
        tables.INTERNAL_PITCH, tolerance_class.pitch_grade,
        diameter_mm=diameter_mm, pitch_mm=pitch_mm, trail=trail,
    )  # fmt: skip

    def length(formula: Formula, *values: float) -> float:
        return formula.rounded(trail, *values, to=half_up, places=PLACES)

    pitch_min = length(metric.INTERNAL_PITCH_MIN, basic.pitch_diameter, ei.value_um)
    minor_min = length(metric.INTERNAL_MINOR_MIN, basic.minor_diameter, crest_ei.value_um)
    return _Sizes(
        allowance_um=ei.value_um,
        crest_allowance_um=crest_ei.value_um,
        limits=DiameterLimits(
            major_diameter=Span(
                max=None, min=length(metric.INTERNAL_MAJOR_MIN, basic.major_diameter, ei.value_um)
            ),
            pitch_diameter=Span(
                max=length(metric.INTERNAL_PITCH_MAX, pitch_min, td2.value_um), min=pitch_min
            ),
            minor_diameter=Span(
                max=length(metric.INTERNAL_MINOR_MAX, minor_min, td1.value_um), min=minor_min
            ),
        ),
        reference_mm={
            "major_diameter_max": length(
                metric.INTERNAL_MAJOR_MAX, diameter_mm, height_mm, ei.value_um, td2.value_um
            )
        },
        root_radius=NO_LIMIT,
        notes=[f"EI: {ei.words}", f"TD1: {td1.words}", f"TD2: {td2.words}"],
    )


def _check(sizes: _Sizes, thread: _Thread) -> None:
    """Refuse limits that overlap: a thread whose tolerances are larger than its height."""
    major, pitch, minor = (
        sizes.limits.major_diameter,
        sizes.limits.pitch_diameter,
        sizes.limits.minor_diameter,
    )
    inner = sizes.reference_mm["minor_diameter_flat_max"] if minor.max is None else minor.max
    if not inner < (pitch.min or 0.0) < (pitch.max or 0.0) < (major.min or 0.0):
        raise InfeasibleError(
            f"M{thread.diameter_mm:g}x{thread.pitch_mm:g}-{thread.tolerance_class}: the tolerances "
            "are larger than the thread's height",
            parameter="tolerance_class",
            value=thread.tolerance_class,
            accepted="a coarser pitch or a finer class",
        )


def _assembled(
    thread: _Thread,
    tolerance_class: MetricClass,
    basic: Diameters,
    sizes: _Sizes,
    group: LengthGroup,
    stress_area_mm2: float,
) -> ThreadLimits:
    lead_mm = thread.starts * thread.pitch_mm
    galvanised = tolerance_class.pitch_position == "az"
    crest_um = sizes.crest_allowance_um
    crest = "major_diameter" if tolerance_class.side == "external" else "minor_diameter"
    return ThreadLimits(
        designation=_designation(thread, tolerance_class),
        family="iso-metric",
        standard=f"{STANDARD}, ISO 965-4" if galvanised else STANDARD,
        unit="mm",
        side=tolerance_class.side,
        hand=thread.hand,
        starts=thread.starts,
        series="M",
        tolerance_class=tolerance_class.text,
        nominal_diameter=basic.major_diameter,
        pitch=thread.pitch_mm,
        lead=lead_mm,
        threads_per_inch=None,
        lead_angle_deg=lead_angle_deg(lead=lead_mm, pitch_diameter=basic.pitch_diameter),
        form=iso_724.FORM,
        basic=basic,
        allowance=sizes.allowance_um / 1000,
        allowances=MappingProxyType(
            {} if crest_um == sizes.allowance_um else {crest: crest_um / 1000}
        ),
        limits=sizes.limits,
        reference=MappingProxyType(sizes.reference_mm),
        root_radius=sizes.root_radius,
        stress_area=stress_area_mm2,
        length_of_engagement=thread.engagement_mm,
        length_of_engagement_group=group,
        rounding_rule=ROUNDING_RULE,
        basis="ISO 965-1. " + "; ".join(sizes.notes),
    )


def _designation(thread: _Thread, tolerance_class: MetricClass) -> str:
    """The call-out in one spelling: ``M16xPh3P1.5-6H-L-LH``; the pitch is always written."""
    pitch = f"{thread.pitch_mm:.6g}"
    if thread.starts > 1:
        pitch = f"Ph{thread.starts * thread.pitch_mm:.6g}P{pitch}"
    text = f"M{thread.diameter_mm:.6g}x{pitch}-{tolerance_class.text}"
    if thread.group in {"S", "L"}:
        text += f"-{thread.group}"
    return f"{text}-LH" if thread.hand == "left" else text


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
