"""Results on threads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from threadwright.quantities import Area, Length
from threadwright.record import Record
from threadwright.results.answer import DiameterLimits, Result, Span
from threadwright.results.treatments import (
    BeforeCoating,
    BeforeHeatTreatment,
    CoatedFit,
    FunctionalSize,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BasicDiameters(Record):
    """Basic dimensions."""

    major_diameter: Length
    pitch_diameter: Length
    minor_diameter: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadLimits(Result):
    """Basic dimensions and limits of size of one thread."""

    designation: str
    """The call-out, normalised."""
    family: str
    standard: str
    """The standard that the limits follow."""
    series: str
    side: Literal["external", "internal"]
    hand: Literal["right", "left"]
    starts: int
    tolerance_class: str
    form: str
    """The thread's profile in words."""
    flank_angle_deg: float
    """Angle of the pressure flank from the normal to the axis."""
    clearance_flank_angle_deg: float
    """Angle of the other flank; the same on a symmetric form."""
    taper: float
    """Taper on the diameter; 0 on a parallel thread."""
    nominal_diameter: Length
    pitch: Length
    lead: Length
    """Pitch times starts."""
    threads_per_inch: float | None
    lead_angle_deg: float
    """At the basic pitch diameter."""
    length_of_engagement: Length | None
    """Behind the tolerances."""
    length_of_engagement_group: str | None
    """Group of ISO 965-1."""
    basic: BasicDiameters
    allowance: Length
    """Distance of the pitch diameter's nearer limit from the basic one, never negative."""
    limits: DiameterLimits
    root_radius: Span
    stress_area: Area | None
    """Tensile stress area."""
    rounding_rule: str
    """Rule by which the limits were rounded."""
    basis: str
    state: Literal["finished", "before-coating", "before-hardening", "before-hardening-and-coating"]
    """What the numbers rest on."""
    allowances: Mapping[str, Length] = field(default_factory=dict)
    """Allowances of the other diameters, where they differ."""
    reference: Mapping[str, Length] = field(default_factory=dict)
    """Sizes that are printed but are no limits."""
    before_coating: BeforeCoating | None = None
    """Limits to cut to; only where a coating was asked about, as the next one."""
    coated_fit: CoatedFit | None = None
    before_heat_treatment: BeforeHeatTreatment | None = None
    """Limits to cut to; only where growth was asked about."""
    functional_size: FunctionalSize | None = None
    """Only where a measured part was asked about."""
