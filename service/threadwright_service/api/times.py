"""The operation on cycle times, and how a request's part, machine and lot are read."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import fields
from typing import Any, Final

from threadwright_service.api.cutting import machine_of
from threadwright_service.api.milling import LEVELLING_SCREW
from threadwright_service.api.operation import Example, Operation, Outcome, Request
from threadwright_service.api.thread_times import (
    THREAD_MILL,
    ThreadOperation,
    ThreadToTime,
    needed,
    thread_operation_of,
    thread_to_time,
)
from threadwright_service.calc.errors import REFUSALS, CalcError
from threadwright_service.calc.milling.geometry.cutter import Machine
from threadwright_service.calc.times.comparing.common_case import (
    PartKeys,
    left_untimed,
    milled_thread,
    thread_operations,
)
from threadwright_service.calc.times.comparing.comparisons import (
    THREADS,
    fewer_passes,
    other_feed,
    other_holding,
    other_thread,
)
from threadwright_service.calc.times.comparing.ways import Way
from threadwright_service.calc.times.cycle_time import CycleTime, cycle_time
from threadwright_service.calc.times.lot.terms import LotTerms, ToolTerms
from threadwright_service.calc.times.motion.machine_motion import MachineMotion, machine_motion
from threadwright_service.calc.times.operations.operation_time import Operation as PartOperation
from threadwright_service.calc.times.operations.operations import operation_of
from threadwright_service.calc.times.operations.thread_milling import ThreadMilling
from threadwright_service.calc.times.operations.thread_operations import SinglePointThreading
from threadwright_service.schemas.times import CycleTimeRequest

_PART_KEYS: Final = tuple(field.name for field in fields(PartKeys) if field.name != "side")
_TERM_KEYS: Final = tuple(field.name for field in fields(LotTerms) if field.name != "tools")
_HOLDING_KEYS: Final = (
    "setup_time_min",
    "load_time_s",
    "fixture_cost",
    "scrap_share",
    "measure_every",
    "first_article_trials",
)


def motion_of(request: Request, machine: Machine) -> MachineMotion:
    """How the machine moves; its keys are used up."""
    values = request.values
    return machine_motion(
        rapid_rate_mm_per_min=machine.rapid_rate_mm_per_min,
        acceleration_g=machine.acceleration_g,
        deceleration_g=values.pop("braking_g", None),
        centripetal_acceleration_g=values.pop("centripetal_g", None),
        feed_rate_max_mm_per_min=machine.feed_rate_max_mm_per_min,
        block_rate_per_s=values.pop("block_rate_per_s", None),
        look_ahead_blocks=values.pop("look_ahead_blocks", None),
        trail=request.trail,
    )


def terms_of(request: Request, tool: str) -> LotTerms:
    """The terms of the lot; its keys are used up. ``tool`` is the thread's tool."""
    values = request.values
    given = {key: values.pop(key) for key in _TERM_KEYS if key in values}
    thread_tool = {
        inner: values.pop(key)
        for key, inner in (
            ("tool_life_min", "life_min"),
            ("tool_cost", "cost"),
            ("tool_replacement_time_s", "replacement_time_s"),
        )
        if key in values
    }
    tools = [ToolTerms(**tool) for tool in values.pop("tools", ())]
    if thread_tool:
        tools.insert(0, ToolTerms(name=tool, **thread_tool))
    return LotTerms(tools=tuple(tools), **given)


def part_of(request: Request, thread: ThreadOperation, side: Any) -> tuple[PartOperation, ...]:
    """The operations of the part around its thread; their keys are used up."""
    values = request.values
    given = {key: values.pop(key) for key in _PART_KEYS if key in values}
    keys = PartKeys(side=side, **given)
    operations = thread_operations(thread=thread, keys=keys)
    not_timed = left_untimed(keys)
    if not_timed:
        request.trail.caution(
            "not-in-the-time",
            f"Neither time nor cost holds what was not given: {', '.join(not_timed)}.",
        )
    return operations


