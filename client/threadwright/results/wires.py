"""Result of measurement over wires, pins or balls."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright.quantities import Length
from threadwright.record import Record
from threadwright.results.answer import Result, Span


@dataclass(frozen=True, slots=True, kw_only=True)
class PinChoice(Record):
    """Sizes chosen from those on hand."""

    wire_diameter: Length
    opposite_wire_diameter: Length
    off_best: Length
    usable: tuple[Length, ...]
    unusable: tuple[Length, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact(Record):
    """Where the wire touches, above the pitch line towards the groove's opening."""

    pressure_flank: Length
    clearance_flank: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading(Record):
    """Readings at the limits of the pitch diameter and at the size aimed at."""

    max: Length | None
    min: Length | None
    aim: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance(Record):
    """How a pitch diameter is judged."""

    rule: Literal["guard-band", "simple"]
    uncertainty: Length | None
    guard_band: Length
    tolerance_to_uncertainty: float | None
    pitch_diameter: Span
    zone_is_empty: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensitivities(Record):
    """How far the pitch diameter moves for each input."""

    reading: float
    """For each mm of the reading."""
    wire_diameter: float
    """For each mm of wire or ball diameter (all of them alike)."""
    pitch: float
    """For each mm of pitch error."""
    flank_angle_um_per_deg: float
    """For each degree by which both half angles differ from the form's."""
    major_diameter: float
    """For each mm of the measured major diameter; 0 but for one wire."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UncertaintyComponent(Record):
    """One line of the budget; ``contribution`` is a standard uncertainty of the diameter."""

    name: str
    input: str
    contribution: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class UncertaintyBudget(Record):
    """Uncertainty of a pitch diameter over wires, and what it is made of."""

    components: tuple[UncertaintyComponent, ...]
    standard_uncertainty: Length
    coverage_factor: float
    uncertainty: Length
    """Expanded uncertainty, U."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuringForce(Record):
    """The force that the North American convention names for a pitch."""

    force_n: float
    tolerance: float
    calibration_cylinder: Length | None
    """Plain cylinder over which wires for such pitches are calibrated."""
    flattening: Length | None
    basis: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WireMeasurement(Result):
    """How a thread is measured over wires, pins or balls, and what a reading says."""

    method: Literal["three-wire", "two-wire", "one-wire", "balls"]
    side: Literal["external", "internal"]
    lead_angle_deg: float
    best_wire_diameter: Length
    wire_diameter_min: Length | None
    wire_diameter_max: Length | None
    wire_diameter: Length
    opposite_wire_diameter: Length
    wires_on_hand: PinChoice | None
    contact: Contact
    lead_correction: Length
    """Added to the reading over wires, taken off the distance between balls."""
    lead_correction_quadratic: Length | None
    lead_correction_method: Literal["exact", "quadratic"]
    pitch_diameter_limits: Span
    aim_pitch_diameter: Length
    reading: Reading
    reading_accepted: Span
    acceptance: Acceptance | None
    sensitivities: Sensitivities
    uncertainty: UncertaintyBudget | None
    pitch_diameter: Length | None
    deviation_from_aim: Length | None
    left_to_go_limit: Length | None
    """What lead and angle errors may still take before a GO gauge refuses."""
    verdict: Literal["accept", "reject", "undecided"] | None
    measuring_force: MeasuringForce
    basis: str
