"""How the thread of a request is timed: as it is known, or by the plan that cuts it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from threadwright_service.api.answer import assume_defaults
from threadwright_service.api.cutting import machine_of, material_of
from threadwright_service.api.milling import cutter_of, plan_input
from threadwright_service.api.operation import Request
from threadwright_service.api.threads import thread_of
from threadwright_service.calc.errors import MissingInputError
from threadwright_service.calc.jobs.thread_time import thread_milling_of
from threadwright_service.calc.milling.geometry.cutter import Machine
from threadwright_service.calc.milling.plan.plan import pass_plan
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.times.comparing.common_case import milled_thread
from threadwright_service.calc.times.operations.bench_operations import FixedTime
from threadwright_service.calc.times.operations.thread_milling import ThreadMilling
from threadwright_service.calc.times.operations.thread_operations import (
    SinglePointThreading,
    Tapping,
)
from threadwright_service.schemas.milling import PassPlanRequest
from threadwright_service.schemas.quantities import LENGTH, Unit

ThreadOperation = ThreadMilling | SinglePointThreading | Tapping | FixedTime

THREAD_MILL: Final = "thread mill"


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadToTime:
    """What the thread's operation follows from, where it is not planned."""

    side: Any
    lead_mm: float | None
    starts: int
    unit: Unit | None
    length_mm: float | None


def thread_to_time(request: Request) -> ThreadToTime:
    """Side, lead and starts: from the call-out, or from pitch and starts alone."""
    values = request.values
    length_mm = values.get("thread_length_mm")
    if "designation" in values or "series" in values:
        thread = thread_of(request)
        values["thread"] = thread
        metric = thread.in_millimetres()
        return ThreadToTime(
            side=thread.side,
            lead_mm=metric.lead,
            starts=thread.starts,
            unit=thread.unit,
            length_mm=length_mm,
        )
    pitch, count = values.pop("pitch", None), values.pop("threads_per_inch", None)
    starts = values.pop("starts", 1)
    side = values.pop("side", "internal" if "hole_diameter_mm" in values else "external")
    pitch_mm = None
    if pitch is not None:
        pitch_mm = pitch * LENGTH.scale(request.unit or "mm")
    elif count is not None:
        pitch_mm = LENGTH.factor / count
    return ThreadToTime(
        side=side,
        lead_mm=None if pitch_mm is None else pitch_mm * starts,
        starts=starts,
        unit=None,
        length_mm=length_mm,
    )


def thread_operation_of(request: Request, thread: ThreadToTime) -> tuple[ThreadOperation, Machine]:
    """The thread's operation, by what is known of it, and the machine."""
    values = request.values
    planned = values.pop("thread", None)
    time_s = values.pop("thread_cutting_time_s", None)
    process = values.pop("thread_process", "milled")
    if time_s is not None:
        timed = FixedTime(time_s=time_s, name="thread", tool=THREAD_MILL, sized=True)
        return timed, machine_of(request)
    if process == "milled" and "feed_centre_mm_per_min" not in values:
        return _planned_thread(request, planned)
    known = "passes" in values and "spindle_speed_rev_per_min" in values
    if process == "turned" and planned is not None and "material" in values and not known:
        return _planned_turning(request, planned)
    machine = machine_of(request)
    lead_mm = needed(thread.lead_mm, "pitch", "the thread's call-out, or pitch")
    if process == "milled":
        return _known_milling(request, lead_mm, thread.starts), machine
    return _known_spindle(request, lead_mm, thread.starts, tapped=process == "tapped"), machine


