"""What coating, heat treatment and errors of form do to a thread's limits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright.quantities import Length
from threadwright.record import Record
from threadwright.results.answer import DiameterLimits, Span


@dataclass(frozen=True, slots=True, kw_only=True)
class BeforeCoating(Record):
    """Limits to cut to, so that they hold after coating."""

    thickness_min: Length
    thickness_max: Length
    flank_factor: float
    """Change of the pitch diameter for each unit of thickness."""
    limits: DiameterLimits
    pitch_diameter_tolerance: Length | None
    """What is left of the tolerance before coating."""
    tolerance_taken: Length
    """What the spread of the thickness takes from it."""
    basis: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ThicknessByIso4042(Record):
    """The largest thickness by ISO 4042."""

    length: Literal["local", "le5d", "le10d", "le15d"]
    """Where it is measured, or the longest coated length in diameters."""
    thickness_max_um: float
    departs_from_rule: bool
    """Whether the standard's table prints another value than its own rule gives."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatedFit(Record):
    """Whether a coating fits the allowance."""

    allowance: Length
    flank_factor: float
    """Change of the pitch diameter for each unit of thickness."""
    thickness_max: Length
    """Largest thickness that never passes the basic size, by geometry alone."""
    coated_pitch_diameter: Span
    """Limits after coating with the given thickness; as cut without one."""
    basic_pitch_diameter: Length
    fits: bool | None
    left: Length | None
    """Distance from the largest coated screw (smallest coated nut) to the basic size."""
    iso_4042: ThicknessByIso4042 | None
    basis: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BeforeHeatTreatment(Record):
    """Limits to cut to, so that they hold after the part has grown or shrunk."""

    growth_min: float
    growth_max: float
    length_of_engagement: Length
    pitch_effect: Length
    """What the lead error of the larger growth costs on the pitch diameter."""
    pitch_diameter: Span
    major_diameter: Span
    minor_diameter: Span
    pitch_diameter_tolerance: Length | None
    basis: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FunctionalSize(Record):
    """The pitch diameter that a GO gauge feels."""

    side: Literal["external", "internal"]
    pitch_diameter: Length
    pitch_effect: Length
    angle_effect: Length
    angle_rule: Literal["flank-by-flank", "iso", "mean"]
    functional_pitch_diameter: Length
    go_limit: Length | None
    left_to_go_limit: Length | None
    """What is left of the tolerance on the GO side; negative if the GO gauge refuses."""
    passes_go: bool | None
    pitch_diameter_for_go: Length | None
    """Simple pitch diameter at which, with these errors, the GO gauge just goes."""
    basis: str
