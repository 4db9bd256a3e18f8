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
    """At the largest permitted pitch diameter; null where there is none."""
    min_mm: float | None
    """At the smallest permitted pitch diameter; null where there is none."""
    aim_mm: float
    """At the pitch diameter aimed at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Where the wire touches, above the pitch line towards the groove's opening [mm]."""

    pressure_flank_mm: float
    """Height of the touching point on the pressure flank; negative below the pitch line."""
    clearance_flank_mm: float
    """Height of the touching point on the other flank; negative below the pitch line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WireMeasurement:
    """How a thread is measured over wires, pins or balls, and what a reading says."""

    method: Method
    """Over three wires, two or one, or with balls, as an inside thread always is."""
    side: Side
    """Outside or inside thread."""
    lead_angle_deg: float
    """Lead angle at the pitch diameter aimed at."""
    best_wire_diameter_mm: float
    """Size that touches at the pitch line, where angle errors hardly count."""
    wire_diameter_min_mm: float | None
    """Smallest usable size; null where the heights of the form are not known."""
    wire_diameter_max_mm: float | None
    """Largest usable size; null where the heights of the form are not known."""
    wire_diameter_mm: float
    """Size measured with: the given one, one of those on hand, or the best."""
    opposite_wire_diameter_mm: float
    """Size on the other side; the same unless another was given or chosen."""
    wires_on_hand: PinChoice | None
    """What was chosen from the sizes on hand; null if none were given."""
    contact: Contact
    lead_correction_mm: float
    """Added to the reading over wires, taken off the distance between balls."""
    lead_correction_quadratic_mm: float | None
    """The same by the handbook's quadratic form; null for unsymmetrical flanks."""
    lead_correction_method: Literal["exact", "quadratic"]
    """exact: from the seat on the helical flanks; quadratic: on a tapered thread."""
    pitch_diameter_limits: Band
    """Limits that the reading is for; null where there is none."""
    aim_pitch_diameter_mm: float
    """Pitch diameter aimed at: inside the limits, else the given or the basic one."""
    reading: Reading
    reading_accepted: Band
    """Readings at the ends of the accepted pitch diameters; null where there is no limit or
    none is accepted."""
    acceptance: Acceptance | None
    """How a pitch diameter is judged; null without any limit."""
    sensitivities: Sensitivities
    uncertainty: UncertaintyBudget | None
    """Budget made of the errors that were given; null without them."""
    pitch_diameter_mm: float | None
    """Pitch diameter that the reading stands for; null without a reading."""
    deviation_from_aim_mm: float | None
    """That pitch diameter less the aim; null without a reading."""
    left_to_go_limit_mm: float | None
    """What lead and angle errors may still take before a GO gauge refuses; null without
    reading or limit."""
    verdict: Verdict | None
    """accept, reject, or undecided within the guard band; null without reading or limit."""
    measuring_force: MeasuringForce
    basis: str
    """What limits and readings rest on."""