def _known_milling(request: Request, lead_mm: float, starts: int) -> ThreadMilling:
    """The thread as known passes at a known feed mill it."""
    values = request.values
    return milled_thread(
        passes=needed(values.pop("passes", None), "passes", "a number of passes"),
        lead_mm=lead_mm,
        feed_centre_mm_per_min=values.pop("feed_centre_mm_per_min"),
        cutter_centre_radius_mm=needed(
            values.pop("cutter_centre_radius_mm", None),
            "cutter_centre_radius",
            "the radius of the cutter centre's path",
        ),
        path_length_mm=values.pop("path_length_mm", None),
        thread_length_mm=values.pop("thread_length_mm", None),
        cutter_profile=values.pop("cutter_profile", "single"),
        starts=starts,
        trail=request.trail,
    )


def _known_spindle(
    request: Request, lead_mm: float, starts: int, *, tapped: bool
) -> SinglePointThreading | Tapping:
    """The thread as a tap or a single point cuts it at a known speed of the spindle."""
    values = request.values
    length_mm = needed(values.pop("thread_length_mm", None), "thread_length", "the thread's length")
    speed = needed(
        values.pop("spindle_speed_rev_per_min", None),
        "spindle_speed",
        "the spindle's speed; turned, the call-out with material and cutter_nose_flat do too",
    )
    if tapped:
        return Tapping(depth_mm=length_mm, lead_mm=lead_mm, spindle_speed_rev_per_min=speed)
    return SinglePointThreading(
        thread_length_mm=length_mm,
        lead_mm=lead_mm,
        cuts=needed(values.pop("passes", None), "passes", "a number of cuts"),
        spindle_speed_rev_per_min=speed,
        starts=starts,
    )


def _planned_turning(
    request: Request, thread: ThreadLimits
) -> tuple[SinglePointThreading, Machine]:
    """The thread as the plan for a single point turns it."""
    from threadwright_service.api.turning import turned_of
    from threadwright_service.schemas.turning import TurningPlanRequest

    values = request.values
    length_mm = needed(values.get("thread_length_mm"), "thread_length", "the thread's length")
    milled: dict[str, Any] = {
        key: values.pop(key) for key in ("infeed", "infeed_ratio") if key in values
    }
    assume_defaults(TurningPlanRequest.wire_fields().items(), values, request.trail)
    machine = machine_of(request)
    plan = turned_of(request, thread=thread, machine=machine)
    values.update(milled)
    return (
        SinglePointThreading(
            thread_length_mm=length_mm,
            lead_mm=thread.in_millimetres().lead,
            cuts=plan.cutting_passes + plan.spring_passes,
            spindle_speed_rev_per_min=plan.spindle_speed_rev_per_min,
            starts=thread.starts,
        ),
        machine,
    )


def _planned_thread(request: Request, thread: Any) -> tuple[ThreadMilling, Machine]:
    """The thread as the pass plan cuts it."""
    values = request.values
    for key, inner in (
        ("designation", None),
        ("cutter_diameter", "cutter_diameter_mm"),
        ("cutter_teeth", "cutter_teeth"),
        ("material", "material"),
        ("thread_length", "thread_length_mm"),
    ):
        if (thread is None) if inner is None else (inner not in values):
            raise MissingInputError(
                f"the thread's time follows from a pass plan, and that needs {key}",
                parameter=key,
                accepted="thread, cutter, material and thread_length; or feed_centre with passes "
                "and cutter_centre_radius; or thread_cutting_time_s; or operations",
            )
    wanted = PassPlanRequest.wire_fields()
    assume_defaults(wanted.items(), values, request.trail)
    material = material_of(request)
    machine = machine_of(request)
    cutter = cutter_of(request, thread)
    asked = plan_input(request, thread=thread, cutter=cutter, material=material, machine=machine)
    plan = pass_plan(asked, trail=request.trail)
    return thread_milling_of(plan, lead_mm=thread.in_millimetres().lead), machine


def needed(value: Any, key: str, accepted: str) -> Any:
    """A value that is not missing.

    Raises
    ------
    MissingInputError
        If it is.
    """
    if value is None:
        raise MissingInputError(f"{key} is missing", parameter=key, accepted=accepted)
    return value
