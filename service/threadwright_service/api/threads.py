"""The operation on thread limits, and how every other operation reads its thread."""

from __future__ import annotations

from typing import Any

from threadwright_service.api.operation import Example, Operation, Outcome, Request
from threadwright_service.calc.errors import REFUSALS
from threadwright_service.calc.threads.limits import thread_limits
from threadwright_service.calc.threads.thread import Span, ThreadLimits
from threadwright_service.schemas.quantities import AREA, LENGTH, Unit
from threadwright_service.schemas.threads import ThreadLimitsRequest, ThreadLimitsResponse

THREAD_KEYS = (
    "designation",
    "series",
    "nominal_diameter",
    "pitch",
    "threads_per_inch",
    "tolerance_class",
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
    engagement_mm = values.pop("length_of_engagement_mm", None)
    if engagement_mm is not None:
        arguments["length_of_engagement"] = engagement_mm / LENGTH.scale(request.unit or "mm")
    return thread_limits(**arguments, length_unit=request.unit, trail=request.trail)


def presented_thread(thread: ThreadLimits, unit: Unit) -> dict[str, Any]:
    """A toleranced thread on the wire.

    In its standard's own unit its limits go out as the standard rounds them; in the other unit they
    are converted exactly and rounded once.
    """
    own = thread.unit == unit
    if not own:
        thread = thread.in_millimetres() if unit == "mm" else thread.in_inches()

    places = LENGTH.decimals(unit)

    def length(value: float | None) -> float | None:
        return value if value is None else round(value, places) + 0.0

    def limits(span: Span) -> dict[str, float | None]:
        return {"max": length(span.max), "min": length(span.min)}

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
        "nominal_diameter": length(thread.nominal_diameter),
        "pitch": length(thread.pitch),
        "lead": length(thread.lead),
        "threads_per_inch": thread.threads_per_inch,
        "lead_angle_deg": round(thread.lead_angle_deg, 5),
        "length_of_engagement": length(thread.length_of_engagement),
        "length_of_engagement_group": thread.length_of_engagement_group or None,
        "basic": {
            "major_diameter": length(thread.basic.major_diameter),
            "pitch_diameter": length(thread.basic.pitch_diameter),
            "minor_diameter": length(thread.basic.minor_diameter),
        },
        "allowance": length(thread.allowance),
        "allowances": {key: length(value) for key, value in thread.allowances.items()},
        "limits": {
            "major_diameter": limits(thread.limits.major_diameter),
            "pitch_diameter": limits(thread.limits.pitch_diameter),
            "minor_diameter": limits(thread.limits.minor_diameter),
        },
        "reference": {key: length(value) for key, value in thread.reference.items()},
        "root_radius": limits(thread.root_radius),
        "stress_area": None
        if thread.stress_area is None
        else round(thread.stress_area, AREA.decimals(unit)),
        "rounding_rule": thread.rounding_rule,
        "basis": thread.basis,
    }


def run_thread_limits(request: Request) -> Outcome:
    """Limits of the thread, in the unit asked for or the standard's own."""
    thread = thread_of(request)
    unit = request.unit or thread.unit
    return Outcome(presented_thread(thread, unit), unit)


OPERATIONS = (
    Operation(
        name="thread-limits",
        summary="Basic dimensions and limits of size of a thread",
        description=(
            "From a call-out or fields: basic dimensions, allowance, limits of major, pitch and "
            "minor diameter, root radius, lead angle and stress area, rounded as the standard "
            "rounds them."
        ),
        tag="threads",
        request=ThreadLimitsRequest,
        response=ThreadLimitsResponse,
        run=run_thread_limits,
        refusals=REFUSALS,
        sources=("ASME B1.1", "ASME B1.30", "ISO 68-1", "ISO 261", "ISO 724", "ISO 965-1"),
        examples=(
            Example(
                title="Levelling screws: the limits of the left-hand thread",
                request={"designation": "M24x1.5-6g LH"},
            ),
            Example(
                title="Die-clamp studs: an inch thread, answered in millimetres",
                request={"designation": "3/4-16 UNF-2A", "unit": "mm"},
            ),
        ),
    ),
)
