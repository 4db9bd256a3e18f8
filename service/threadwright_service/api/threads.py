"""The operation on thread limits, and how every other operation reads its thread."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from threadwright_service.api.operation import Example, Operation, Outcome, Request
from threadwright_service.calc.errors import REFUSALS
from threadwright_service.calc.rounding import nearest
from threadwright_service.calc.threads.limits import thread_limits
from threadwright_service.calc.threads.thread import (
    Span,
    ThreadLimits,
    make_diameter_limits,
    make_diameters,
    make_span,
)
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
_ARGUMENTS = frozenset(THREAD_KEYS)
_PLACES: Mapping[Unit, tuple[int, int]] = {
    unit: (LENGTH.decimals(unit), AREA.decimals(unit)) for unit in ("mm", "in")
}
_LENGTHS = ("length_of_engagement_mm", "distance_from_gauge_plane_mm")


def thread_of(request: Request) -> ThreadLimits:
    """The thread of a request, toleranced, in its standard's unit; its keys are used up.

    Raises
    ------
    CalcError
        If the thread is not known, ambiguous, incomplete or impossible.
    """
    values, arguments = request.values, {}
    if len(values) == 1 and "designation" in values:  # as most requests are
        request.thread = thread_limits(designation=values.pop("designation"), trail=request.trail)
        return request.thread
    for key in tuple(values):
        if key in _ARGUMENTS:
            arguments[key] = values.pop(key)
        elif key in _LENGTHS:
            length = values.pop(key) / LENGTH.scale(request.unit or "mm")
            arguments[key.removesuffix(LENGTH.suffix)] = length
    request.thread = thread_limits(**arguments, length_unit=request.unit, trail=request.trail)
    return request.thread


def presented_thread(thread: ThreadLimits, unit: Unit) -> dict[str, Any]:
    """A toleranced thread on the wire.

    In its standard's own unit its limits go out as the standard rounds them; in the other unit they
    are converted exactly and rounded once.
    """
    if thread.unit != unit:
        thread = _converted(thread, unit)
    places, area_places = _PLACES[unit]
    form = thread.form
    basic, limits, engagement = thread.basic, thread.limits, thread.length_of_engagement
    major, pitch_diameter, minor = (
        limits.major_diameter,
        limits.pitch_diameter,
        limits.minor_diameter,
    )
    pitch, area = nearest(thread.pitch, places), thread.stress_area
    return {
        "designation": thread.designation,
        "family": thread.family,
        "standard": thread.standard,
        "series": thread.series,
        "side": thread.side,
        "hand": thread.hand,
        "starts": thread.starts,
        "tolerance_class": thread.tolerance_class,
        "form": form.name,
        "flank_angle_deg": form.pressure_flank_angle_deg,
        "clearance_flank_angle_deg": form.clearance_flank_angle_deg,
        "taper": form.taper_ratio,
        "nominal_diameter": nearest(thread.nominal_diameter, places),
        "pitch": pitch,
        "lead": pitch if thread.starts == 1 else nearest(thread.lead, places),
        "threads_per_inch": thread.threads_per_inch,
        "lead_angle_deg": nearest(thread.lead_angle_deg, ANGLE.metric_decimals),
        "length_of_engagement": None if engagement is None else nearest(engagement, places),
        "length_of_engagement_group": thread.length_of_engagement_group or None,
        "basic": {
            "major_diameter": basic.major_diameter,
            "pitch_diameter": basic.pitch_diameter,
            "minor_diameter": basic.minor_diameter,
        },
        "allowance": thread.allowance,
        "allowances": thread.allowances.copy(),
        "limits": {
            "major_diameter": {"max": major.max, "min": major.min},
            "pitch_diameter": {"max": pitch_diameter.max, "min": pitch_diameter.min},
            "minor_diameter": {"max": minor.max, "min": minor.min},
        },
        "reference": thread.reference.copy(),
        "root_radius": {"max": thread.root_radius.max, "min": thread.root_radius.min},
        "stress_area": None if area is None else nearest(area, area_places),
        "rounding_rule": thread.rounding_rule,
        "basis": thread.basis,
        "state": thread.state,
    }


def _converted(thread: ThreadLimits, unit: Unit) -> ThreadLimits:
    """The thread in the other unit, every length rounded once."""
    there = thread.in_millimetres() if unit == "mm" else thread.in_inches()
    places = LENGTH.decimals(unit)

    def length(value: float) -> float:
        return nearest(value, places)

    def span(value: Span) -> Span:
        return make_span(
            None if value.max is None else length(value.max),
            None if value.min is None else length(value.min),
        )

    basic, limits = there.basic, there.limits
    return replace(
        there,
        basic=make_diameters(
            length(basic.major_diameter), length(basic.pitch_diameter), length(basic.minor_diameter)
        ),
        allowance=length(there.allowance),
        allowances={key: length(value) for key, value in there.allowances.items()},
        limits=make_diameter_limits(
            span(limits.major_diameter), span(limits.pitch_diameter), span(limits.minor_diameter)
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
        from threadwright_service.api.treatments import treated

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
