"""Readings over wires, pins and balls: the formulas, and what each method of measuring reads.

Every method sees the distance ``C`` between the centres of the wires or balls on opposite sides
(twice the distance of one centre from the axis). This module turns ``C`` into the reading of a
method and back; where the centres lie stands in :mod:`.wires_exact`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.errors import InfeasibleError, MissingInputError, OutOfRangeError
from threadwright_service.calc.measurement.wires.groove import Groove
from threadwright_service.calc.measurement.wires.wires_exact import (
    pitch_diameter_of_centre,
    seat,
    simple_centre_height_mm,
)
from threadwright_service.calc.trail import Formula, Trail

Method = Literal["three-wire", "two-wire", "one-wire", "balls"]
BallReading = Literal["centres", "over-balls"]
BallLine = Literal["square", "slanted"]

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
OVER_WIRES: Final = Formula(
    "reading over three wires without lead",
    "M0",
    "E + W*(1 + 1/sin(radians(A))) - P/2/tan(radians(A))",
    "E W P A",
    unit="mm",
    source="thread-wire-chart; turning-and-boring-1914",
)
OVER_WIRES_UNSYMMETRICAL: Final = Formula(
    "reading over three wires without lead",
    "M0",
    "E - P/(tan(radians(A1)) + tan(radians(A2)))"
    " + W*(1 + cos(radians((A1 - A2)/2))/sin(radians((A1 + A2)/2)))",
    "E W P A1 A2",
    unit="mm",
    source="thread-wire-chart, unsymmetrical flanks",
)
BETWEEN_BALLS: Final = Formula(
    "distance between the ball centres without lead",
    "m0",
    "E - W/sin(radians(A)) + P/2/tan(radians(A))",
    "E W P A",
    unit="mm",
    source="derivation",
)
LEAD_CORRECTION: Final = Formula(
    "lead correction, quadratic form",
    "c",
    "W/2 * (L/(pi*E))**2 * cos(radians(A)) / tan(radians(A))",
    "W L E A",
    unit="mm",
    source="metrology-text-pl, coefficient 0.075991 at 60 degrees",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class WireRange:
    """Wires that can be used in a groove [mm]; ``None`` where the form is not known."""

    best_mm: float
    max_mm: float | None
    min_mm: float | None
    min_reason: str
    """What sets the smallest wire: the crest, the root or the end of the flank."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """How a thread is measured: the method, the wires and what they are set against.

    ``opposite_wire_diameter_mm`` is that of the single wire (or the other ball) where it differs.
    A two-wire reading against a plain cylinder needs the cylinder's diameter and what the
    instrument read over it with the same wires.
    """

    method: Method
    wire_diameter_mm: float
    opposite_wire_diameter_mm: float
    standard_cylinder_mm: float | None = None
    standard_reading_mm: float | None = None
    major_diameter_measured_mm: float | None = None
    ball_reading: BallReading = "centres"
    ball_line: BallLine = "square"

    @property
    def wires_mm(self) -> tuple[float, float]:
        """The wires on both sides; the same one twice if there is but one."""
        if self.method == "one-wire":
            return self.wire_diameter_mm, self.wire_diameter_mm
        return self.wire_diameter_mm, self.opposite_wire_diameter_mm

    @property
    def mean_wire_mm(self) -> float:
        """Mean of the wires on both sides [mm]."""
        return sum(self.wires_mm) / 2


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


def centre_distance_without_lead_mm(
    *, groove: Groove, pitch_diameter_mm: float, setup: Setup
) -> float:
    """Distance of the wire or ball centres if the thread had no lead [mm].

    Notes
    -----
    Source: thread-wire-chart for wires; derivation for balls.
    """
    outward = 1.0 if groove.side == "external" else -1.0
    return pitch_diameter_mm + outward * sum(
        simple_centre_height_mm(groove, wire) for wire in setup.wires_mm
    )


def centre_distance_mm(*, groove: Groove, pitch_diameter_mm: float, setup: Setup) -> float:
    """Distance of the wire or ball centres, exact for axially straight flanks [mm].

    A tapered thread takes the quadratic lead correction instead: its lead angle is small.

    Raises
    ------
    InfeasibleError
        If no wire can lie in the groove.

    Notes
    -----
    Source: derivation.
    """
    if groove.taper_ratio:
        return centre_distance_without_lead_mm(
            groove=groove, pitch_diameter_mm=pitch_diameter_mm, setup=setup
        ) + LEAD_CORRECTION.function(
            setup.mean_wire_mm, groove.lead_mm, pitch_diameter_mm, groove.flank_angle_deg
        )
    first, second = setup.wires_mm
    radius = seat(
        groove=groove, pitch_diameter_mm=pitch_diameter_mm, wire_diameter_mm=first
    ).centre_radius_mm
    if first == second:
        return 2 * radius
    return (
        radius
        + seat(
            groove=groove, pitch_diameter_mm=pitch_diameter_mm, wire_diameter_mm=second
        ).centre_radius_mm
    )


def pitch_diameter_of_centres_mm(
    *, groove: Groove, centre_distance_mm: float, setup: Setup
) -> float:
    """Pitch diameter of the thread whose wire or ball centres are this far apart [mm].

    Raises
    ------
    InfeasibleError
        If no thread of this groove holds the wires there.

    Notes
    -----
    Source: derivation; the inverse of :func:`centre_distance_mm`.
    """
    first, second = setup.wires_mm
    if not groove.taper_ratio and first == second:
        return pitch_diameter_of_centre(
            groove=groove, centre_radius_mm=centre_distance_mm / 2, wire_diameter_mm=first
        )
    # The centres move with the pitch diameter almost one to one, so the miss of each trial is the
    # next step.
    trial = centre_distance_mm - (
        centre_distance_without_lead_mm(groove=groove, pitch_diameter_mm=1.0, setup=setup) - 1.0
    )
    for _ in range(60):
        if trial <= 0:
            break
        miss = centre_distance_mm - _centres(groove, trial, setup)
        trial += miss
        if abs(miss) <= 1e-13 * trial:
            return trial
    raise InfeasibleError(
        f"no thread with a pitch of {groove.pitch_mm:g} mm gives this reading",
        parameter="measured",
        accepted="a reading near the thread's own limits",
    )


def _centres(groove: Groove, pitch_diameter_mm: float, setup: Setup) -> float:
    return centre_distance_mm(groove=groove, pitch_diameter_mm=pitch_diameter_mm, setup=setup)


def lead_correction_quadratic_mm(
    *, groove: Groove, pitch_diameter_mm: float, setup: Setup, trail: Trail | None = None
) -> float | None:
    """Lead correction by the handbook's quadratic form [mm]; ``None`` for unsymmetrical flanks.

    It is added to the reading over wires and taken off the distance between balls.

    Notes
    -----
    Source: metrology-text-pl for the coefficient at 60 degrees; nbs-h28 (memory) for the form.
    """
    if not groove.is_symmetric:
        return None
    return LEAD_CORRECTION(
        trail, setup.mean_wire_mm, groove.lead_mm, pitch_diameter_mm, groove.flank_angle_deg
    )


def reading_mm(*, groove: Groove, centre_distance_mm: float, setup: Setup) -> float:
    """What the instrument reads when the centres are this far apart [mm].

    Three or two wires, balls outside: over both. Two wires against a plain cylinder: on the scale
    of the instrument that read over the cylinder. One wire: wire on one side, crest on the other.
    Balls inside: between the centres or over the balls, square to the axis or along the slanted
    line between opposite grooves.

    Raises
    ------
    MissingInputError
        If the method needs a size that was not given.

    Notes
    -----
    Source: gate-2011 for two wires against a cylinder; derivation for one wire, the slanted line
    and the tapered thread (which agrees with thread-wire-chart).
    """
    wire = setup.mean_wire_mm
    if setup.method == "one-wire":
        return centre_distance_mm / 2 + wire / 2 + _measured_major(setup) / 2
    if groove.side == "internal":
        line = centre_distance_mm
        if setup.ball_line == "slanted":
            line = math.hypot(line, groove_offset_mm(groove))
        return line + wire if setup.ball_reading == "over-balls" else line
    over = centre_distance_mm * math.cos(math.radians(groove.taper_angle_deg)) + wire
    if setup.standard_cylinder_mm is not None:
        return over - 2 * wire - setup.standard_cylinder_mm + _standard_reading(setup)
    return over


def centre_distance_of_reading_mm(*, groove: Groove, measured_mm: float, setup: Setup) -> float:
    """Distance of the centres when the instrument reads this [mm]; inverse of :func:`reading_mm`.

    Raises
    ------
    MissingInputError
        If the method needs a size that was not given.
    OutOfRangeError
        If the reading is smaller than the wires or the offset of the grooves allow.

    Notes
    -----
    Source: as :func:`reading_mm`.
    """
    wire = setup.mean_wire_mm
    if setup.method == "one-wire":
        distance = 2 * measured_mm - wire - _measured_major(setup)
    elif groove.side == "internal":
        line = measured_mm - wire if setup.ball_reading == "over-balls" else measured_mm
        offset = groove_offset_mm(groove) if setup.ball_line == "slanted" else 0.0
        distance = math.sqrt(max(line * line - offset * offset, 0.0)) if line > 0 else 0.0
    else:
        over = measured_mm
        if setup.standard_cylinder_mm is not None:
            over += 2 * wire + setup.standard_cylinder_mm - _standard_reading(setup)
        distance = (over - wire) / math.cos(math.radians(groove.taper_angle_deg))
    if distance <= 0:
        raise OutOfRangeError(
            f"a reading of {measured_mm:g} mm leaves nothing between the wires",
            parameter="measured",
            value=measured_mm,
            accepted="what the instrument shows over the wires, in the request's unit",
        )
    return distance


def groove_offset_mm(groove: Groove) -> float:
    """Axial distance of the nearest opposite groove: half a pitch for odd starts, else none [mm].

    Notes
    -----
    Source: derivation.
    """
    return groove.pitch_mm / 2 if groove.starts % 2 else 0.0


def _measured_major(setup: Setup) -> float:
    if setup.major_diameter_measured_mm is None:
        raise MissingInputError(
            "one wire is read against the crest, so the major diameter measured on this part is "
            "needed",
            parameter="major_diameter",
            accepted="the major diameter of this part, measured where the anvil rests",
        )
    return setup.major_diameter_measured_mm


def _standard_reading(setup: Setup) -> float:
    if setup.standard_reading_mm is None:
        raise MissingInputError(
            "a reading against a plain cylinder needs what the instrument read over the cylinder "
            "with the same wires",
            parameter="standard_reading",
            accepted="the reading over cylinder and wires",
        )
    return setup.standard_reading_mm
