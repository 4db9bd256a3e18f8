"""Whether another cut on the part in hand is wise: an edge does not cut what is too thin for it."""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.measurement.correction.correction_decision import (
    RADIUS_CORRECTION,
    State,
)
from threadwright_service.calc.measurement.correction.correction_result import MeasuredPart, Recut
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Formula, Trail

SMALLEST_RECUT: Final = Formula(
    "smallest correction that cuts a chip on the flank",
    "dR_min",
    "0.3*r_e / sin(radians(A))",
    "r_e A",
    unit="mm",
    source="memory, smallest chip 0.2 to 0.4 of the edge radius",
)

ASSUMED_EDGE_RADIUS_MM: Final = 0.015
_LARGEST_EDGE_RADIUS_MM: Final = 0.2


def edge_radius_mm(given_mm: float | None, trail: Trail | None) -> float:
    """The given radius of the cutting edge, else the usual one, noted as assumed [mm].

    Raises
    ------
    OutOfRangeError
        If no cutting edge has it.

    Notes
    -----
    Source: memory.
    """
    if given_mm is None:
        if trail is not None:
            trail.assume(
                "cutter_edge_radius",
                ASSUMED_EDGE_RADIUS_MM,
                "none given; a coated carbide edge (memory)",
                unit="mm",
            )
        return ASSUMED_EDGE_RADIUS_MM
    if not 0 < given_mm <= _LARGEST_EDGE_RADIUS_MM:
        raise OutOfRangeError(
            f"an edge radius of {given_mm:g} mm is no cutting edge",
            parameter="cutter_edge_radius",
            value=given_mm,
            accepted=f"above 0 mm and at most {_LARGEST_EDGE_RADIUS_MM:g} mm",
        )
    return given_mm


def recut_of(
    thread: ThreadLimits, state: State, last: MeasuredPart, edge_mm: float, trail: Trail | None
) -> Recut:
    """Whether another cut on the last part is wise.

    Parameters
    ----------
    thread : ThreadLimits
        The thread, in millimetres.
    state : State
        What is known of the series.
    last : MeasuredPart
        The part measured last.
    edge_mm : float
        Radius of the cutting edge [mm].
    trail : Trail, optional
        Takes the working.

    Notes
    -----
    Source: memory for the smallest chip; derivation for the rest.
    """
    angle = min(thread.form.pressure_flank_angle_deg, thread.form.clearance_flank_angle_deg)
    smallest = SMALLEST_RECUT(trail, edge_mm, angle)
    cut = RADIUS_CORRECTION.function(1.0, last.excess_mm)
    if last.verdict == "accept":
        return Recut(
            advice="not-needed",
            radius_correction_mm=None,
            smallest_mm=smallest,
            reason="the part is inside its limits; correct for the next one",
        )
    if last.excess_mm <= 0 or state.band.metal_left_mm(last.pitch_diameter_mm) < 0:
        return Recut(
            advice="impossible",
            radius_correction_mm=None,
            smallest_mm=smallest,
            reason="the metal is missing, not left on; correct for the next part",
        )
    if -cut < smallest:
        return Recut(
            advice="unwise",
            radius_correction_mm=cut,
            smallest_mm=smallest,
            reason=f"a cut of {-cut:.4g} mm on the radius is below the smallest chip of "
            f"{smallest:.4g} mm: the edge would rub and the size would not follow",
        )
    return Recut(
        advice="wise",
        radius_correction_mm=cut,
        smallest_mm=smallest,
        reason="the metal left on is enough for a chip",
    )
