"""Result of a job sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright.record import Record
from threadwright.results.answer import Result
from threadwright.results.cutting import CuttingData
from threadwright.results.gauges import GaugeLimits
from threadwright.results.holes import ThreadHole
from threadwright.results.milling import CentrePath, PassPlan
from threadwright.results.threads import ThreadLimits
from threadwright.results.times import CycleTime
from threadwright.results.wires import WireMeasurement


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherHand(Record):
    """The path of the lot's other hand: only the direction along the axis differs."""

    hand: Literal["right", "left"]
    path: CentrePath


@dataclass(frozen=True, slots=True, kw_only=True)
class JobSheet(Result):
    """Everything that one job and one lot need, on one page."""

    job: str | None
    """Name of the job."""
    thread: ThreadLimits
    """The thread and its limits."""
    hole: ThreadHole | None
    """The hole before threading, inside."""
    wires: WireMeasurement | None
    """Readings over wires or between balls."""
    gauges: GaugeLimits | None
    """GO and NOT GO gauges."""
    plan: PassPlan
    """The pass plan."""
    other_hand: OtherHand | None
    """The path of the other hand."""
    cutting: CuttingData
    """Cutting data of the last cutting pass."""
    time: CycleTime
    """Times, lot and cost."""
