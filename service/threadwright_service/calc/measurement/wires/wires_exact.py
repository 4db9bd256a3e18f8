"""Where a wire or ball really lies in a helical groove with axially straight flanks.

A ball touches each flank in one point. On a symmetric form the two contact normals are mirror
images in the radial line, so a line square to both runs through the ball's centre: a straight wire
of the same diameter, free to swivel, lies with its axis on that line and its centre where the
ball's centre is. An independent model of a free wire agrees, on unsymmetrical forms too, as far as
:func:`.groove.check_lead_angle` lets a thread through.

The flank is ``(r cos u, r sin u, w + (r - E/2) tan A + lead u / 2 pi)`` and the centre stands on
the x axis. For a given centre the nearest point of the flank has its r in closed form, so one
unknown u is left inside, and the centre's radius (or the pitch diameter, when a reading is turned
back) outside. Both are found by Newton's method from the formula without lead.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.measurement.wires.groove import Groove

_ROUNDS: Final = 60
_CLOSE: Final = 1e-14
"""Relative step at which an iteration has settled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """Where a wire or ball lies.

    ``centre_radius_mm`` is the distance of its centre from the thread's axis. The contact heights
    are those of the touching points above the pitch line, positive towards the groove's opening.
    """

    centre_radius_mm: float
    pressure_contact_mm: float
    clearance_contact_mm: float


@dataclass(frozen=True, slots=True)
class _Touch:
    """The nearest point of a flank to a centre, relative to it."""

    distance: float
    radial: float
    """Component of (point - centre) along the radius through the centre."""
    axial: float
    height: float
    """Radius of the point less the pitch radius."""


def simple_centre_height_mm(groove: Groove, wire_diameter_mm: float) -> float:
    """Wire centre above the pitch line if the thread had no lead [mm].

    Notes
    -----
    Source: thread-wire-chart, constants for symmetric and unsymmetrical flanks.
    """
    half = math.radians(groove.flank_angle_deg)
    to_apex = (wire_diameter_mm / 2) / math.sin(half)
    return to_apex * math.cos(math.radians(groove.tilt_deg)) - groove.sharp_root_mm


def seat(*, groove: Groove, pitch_diameter_mm: float, wire_diameter_mm: float) -> Seat:
    """Seat of a wire or ball in a groove of known pitch diameter.

    Parameters
    ----------
    groove : Groove
        The groove; a taper is not taken into account here.
    pitch_diameter_mm : float
        Pitch diameter, E [mm]; above 0.
    wire_diameter_mm : float
        Wire or ball diameter, W [mm]; above 0.

    Raises
    ------
    InfeasibleError
        If no seat is found: the sizes are no thread that a wire could lie in.

    Notes
    -----
    Source: derivation; checked against a dense sampling of the flanks, a free wire, and the
    involute form of the same screw.

    Examples
    --------
    The ball of 0.866 mm in M10x1.5-6H, pitch diameter 9.116 mm (measurement by an independent
    program: 8.68117 mm between the centres):

    >>> m10 = Groove(
    ...     side="internal", pitch_mm=1.5, lead_mm=1.5,
    ...     pressure_flank_angle_deg=30.0, clearance_flank_angle_deg=30.0,
    ... )
    >>> round(2 * seat(groove=m10, pitch_diameter_mm=9.116, wire_diameter_mm=0.866)
    ...       .centre_radius_mm, 5)
    8.68117
    """
    outward = 1.0 if groove.side == "external" else -1.0
    start = pitch_diameter_mm / 2 + outward * simple_centre_height_mm(groove, wire_diameter_mm)
    radius, _, first, second = _settle(
        groove, wire_diameter_mm / 2, start, pitch_diameter_mm / 2, moves_centre=True
    )
    return Seat(
        centre_radius_mm=radius,
        pressure_contact_mm=outward * first.height,
        clearance_contact_mm=outward * second.height,
    )


def pitch_diameter_of_centre(
    *, groove: Groove, centre_radius_mm: float, wire_diameter_mm: float
) -> float:
    """Pitch diameter of the thread in which a wire lies at this distance from the axis [mm].

    Parameters
    ----------
    groove : Groove
        The groove.
    centre_radius_mm : float
        Distance of the wire's or ball's centre from the thread's axis [mm].
    wire_diameter_mm : float
        Wire or ball diameter, W [mm]; above 0.

    Raises
    ------
    InfeasibleError
        If no thread of this groove holds the wire there.

    Notes
    -----
    Source: derivation; the inverse of :func:`seat`.
    """
    outward = 1.0 if groove.side == "external" else -1.0
    start = centre_radius_mm - outward * simple_centre_height_mm(groove, wire_diameter_mm)
    _, pitch_radius, _, _ = _settle(
        groove, wire_diameter_mm / 2, centre_radius_mm, start, moves_centre=False
    )
    return 2 * pitch_radius


