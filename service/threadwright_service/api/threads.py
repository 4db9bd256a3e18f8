"""The operation on thread limits, and how every other operation reads its thread."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from threadwright_service.api.operation import Example, Operation, Outcome, Request
from threadwright_service.api.treatments import treated
from threadwright_service.calc.errors import REFUSALS
from threadwright_service.calc.threads.limits import thread_limits
from threadwright_service.calc.threads.thread import DiameterLimits, Diameters, Span, ThreadLimits
from threadwright_service.schemas.quantities import ANGLE, AREA, LENGTH, Unit
from threadwright_service.schemas.threads import ThreadLimitsRequest, ThreadLimitsResponse

THREAD_KEYS = (
    "designation",
    "series",
    "nominal_diameter",
    "pitch",
    "threads_per_inch",
    "tolerance_class",
    "side",
    "hand",
    "starts",
    "rounding",
)


def thread_of(request: Request) -> ThreadLimits:
    """The thread of a request, toleranced, in its standard's unit; its keys are used up.

    Raises
    ------
    CalcError
        If the thread is not known, ambiguous, incomplete or impossible.
    """
    values = request.values
    arguments = {key: values.pop(key) for key in THREAD_KEYS if key in values}
    for key in ("length_of_engagement", "distance_from_gauge_plane"):
        if f"{key}_mm" in values:
            arguments[key] = values.pop(f"{key}_mm") / LENGTH.scale(request.unit or "mm")
    request.thread = thread_limits(**arguments, length_unit=request.unit, trail=request.trail)
    return request.thread


def presented_thread(thread: ThreadLimits, unit: Unit) -> dict[str, Any]:
    """A toleranced thread on the wire.

    In its standard's own unit its limits go out as the standard rounds them; in the other unit they
    are converted exactly and rounded once.
    """
    if thread.unit != unit:
        thread = _converted(thread, unit)
    places = LENGTH.decimals(unit)
    basic, limits, engagement = thread.basic, thread.limits, thread.length_of_engagement
    area = thread.stress_area
    return {
        "designation": thread.designation,
        "family": thread.family,
        "standard": thread.standard,
        "series": thread.series,
        "side": thread.side,
        "hand": thread.hand,
        "starts": thread.starts,
        "tolerance_class": thread.tolerance_class,
        "form": thread.form.name,
        "flank_angle_deg": thread.form.pressure_flank_angle_deg,
        "clearance_flank_angle_deg": thread.form.clearance_flank_angle_deg,
        "taper": thread.form.taper_ratio,
        "nominal_diameter": round(thread.nominal_diameter, places),
        "pitch": round(thread.pitch, places),
        "lead": round(thread.lead, places),
        "threads_per_inch": thread.threads_per_inch,
        "lead_angle_deg": round(thread.lead_angle_deg, ANGLE.metric_decimals),
        "length_of_engagement": None if engagement is None else round(engagement, places),
        "length_of_engagement_group": thread.length_of_engagement_group or None,
        "basic": {
            "major_diameter": basic.major_diameter,
            "pitch_diameter": basic.pitch_diameter,
            "minor_diameter": basic.minor_diameter,
        },
        "allowance": thread.allowance,
        "allowances": dict(thread.allowances),
        "limits": {
            "major_diameter": _span(limits.major_diameter),
            "pitch_diameter": _span(limits.pitch_diameter),
            "minor_diameter": _span(limits.minor_diameter),
        },
        "reference": dict(thread.reference),
        "root_radius": _span(thread.root_radius),
        "stress_area": None if area is None else round(area, AREA.decimals(unit)),
        "rounding_rule": thread.rounding_rule,
        "basis": thread.basis,
    }


def _span(span: Span) -> dict[str, float | None]:
    return {"max": span.max, "min": span.min}


def _converted(thread: ThreadLimits, unit: Unit) -> ThreadLimits:
    """The thread in the other unit, every length rounded once."""
    there = thread.in_millimetres() if unit == "mm" else thread.in_inches()
    places = LENGTH.decimals(unit)

    def length(value: float) -> float:
        return round(value, places) + 0.0

    def span(value: Span) -> Span:
        return Span(
            max=None if value.max is None else length(value.max),
            min=None if value.min is None else length(value.min),
        )

    return replace(
        there,
        basic=Diameters(
            major_diameter=length(there.basic.major_diameter),
            pitch_diameter=length(there.basic.pitch_diameter),
            minor_diameter=length(there.basic.minor_diameter),
        ),
        allowance=length(there.allowance),
        allowances={key: length(value) for key, value in there.allowances.items()},
        limits=DiameterLimits(
            major_diameter=span(there.limits.major_diameter),
            pitch_diameter=span(there.limits.pitch_diameter),
            minor_diameter=span(there.limits.minor_diameter),
        ),
        reference={key: length(value) for key, value in there.reference.items()},
        root_radius=span(there.root_radius),
    )


def run_thread_limits(request: Request) -> Outcome:
    """Limits of the thread, in the unit asked for or the standard's own."""
    thread = thread_of(request)
    unit = request.unit or thread.unit
    told = presented_thread(thread, unit)
    if request.values:
        told |= treated(request, thread, unit)
    return Outcome(told, unit)


OPERATIONS = (
    Operation(
        name="thread-limits",
        summary="Basic dimensions and limits of size of a thread",
        description=(
            "From a call-out or fields: basic dimensions, allowance, limits of major, pitch and "
            "minor diameter, root radius, lead angle and stress area, rounded as the standard "
            "rounds them. Asked for, also the limits before coating or hardening, and the "
            "functional size of a measured part."
        ),
        tag="threads",
        request=ThreadLimitsRequest,
        response=ThreadLimitsResponse,
        run=run_thread_limits,
        refusals=REFUSALS,
        sources=("ASME B1.1", "ASME B1.30", "ISO 68-1", "ISO 261", "ISO 724", "ISO 965-1"),
        tells_thread=True,
        examples=(
            Example(
                title="Levelling screws: the limits of the left-hand thread",
                request={"designation": "M24x1.5-6g LH"},
            ),
            Example(
                title="Die-clamp studs: an inch thread, answered in millimetres",
                request={"designation": "3/4-16 UNF-2A", "unit": "mm"},
            ),
            Example(
                title="Levelling screws: the limits before a coating of 5 to 8 micrometres",
                request={
                    "designation": "M24x1.5-6g",
                    "unit": "mm",
                    "coating_thickness": 0.008,
                    "coating_thickness_min": 0.005,
                },
            ),
            Example(
                title="Die-clamp studs: what lead and angle errors leave of the tolerance",
                request={
                    "designation": "3/4-16 UNF-2A",
                    "unit": "in",
                    "measured_pitch_diameter": 0.7051,
                    "pitch_error": 0.0004,
                    "flank_angle_error_deg": 0.25,
                },
            ),
        ),
    ),
)
