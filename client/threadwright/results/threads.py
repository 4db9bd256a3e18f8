"""Results on threads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from threadwright.record import Record
from threadwright.results.answer import Result, Span


@dataclass(frozen=True, slots=True, kw_only=True)
class BasicDiameters(Record):
    """Basic dimensions."""

    major_diameter: float
    pitch_diameter: float
    minor_diameter: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DiameterLimits(Record):
    """Limits of size."""

    major_diameter: Span
    pitch_diameter: Span
    minor_diameter: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadLimits(Result):
    """Basic dimensions and limits of size of one thread."""

    designation: str
    family: str
    standard: str
    series: str
    side: str
    hand: str
    starts: int
    tolerance_class: str
    form: str
    flank_angle_deg: float
    nominal_diameter: float
    pitch: float
    lead: float
    threads_per_inch: float | None
    lead_angle_deg: float
    length_of_engagement: float | None
    length_of_engagement_group: str | None
    basic: BasicDiameters
    allowance: float
    allowances: Mapping[str, float]
    limits: DiameterLimits
    reference: Mapping[str, float]
    root_radius: Span
    stress_area: float | None
    rounding_rule: str
    basis: str