def ways_of(request: Request, way: Way, thread: ThreadToTime) -> list[Way]:
    """The other ways that a request asks to compare; their keys are used up."""
    values, trail = request.values, request.trail
    ways = []
    holding = {
        key: values.pop(f"alternative_{key}")
        for key in _HOLDING_KEYS
        if f"alternative_{key}" in values
    }
    if holding:
        ways.append(other_holding(way, **holding))
    other = {
        key.removeprefix("alternative_thread_"): values.pop(key)
        for key in [key for key in values if key.startswith("alternative_thread_")]
    }
    if other:
        ways.append(_other_thread(request, way, thread, other))
    feed_ratio = values.pop("what_if_feed_ratio", None)
    if feed_ratio is not None:
        with _blaming("what_if_feed_ratio"):
            ways.append(other_feed(way, feed_ratio=feed_ratio, trail=trail))
    passes = values.pop("what_if_passes", None)
    if passes is not None:
        with _blaming("what_if_passes"):
            ways.append(fewer_passes(way, passes=passes, trail=trail))
    return ways


@contextmanager
def _blaming(parameter: str) -> Iterator[None]:
    """Refusals within are told of the key that asked for the comparison."""
    try:
        yield
    except CalcError as refusal:
        raise refusal.blaming(parameter) from refusal


def run_cycle_time(request: Request) -> Outcome:
    """Times of a part and a lot, its cost, and what other ways would save."""
    values = request.values
    listed = values.pop("operations", None)
    thread = thread_to_time(request)
    machine = Machine() if listed is not None else None
    if listed is not None:
        operations = tuple(_listed(each, place) for place, each in enumerate(listed))
        tool = _sizing_tool(operations)
        machine = machine_of(request)
    else:
        operation, machine = thread_operation_of(request, thread)
        tool = operation.tool
        operations = part_of(request, operation, thread.side)
    motion = motion_of(request, machine)
    way = Way(
        name="as asked",
        operations=operations,
        machine=motion,
        terms=terms_of(request, tool or THREAD_MILL),
    )
    alternatives = ways_of(request, way, thread)
    result = cycle_time(
        operations=operations,
        machine=motion,
        lot=way.terms,
        alternatives=alternatives,
        lot_quantity=values.pop("lot_quantity", None) if alternatives else None,
        trail=request.trail,
    )
    return Outcome(result, request.unit or thread.unit or "mm")


def _sizing_tool(operations: tuple[PartOperation, ...]) -> str:
    """The tool that makes the size: that of a sized operation, else that of a thread."""
    sized = [each for each in operations if getattr(each, "sized", False)]
    threads = [each for each in operations if isinstance(each, THREADS)]
    return next((str(each.tool) for each in (*sized, *threads) if getattr(each, "tool", "")), "")


def _listed(members: dict[str, Any], place: int) -> PartOperation:
    """One operation of the list; what is wrong with it is told of its place."""
    try:
        return operation_of(
            members["kind"], {key: value for key, value in members.items() if key != "kind"}
        )
    except CalcError as refusal:
        raise refusal.blaming(f"operations.{place}.{refusal.parameter}") from refusal


def _other_thread(request: Request, way: Way, thread: ThreadToTime, other: dict[str, Any]) -> Way:
    """The same lot with the thread milled by another cutter, or turned."""
    present = [each for each in way.operations if isinstance(each, THREADS)]
    lead_mm = needed(thread.lead_mm, "pitch", "the thread's call-out, or pitch")
    length_mm = thread.length_mm
    if length_mm is None and present:
        length_mm = _length_of(present[0])
    length_mm = needed(length_mm, "thread_length", "the thread's length")
    operation = _other_operation(request, other, lead_mm, length_mm, thread.starts)
    replaced = {each.tool for each in present}
    tool = ToolTerms(
        name=operation.tool, life_min=other.get("tool_life_min"), cost=other.get("tool_cost")
    )
    return other_thread(
        way,
        thread=operation,
        tools=(tool, *(each for each in way.terms.tools if each.name not in replaced)),
        setup_time_min=other.get("setup_time_min"),
    )


