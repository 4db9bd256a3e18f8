"""The wires, pins or balls that a groove can be measured with: the best, largest and smallest."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.measurement.wires.groove import Groove
from threadwright_service.calc.trail import Formula, Trail

BEST_WIRE: Final = Formula(
    "best wire, touching at the pitch line",
    "W_b",
    "P / (2*cos(radians(A)))",
    "P A",
    unit="mm",
    source="army-od1645, three-wire lesson; thread-wire-chart",
)
BEST_WIRE_UNSYMMETRICAL: Final = Formula(
    "best wire, on which equal errors of both flank angles cancel",
    "W_b",
    "2*tan(radians((A1 + A2)/2)) * (P/2) / (tan(radians(A1)) + tan(radians(A2)))"
    " * (cos(radians(A1))**2 + cos(radians(A2))**2)"
    " / (cos(radians(A1))*cos(radians(A2))*(cos(radians(A1)) + cos(radians(A2))))",
    "P A1 A2",
    unit="mm",
    source="derivation",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class WireRange:
    """Wires that can be used in a groove [mm]; ``None`` where the form is not known."""

    best_mm: float
    max_mm: float | None
    min_mm: float | None
    min_reason: str
    """What sets the smallest wire: the crest, the root or the end of the flank."""


def wire_range(*, groove: Groove, trail: Trail | None = None) -> WireRange:
    """Best, largest and smallest wire or ball for a groove.

    The best wire touches at the pitch line. The largest one still touches the straight flank at
    the crest. The smallest one stands out above the crest, stays clear of the root and touches the
    straight flank above the root; a ball inside needs the last two alone.

    Parameters
    ----------
    groove : Groove
        The groove.
    trail : Trail, optional
        Takes the working.

    Notes
    -----
    Source: army-od1645 for the best wire; wire-limits-note for the limits of 60, 55 and 29 degree
    forms; derivation for the others and for the clearance to the root.

    Examples
    --------
    A pitch of 1 mm, as the limits are quoted for 60 degrees (0.505182, 0.57735, 1.010363):

    >>> wires = wire_range(groove=Groove(
    ...     side="external", pitch_mm=1.0, lead_mm=1.0, pressure_flank_angle_deg=30.0,
    ...     clearance_flank_angle_deg=30.0, crest_mm=0.32475953, flank_end_mm=0.32475953,
    ... ))
    >>> round(wires.min_mm, 5), round(wires.best_mm, 5), round(wires.max_mm, 6)
    (0.50518, 0.57735, 1.010363)
    """
    pressure, clearance = groove.pressure_flank_angle_deg, groove.clearance_flank_angle_deg
    best = (
        BEST_WIRE(trail, groove.pitch_mm, pressure)
        if groove.is_symmetric
        else BEST_WIRE_UNSYMMETRICAL(trail, groove.pitch_mm, pressure, clearance)
    )
    half = math.radians(groove.flank_angle_deg)
    # A tangent of length s along either flank from the sharp root goes with a wire of
    # 2 s tan(half the included angle).
    wire_per_tangent = 2 * math.tan(half)
    largest = None
    if groove.flank_end_mm is not None:
        steep = math.cos(math.radians(min(pressure, clearance)))
        largest = wire_per_tangent * (groove.sharp_root_mm + groove.flank_end_mm) / steep
    smallest, reason = _smallest_wire(groove, wire_per_tangent)
    return WireRange(best_mm=best, max_mm=largest, min_mm=smallest, min_reason=reason)


def _smallest_wire(groove: Groove, wire_per_tangent: float) -> tuple[float | None, str]:
    # Height of the centre above the sharp root for each unit of wire diameter.
    lift = math.cos(math.radians(groove.tilt_deg)) / (
        2 * math.sin(math.radians(groove.flank_angle_deg))
    )
    bounds: list[tuple[float, str]] = []
    if groove.side == "external" and groove.crest_mm is not None:
        bounds.append(
            (
                (groove.crest_mm + groove.sharp_root_mm) / (lift + 0.5),
                "a smaller wire does not stand out above the crest",
            )
        )
    if groove.root_mm is not None and lift > 0.5:
        bounds.append(
            (
                (groove.sharp_root_mm - groove.root_mm) / (lift - 0.5),
                "a smaller wire rests on the root instead of the flanks",
            )
        )
    if groove.flank_start_mm is not None:
        flat = math.cos(
            math.radians(max(groove.pressure_flank_angle_deg, groove.clearance_flank_angle_deg))
        )
        bounds.append(
            (
                wire_per_tangent * (groove.sharp_root_mm - groove.flank_start_mm) / flat,
                "a smaller wire touches below the straight flank",
            )
        )
    if not bounds or (groove.side == "external" and groove.crest_mm is None):
        return None, ""
    return max(bounds)
