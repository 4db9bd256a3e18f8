"""The operation that does a whole job: limits, wires, gauges, plan, cutting data, times."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, Final

from threadwright_service.api.cutting import machine_of, material_of
from threadwright_service.api.milling import (
    DIE_CLAMP_STUD,
    LEVELLING_SCREW,
    RING_NUT,
    cutter_of,
    plan_input,
)
from threadwright_service.api.operation import Example, Operation, Outcome, Request
from threadwright_service.api.presentation import present
from threadwright_service.api.thread_times import ThreadToTime
from threadwright_service.api.threads import presented_thread
from threadwright_service.api.times import (
    LEVELLING_SCREW_LOT,
    motion_of,
    part_of,
    terms_of,
    ways_of,
)
from threadwright_service.api.treatments import thread_to_cut
from threadwright_service.calc.cutting.case import Coolant, CuttingTool, Engagement, Wanted
from threadwright_service.calc.cutting.cutting_data import cutting_data
from threadwright_service.calc.cutting.result import CuttingData
from threadwright_service.calc.errors import REFUSALS, CalcError
from threadwright_service.calc.jobs.thread_time import thread_milling_of
from threadwright_service.calc.jobs.tool_wear import note_wear
from threadwright_service.calc.measurement.gauges.gauge_limits import gauge_limits
from threadwright_service.calc.measurement.holes.thread_hole import thread_hole
from threadwright_service.calc.measurement.wires.wire_measurement import wire_measurement
from threadwright_service.calc.milling.plan.other_hand import path_of_hand
from threadwright_service.calc.milling.plan.plan import pass_plan
from threadwright_service.calc.milling.plan.plan_input import PlanInput
from threadwright_service.calc.milling.plan.plan_record import PassPlan
from threadwright_service.calc.threads.thread import Hand, ThreadLimits
from threadwright_service.calc.times.comparing.ways import Way
from threadwright_service.calc.times.cycle_time import CycleTime, cycle_time
from threadwright_service.calc.trail import Trail
from threadwright_service.schemas.jobs import JobSheetResponse, OtherHand
from threadwright_service.schemas.times import JobSheetRequest

_JUDGED_BY_THE_PLAN: Final = ("bends-much", "rubs")
"""Of the cutting data: the plan tells bend and thin chips by its own limits, with other advice."""


def run_job_sheet(request: Request) -> Outcome:
    """Everything for one job and one lot.

    What a measuring standard does not carry for this thread is left empty and said; without limits,
    plan or times there is no sheet.
    """
    values, trail = request.values, request.trail
    thread = thread_to_cut(request)
    unit = request.unit or thread.unit
    material = material_of(request)
    machine = machine_of(request)
    cutter = cutter_of(request, thread)
    wires = _wires(request, thread)
    gauges = _or_none("gauges", lambda: gauge_limits(thread=thread, trail=trail), trail)
    hole = None
    if thread.side == "internal":
        hole = _or_none(
            "hole", lambda: thread_hole(thread=thread, process="thread-mill", trail=trail), trail
        )
    asked = plan_input(request, thread=thread, cutter=cutter, material=material, machine=machine)
    plan = pass_plan(asked, trail=trail)
    other_hand = _other_hand(values, plan, asked)
    cutting = _cutting(plan, asked, values.pop("coolant", None), trail)
    time = _times(request, asked, plan, cutting)
    sheet: dict[str, Any] = {
        "job": values.pop("job", None),
        "thread": presented_thread(thread, unit),
        "hole": present(hole, unit),
        "wires": present(wires, unit),
        "gauges": present(gauges, unit),
        "plan": present(plan, unit),
        "other_hand": present(other_hand, unit),
        "cutting": present(cutting, unit),
        "time": present(time, unit),
    }
    return Outcome(sheet, unit)


def _wires(request: Request, thread: ThreadLimits) -> Any:
    values, trail = request.values, request.trail
    given = {
        key: values.pop(key)
        for key in ("wire_diameter_mm", "wires_on_hand_mm", "uncertainty_mm")
        if key in values
    }
    aim_ratio = values.get("pitch_diameter_aim_ratio")
    if given:  # what was asked for must not be left out in silence
        return wire_measurement(thread=thread, aim_ratio=aim_ratio, trail=trail, **given)
    return _or_none(
        "wires", lambda: wire_measurement(thread=thread, aim_ratio=aim_ratio, trail=trail), trail
    )


def _or_none(what: str, compute: Callable[[], Any], trail: Trail) -> Any:
    """A part of the sheet that a thread may lack."""
    try:
        return compute()
    except CalcError as refusal:
        trail.caution(f"no-{what}", f"This sheet has no {what}: {refusal.detail}.")
        return None


def _other_hand(values: dict[str, Any], plan: PassPlan, asked: PlanInput) -> OtherHand | None:
    """The path of the other hand, where the lot has both."""
    if not (values.get("quantity_right") and values.get("quantity_left")):
        return None
    hand: Hand = "left" if asked.thread.hand == "right" else "right"
    return OtherHand(hand=hand, path=path_of_hand(asked, plan=plan, hand=hand))


def _cutting(
    plan: PassPlan, asked: PlanInput, coolant: Coolant | None, trail: Trail
) -> CuttingData:
    """Cutting data of the last cutting pass, at the plan's own speed and feed.

    The plan has judged this pass already: of what it was cautious about, its own words stay.
    """
    own = Trail(steps=trail.steps)
    last = next(each for each in reversed(plan.passes) if each.kind == "cut")
    thread, cutter = asked.thread, asked.cutter
    metric = thread.in_millimetres()
    data = cutting_data(
        material=asked.material,
        operation="thread-milling",
        tool=CuttingTool.of_cutter(cutter),
        engagement=Engagement(
            radial_width_mm=last.radial_depth_mm,
            profile_depth_mm=last.depth_mm,
            side=thread.side,
            made_diameter_mm=last.root_diameter_mm,
            pitch_mm=metric.pitch,
            lead_mm=metric.lead,
            axial_depth_mm=plan.path.helix_length_mm if cutter.profile == "full" else None,
        ),
        machine=asked.machine,
        wanted=Wanted(
            surface_speed_m_per_min=plan.surface_speed_m_per_min,
            feed_per_tooth_mm=last.feed_per_tooth_mm,
            coolant=coolant,
        ),
        trail=own,
    )
    trail.adopt_new(own, without=_JUDGED_BY_THE_PLAN)
    return replace(data, basis="speed and feed of the plan")


def _times(request: Request, asked: PlanInput, plan: PassPlan, cutting: CuttingData) -> CycleTime:
    values, thread = request.values, asked.thread
    metric = thread.in_millimetres()
    operation = thread_milling_of(plan, lead_mm=metric.lead)
    operations = part_of(request, operation, thread.side)
    motion = motion_of(request, asked.machine)
    way = Way(
        name="as asked",
        operations=operations,
        machine=motion,
        terms=terms_of(request, operation.tool),
    )
    to_time = ThreadToTime(
        side=thread.side,
        lead_mm=metric.lead,
        starts=thread.starts,
        unit=thread.unit,
        length_mm=asked.thread_length_mm,
    )
    alternatives = ways_of(request, way, to_time)
    time = cycle_time(
        operations=operations,
        machine=motion,
        lot=way.terms,
        alternatives=alternatives,
        lot_quantity=values.pop("lot_quantity", None) if alternatives else None,
        trail=request.trail,
    )
    note_wear(cutting=cutting, time=time, tool=operation.tool, trail=request.trail)
    return time


LEVELLING_SCREW_JOB: Final = {
    "job": "Levelling screws for a lift table",
    **LEVELLING_SCREW,
    **LEVELLING_SCREW_LOT,
}

OPERATIONS = (
    Operation(
        name="job-sheet",
        summary="Everything for one threading job and one lot, in one request",
        description=(
            "From one call-out, one material, one cutter, one machine and one quantity: the limits "
            "to cut to, what to read over wires or gauges, the pass plan with the cutter-centre "
            "path, cutting data, minutes of a part, time and cost of the lot, and what to be "
            "careful about. Where a coating or a hardening follows, all of it is of the thread "
            "before that. For a thread that is turned ask turning-plan, and cycle-time with "
            "thread_process turned."
        ),
        tag="jobs",
        request=JobSheetRequest,
        response=JobSheetResponse,
        run=run_job_sheet,
        refusals=REFUSALS,
        sources=("as the operations that it joins",),
        tells_thread=True,
        examples=(
            Example(title="Levelling screws: nine of each hand", request=LEVELLING_SCREW_JOB),
            Example(
                title="Die-clamp studs in inches",
                request={
                    "job": "Die-clamp studs",
                    **DIE_CLAMP_STUD,
                    "quantity": 12,
                    "setup_time_min": 60,
                    "load_time_s": 120,
                },
            ),
            Example(
                title="Ring nuts, inside",
                request={
                    "job": "Ring nuts",
                    **RING_NUT,
                    "quantity": 40,
                    "machine_rate": 70,
                    "currency": "USD",
                },
            ),
        ),
    ),
)