def _other_operation(
    request: Request, other: dict[str, Any], lead_mm: float, length_mm: float, starts: int
) -> ThreadMilling | SinglePointThreading:
    passes = needed(other.get("passes"), "alternative_thread_passes", "a number of passes")
    if other.get("process", "milled") == "turned":
        return SinglePointThreading(
            thread_length_mm=length_mm,
            lead_mm=lead_mm,
            cuts=passes,
            spindle_speed_rev_per_min=needed(
                other.get("spindle_speed_rev_per_min"),
                "alternative_thread_spindle_speed",
                "the spindle's speed",
            ),
            starts=starts,
            tool="threading tool",
        )
    return milled_thread(
        passes=passes,
        lead_mm=lead_mm,
        feed_centre_mm_per_min=needed(
            other.get("feed_centre_mm_per_min"),
            "alternative_thread_feed_centre",
            "the feed of the cutter's centre",
        ),
        cutter_centre_radius_mm=needed(
            other.get("cutter_centre_radius_mm"),
            "alternative_thread_cutter_centre_radius",
            "the radius of the cutter centre's path",
        ),
        thread_length_mm=length_mm,
        cutter_profile=other.get("cutter_profile", "single"),
        starts=starts,
        tool="other thread mill",
        trail=request.trail,
    )


def _length_of(operation: Any) -> float | None:
    return getattr(operation, "thread_length_mm", None)


LEVELLING_SCREW_LOT: Final = {
    "quantity_right": 9,
    "quantity_left": 9,
    "setup_time_min": 45,
    "load_time_s": 90,
    "machine_rate": 65,
    "tool_cost": 140,
    "tool_life_min": 90,
    "material_cost": 6.5,
    "rapid_rate": 15000,
    "currency": "EUR",
}

OPERATIONS = (
    Operation(
        name="cycle-time",
        summary="Time of a part, time and cost of a lot, and what other ways would save",
        description=(
            "Minutes of a part from its operations, with motion limited by acceleration, small "
            "circles and the control, the thread as it is known or as pass-plan or, turned, "
            "turning-plan cuts it; minutes and money of a lot with set-up, first article, "
            "measuring, tool life and scrap, as a band; prices for other quantities; from which "
            "quantity on another holding, cutter or process pays."
        ),
        tag="times",
        request=CycleTimeRequest,
        response=CycleTime,
        run=run_cycle_time,
        refusals=REFUSALS,
        sources=("derivation", "common practice for typical times", "learning curve theory"),
        examples=(
            Example(
                title="Levelling screws: nine right hand and nine left hand, from the pass plan",
                request={**LEVELLING_SCREW, **LEVELLING_SCREW_LOT},
            ),
            Example(
                title="Die-clamp studs: known passes, and a better holding",
                request={
                    "unit": "in",
                    "designation": "3/4-16 UNF-2A",
                    "thread_length": 1.25,
                    "passes": 5,
                    "feed_centre": 4.8,
                    "cutter_centre_radius": 0.517,
                    "quantity": 12,
                    "setup_time_min": 60,
                    "load_time_s": 120,
                    "machine_rate": 70,
                    "tool_cost": 95,
                    "tool_life_min": 60,
                    "alternative_setup_time_min": 90,
                    "alternative_load_time_s": 30,
                    "alternative_fixture_cost": 150,
                    "what_if_feed_ratio": 2,
                },
            ),
            Example(
                title="Feed screw: turned with one edge",
                request={
                    "unit": "mm",
                    "designation": "Tr32x6-7e",
                    "thread_process": "turned",
                    "thread_length": 220,
                    "passes": 22,
                    "spindle_speed": 280,
                    "quantity": 5,
                    "setup_time_min": 40,
                    "machine_rate": 55,
                },
            ),
        ),
        rows="breakdown",
    ),
)
