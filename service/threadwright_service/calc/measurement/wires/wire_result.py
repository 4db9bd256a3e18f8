"""What a measurement over wires answers with."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright_service.calc.measurement.acceptance import Acceptance, Band, Verdict
from threadwright_service.calc.measurement.uncertainty import Sensitivities, UncertaintyBudget
from threadwright_service.calc.measurement.wires.measuring_force import MeasuringForce
from threadwright_service.calc.measurement.wires.pins import PinChoice
from threadwright_service.calc.measurement.wires.wires import Method
from threadwright_service.calc.threads.thread import Side


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """Readings at the limits of the pitch diameter and at the size aimed at [mm]."""

    max_mm: float | None
    min_mm: float | None
    aim_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Where the wire touches, above the pitch line towards the groove's opening [mm]."""

    pressure_flank_mm: float
    clearance_flank_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WireMeasurement:
    """How a thread is measured over wires, pins or balls, and what a reading says."""

    method: Method
    side: Side
    lead_angle_deg: float
    best_wire_diameter_mm: float
    wire_diameter_min_mm: float | None
    wire_diameter_max_mm: float | None
    wire_diameter_mm: float
    opposite_wire_diameter_mm: float
    wires_on_hand: PinChoice | None
    contact: Contact
    lead_correction_mm: float
    """Added to the reading over wires, taken off the distance between balls."""
    lead_correction_quadratic_mm: float | None
    lead_correction_method: Literal["exact", "quadratic"]
    pitch_diameter_limits: Band
    aim_pitch_diameter_mm: float
    reading: Reading
    reading_accepted: Band
    acceptance: Acceptance | None
    sensitivities: Sensitivities
    uncertainty: UncertaintyBudget | None
    pitch_diameter_mm: float | None
    deviation_from_aim_mm: float | None
    left_to_go_limit_mm: float | None
    """What lead and angle errors may still take before a GO gauge refuses."""
    verdict: Verdict | None
    measuring_force: MeasuringForce
    basis: str