def _settle(
    groove: Groove, wire_radius: float, centre: float, pitch_radius: float, *, moves_centre: bool
) -> tuple[float, float, _Touch, _Touch]:
    """Move the centre or the thread until both flanks are one wire radius away."""
    if min(centre, pitch_radius) <= 0:
        raise _no_seat(groove)
    outward = 1.0 if groove.side == "external" else -1.0
    tangents = [
        outward * math.tan(math.radians(angle))
        for angle in (groove.pressure_flank_angle_deg, groove.clearance_flank_angle_deg)
    ]
    half_width, turn = groove.pitch_mm / 4, groove.lead_mm / (2 * math.pi)
    axial = 0.0 if groove.is_symmetric else _simple_axial(groove, wire_radius)
    for _ in range(_ROUNDS):
        # The second flank is the first one turned about the radius through the centre, which
        # reverses the axial direction and leaves the helix's hand as it is.
        first = _nearest(centre, pitch_radius, half_width - axial, tangents[0], turn)
        second = (
            first
            if groove.is_symmetric
            else _nearest(centre, pitch_radius, half_width + axial, tangents[1], turn)
        )
        if first.distance <= 0 or second.distance <= 0:
            break
        short = (wire_radius - first.distance, wire_radius - second.distance)
        slopes = [
            -touch.radial / touch.distance
            if moves_centre
            else -tangent * touch.axial / touch.distance
            for touch, tangent in zip((first, second), tangents, strict=True)
        ]
        step, shift = _steps(
            slopes,
            (-first.axial / first.distance, second.axial / second.distance),
            short,
            is_symmetric=groove.is_symmetric,
        )
        if moves_centre:
            centre += step
        else:
            pitch_radius += step
        axial += shift
        if not (min(centre, pitch_radius) > 0 and math.isfinite(step)):
            break
        if abs(step) + abs(shift) <= _CLOSE * (centre + pitch_radius):
            if max(abs(first.height), abs(second.height)) > groove.pitch_mm:
                break  # a solution of the equations that lies on no flank
            return centre, pitch_radius, first, second
    raise _no_seat(groove)


def _nearest(
    centre: float, pitch_radius: float, half_width: float, tangent: float, turn: float
) -> _Touch:
    """Nearest point of the flank ``z = half_width + (r - R) tangent + turn u`` to the centre."""
    at_axis = half_width - pitch_radius * tangent
    steep = 1 + tangent * tangent
    angle = 0.0
    for _ in range(_ROUNDS):
        sine, cosine = math.sin(angle), math.cos(angle)
        lifted = at_axis + turn * angle
        radius = (centre * cosine - tangent * lifted) / steep
        axial = lifted + radius * tangent
        radius_slope = (-centre * sine - tangent * turn) / steep
        slope = centre * (radius_slope * sine + radius * cosine) + turn * (
            tangent * radius_slope + turn
        )
        if slope <= 0:
            break
        step = -(centre * radius * sine + turn * axial) / slope
        angle += step
        if abs(step) <= _CLOSE:
            break
    radial, across = radius * cosine - centre, radius * sine
    return _Touch(
        distance=math.sqrt(radial * radial + across * across + axial * axial),
        radial=radial,
        axial=axial,
        height=radius - pitch_radius,
    )


def _simple_axial(groove: Groove, wire_radius: float) -> float:
    """Axial place of the wire's centre from the middle of the groove, without lead."""
    half, tilt = math.radians(groove.flank_angle_deg), math.radians(groove.tilt_deg)
    pressure = math.tan(math.radians(groove.pressure_flank_angle_deg))
    apex = groove.pitch_mm / 4 - groove.sharp_root_mm * pressure
    return apex + wire_radius / math.sin(half) * math.sin(tilt)


def _steps(
    slopes: list[float],
    leans: tuple[float, float],
    short: tuple[float, float],
    *,
    is_symmetric: bool,
) -> tuple[float, float]:
    """The steps of radius and axial place that close both gaps to first order."""
    if is_symmetric:
        return (short[0] / slopes[0] if slopes[0] else math.nan), 0.0
    determinant = slopes[0] * leans[1] - leans[0] * slopes[1]
    if determinant == 0:
        return math.nan, math.nan
    return (
        (short[0] * leans[1] - leans[0] * short[1]) / determinant,
        (slopes[0] * short[1] - short[0] * slopes[1]) / determinant,
    )


def _no_seat(groove: Groove) -> InfeasibleError:
    return InfeasibleError(
        "no wire or ball can lie in this groove: pitch "
        f"{groove.pitch_mm:g} mm, lead {groove.lead_mm:g} mm and the diameters do not go together",
        parameter="pitch_diameter",
    )
