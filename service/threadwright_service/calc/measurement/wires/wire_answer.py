"""The answer of a measurement over wires: readings at the limits, and what a reading says."""

from __future__ import annotations

from threadwright_service.calc.measurement.acceptance import Acceptance, Band, verdict
from threadwright_service.calc.measurement.uncertainty import UncertaintyBudget, sensitivities
from threadwright_service.calc.measurement.wires.groove import BareThread
from threadwright_service.calc.measurement.wires.measuring import Measuring
from threadwright_service.calc.measurement.wires.measuring_force import (
    MeasuringForce,
    flattening_mm,
    measuring_force,
)
from threadwright_service.calc.measurement.wires.wire_result import (
    Contact,
    Reading,
    WireMeasurement,
)
from threadwright_service.calc.measurement.wires.wires import (
    BETWEEN_BALLS,
    OVER_WIRES,
    OVER_WIRES_UNSYMMETRICAL,
    centre_distance_mm,
    centre_distance_without_lead_mm,
    lead_correction_quadratic_mm,
)
from threadwright_service.calc.measurement.wires.wires_exact import seat
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail


def wire_answer(
    measuring: Measuring,
    judged: Acceptance | None,
    budget: UncertaintyBudget | None,
    found_mm: float | None,
    trail: Trail | None,
) -> WireMeasurement:
    """The whole answer; ``found_mm`` is the pitch diameter that a reading gave [mm]."""
    groove, setup, wires = measuring.groove, measuring.setup, measuring.wires
    limits, aim_mm, go_mm = measuring.limits, measuring.aim_mm, measuring.go_limit_mm
    lead_correction_mm = _lead_correction_mm(measuring)
    _show(measuring, lead_correction_mm, trail)
    return WireMeasurement(
        method=setup.method,
        side=groove.side,
        lead_angle_deg=groove.lead_angle_deg(aim_mm),
        best_wire_diameter_mm=wires.best_mm,
        wire_diameter_min_mm=wires.min_mm,
        wire_diameter_max_mm=wires.max_mm,
        wire_diameter_mm=setup.wire_diameter_mm,
        opposite_wire_diameter_mm=setup.opposite_wire_diameter_mm,
        wires_on_hand=measuring.choice,
        contact=_contact(measuring),
        lead_correction_mm=lead_correction_mm,
        lead_correction_quadratic_mm=lead_correction_quadratic_mm(
            groove=groove, pitch_diameter_mm=aim_mm, setup=setup, trail=trail
        ),
        lead_correction_method="quadratic" if groove.taper_ratio else "exact",
        pitch_diameter_limits=Band(max_mm=limits.max, min_mm=limits.min),
        aim_pitch_diameter_mm=aim_mm,
        reading=Reading(
            max_mm=_read_mm(measuring, limits.max),
            min_mm=_read_mm(measuring, limits.min),
            aim_mm=measuring.reading_mm(aim_mm),
        ),
        reading_accepted=_reading_accepted(measuring, judged),
        acceptance=judged,
        sensitivities=sensitivities(
            groove=groove, setup=setup, best_wire_diameter_mm=wires.best_mm
        ),
        uncertainty=budget,
        pitch_diameter_mm=found_mm,
        deviation_from_aim_mm=None if found_mm is None else found_mm - aim_mm,
        left_to_go_limit_mm=None
        if found_mm is None or go_mm is None
        else measuring.outward * (go_mm - found_mm),
        verdict=None
        if found_mm is None or judged is None
        else verdict(pitch_diameter_mm=found_mm, limits=limits, judged=judged),
        measuring_force=_force(measuring),
        basis=_basis(measuring.thread),
    )


def _read_mm(measuring: Measuring, pitch_diameter_mm: float | None) -> float | None:
    return None if pitch_diameter_mm is None else measuring.reading_mm(pitch_diameter_mm)


def _reading_accepted(measuring: Measuring, judged: Acceptance | None) -> Band:
    """Readings at the ends of the zone in which a pitch diameter is accepted."""
    if judged is None:
        return Band(max_mm=None, min_mm=None)
    zone = judged.pitch_diameter
    return Band(max_mm=_read_mm(measuring, zone.max_mm), min_mm=_read_mm(measuring, zone.min_mm))


def _contact(measuring: Measuring) -> Contact:
    seats = seat(
        groove=measuring.groove,
        pitch_diameter_mm=measuring.aim_mm,
        wire_diameter_mm=measuring.setup.wire_diameter_mm,
    )
    return Contact(
        pressure_flank_mm=seats.pressure_contact_mm,
        clearance_flank_mm=seats.clearance_contact_mm,
    )


def _lead_correction_mm(measuring: Measuring) -> float:
    """What the lead adds to the reading over wires, or takes off between balls [mm]."""
    groove, setup, aim_mm = measuring.groove, measuring.setup, measuring.aim_mm
    exact_mm = centre_distance_mm(groove=groove, pitch_diameter_mm=aim_mm, setup=setup)
    plain_mm = centre_distance_without_lead_mm(groove=groove, pitch_diameter_mm=aim_mm, setup=setup)
    return measuring.outward * (exact_mm - plain_mm)


def _force(measuring: Measuring) -> MeasuringForce:
    groove, setup = measuring.groove, measuring.setup
    force = measuring_force(pitch_mm=groove.pitch_mm)
    if setup.method != "three-wire" or not groove.is_symmetric:
        return force
    return measuring_force(
        pitch_mm=groove.pitch_mm,
        flattening_mm=flattening_mm(
            force_n=force.force_n,
            pitch_diameter_mm=measuring.aim_mm,
            wire_diameter_mm=setup.mean_wire_mm,
            flank_angle_deg=groove.flank_angle_deg,
        ),
    )


def _show(measuring: Measuring, lead_correction_mm: float, trail: Trail | None) -> None:
    """The reading without lead, as the handbooks write it, and what the lead adds."""
    groove, aim_mm, wire_mm = measuring.groove, measuring.aim_mm, measuring.setup.mean_wire_mm
    pressure, clearance = groove.pressure_flank_angle_deg, groove.clearance_flank_angle_deg
    if groove.side == "internal":
        if groove.is_symmetric:
            BETWEEN_BALLS(trail, aim_mm, wire_mm, groove.pitch_mm, pressure)
    elif groove.is_symmetric:
        OVER_WIRES(trail, aim_mm, wire_mm, groove.pitch_mm, pressure)
    else:
        OVER_WIRES_UNSYMMETRICAL(trail, aim_mm, wire_mm, groove.pitch_mm, pressure, clearance)
    if trail is not None and not groove.taper_ratio:
        trail.step(
            "lead correction, exact",
            "c",
            "seat of the wire on the helical flanks, less the seat without lead",
            {"E": aim_mm, "W": wire_mm, "P": groove.pitch_mm, "L": groove.lead_mm},
            lead_correction_mm,
            "mm",
            "derivation, exact for axially straight flanks",
        )


def _basis(thread: ThreadLimits | BareThread) -> str:
    seat_basis = "readings: derivation, checked numerically and against published examples"
    if isinstance(thread, BareThread):
        return seat_basis
    return f"limits: {thread.basis}; {seat_basis}"
