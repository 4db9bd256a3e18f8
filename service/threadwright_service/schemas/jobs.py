"""What a job sheet answers: the results of the other operations, side by side."""

from __future__ import annotations

from dataclasses import dataclass

from threadwright_service.calc.cutting.result import CuttingData
from threadwright_service.calc.measurement.gauges.gauge import GaugeLimits
from threadwright_service.calc.measurement.holes.thread_hole_result import ThreadHole
from threadwright_service.calc.measurement.wires.wire_result import WireMeasurement
from threadwright_service.calc.milling.path.path_elements import CentrePath
from threadwright_service.calc.milling.plan.plan_record import PassPlan
from threadwright_service.calc.threads.thread import Hand
from threadwright_service.calc.times.cycle_time import CycleTime
from threadwright_service.schemas.base import ResponseSchema
from threadwright_service.schemas.fields import Text
from threadwright_service.schemas.results import ResultOf
from threadwright_service.schemas.threads import ThreadLimitsResponse


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherHand:
    """The path of the lot's other hand: only the direction along the axis differs."""

    hand: Hand
    """The hand that the call-out does not name."""
    path: CentrePath


class JobSheetResponse(ResponseSchema):
    """Everything that one job and one lot need, on one page."""

    job = Text("Name of the job; null if none was given.", required=True, nullable=True)
    thread = ResultOf("The thread and its limits.", ThreadLimitsResponse)
    hole = ResultOf(
        "The hole before threading; null outside, or where nothing limits it.",
        ThreadHole,
        nullable=True,
    )
    wires = ResultOf(
        "Readings over wires or between balls; null where the thread has none.",
        WireMeasurement,
        nullable=True,
    )
    gauges = ResultOf(
        "GO and NOT GO gauges; null where no standard here holds them.", GaugeLimits, nullable=True
    )
    plan = ResultOf("The pass plan.", PassPlan)
    other_hand = ResultOf(
        "The path of the other hand; null where the lot has one hand alone.",
        OtherHand,
        nullable=True,
    )
    cutting = ResultOf("Cutting data of the last cutting pass.", CuttingData)
    time = ResultOf("Times, lot and cost.", CycleTime)
