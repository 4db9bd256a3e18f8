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
