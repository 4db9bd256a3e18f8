"""Helix over-cut: what a cutter swept along a helix takes off besides its own profile.

The pitch diameter that comes out and the root that corrects it are exact (:mod:`..envelope`).
What no depth can correct, the flank's form, is reported as the difference of the functional and
the simple pitch diameter, as the flanks' angle errors and as their straightness.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.depth import (
    nominal_root_diameter_mm,
    pitch_diameter_of_root_mm,
)
from threadwright_service.calc.milling.geometry.groove import ThreadGroove, cutter_flank_angles_deg
from threadwright_service.calc.milling.geometry.swept_groove import (
    SweptGroove,
    straight_end_radius_mm,
    swept_groove_of,
    too_large_for_the_hole,
)
from threadwright_service.calc.trail import Formula, Trail

_SAMPLES: Final = 201
_CLOSED: Final = "closed form (involute flanks), exact; Newton's method to 1e-12 mm"
_SEARCHED: Final = "largest over all points of the cutter, bracketed to 1e-12 mm"

SECOND_ORDER: Final = Formula(
    "over-cut of the pitch diameter, to second order in lead over radius (for comparison)",
    "delta_d2",
    "(L / (2 * pi))**2 * abs(1 / r2 - 1 / e) / (tan(radians(a1)) * tan(radians(a2)))",
    "L r2 e a1 a2",
    unit="mm",
    source="derivation",
)
CENTRE_RADIUS: Final = Formula(
    "radius of the cutter-centre path",
    "e",
    "d_root / 2 + s * D_c / 2",
    "d_root s D_c",
    unit="mm",
    source="derivation",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ProfilePoint:
    """One point of the groove's axial section, from the middle of the nose's track."""

    radius_mm: float
    """Distance from the thread's axis."""
    pressure_half_width_mm: float
    """Along the axis from the middle of the nose's track to the pressure flank."""
    clearance_half_width_mm: float
    """Along the axis from the middle of the nose's track to the other flank."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OverCut:
    """What the helix adds to the groove at one root diameter."""

    pitch_diameter_mm: float
    """Simple pitch diameter made, less the one by the nose alone: negative outside,
    positive inside."""
    functional_diameter_mm: float
    """The same for the pitch diameter of the perfect mating profile."""
    form_diameter_mm: float
    """Functional less simple pitch diameter, which no depth corrects; it holds an angle off
    the form's too."""
    pressure_flank_angle_error_deg: float
    """Flank angle made less the form's, by the line of least squares through the flank."""
    clearance_flank_angle_error_deg: float
    """The same on the other flank."""
    flank_straightness_mm: float
    """Width of the band about that line, normal to it, on the worse flank."""
    root_fillet_height_mm: float
    """Radial height above the root that the end of the nose leaves of the flank unmade."""
    profile: tuple[ProfilePoint, ...]
    """Points of the groove's axial section from crest to root; empty if none were asked for."""
    method: str
    """How the over-cut was found."""
    corrected: bool = False
    """Whether the root diameter allows for the over-cut."""


def over_cut(
    *,
    groove: ThreadGroove,
    cutter: Cutter,
    root_diameter_mm: float,
    corrected: bool = False,
    profile_points: int = 0,
    trail: Trail | None = None,
) -> OverCut:
    """The over-cut of a cutter at a root diameter, exact.

    Parameters
    ----------
    groove : ThreadGroove
        The thread's groove at the pitch diameter aimed at.
    cutter : Cutter
        The cutter in hand.
    root_diameter_mm : float
        Diameter that the tip makes [mm].
    corrected : bool
        Whether this root is the compensated one; only noted.
    profile_points : int
        How many points of the axial section to return, from crest to root; 0 for none.

    Raises
    ------
    InfeasibleError
        If the cutter has no room inside, or the groove is nowhere half a pitch wide.

    Notes
    -----
    Source: derivation (see :mod:`..envelope`). The functional diameter is taken between the
    crest and the end of the mating thread, less 2 % of the flank at each end.
    """
    swept = swept_groove_of(groove=groove, cutter=cutter)
    centre_mm = _centre_mm(groove, cutter, root_diameter_mm, trail)
    pitch_radius_mm = swept.pitch_radius_mm(centre_mm)
    nose_only_mm = pitch_diameter_of_root_mm(
        groove=groove, cutter=cutter, root_diameter_mm=root_diameter_mm
    )
    low_mm, high_mm = swept.contact_range_mm(root_diameter_mm)
    functional_mm = 2 * swept.functional_radius_mm(centre_mm, low_mm, high_mm)
    flanks = _flank_errors(swept, centre_mm, low_mm, high_mm)
    is_closed = swept.is_straight_at(pitch_radius_mm, centre_mm)
    result = OverCut(
        pitch_diameter_mm=2 * pitch_radius_mm - nose_only_mm,
        functional_diameter_mm=functional_mm - nose_only_mm,
        form_diameter_mm=functional_mm - 2 * pitch_radius_mm,
        pressure_flank_angle_error_deg=flanks[0][0],
        clearance_flank_angle_error_deg=flanks[1][0],
        flank_straightness_mm=max(flanks[0][1], flanks[1][1]),
        root_fillet_height_mm=_fillet_mm(swept, centre_mm, root_diameter_mm),
        profile=_profile(swept, centre_mm, root_diameter_mm, profile_points),
        method=_CLOSED if is_closed else _SEARCHED,
        corrected=corrected,
    )
    _note(result, groove, cutter, centre_mm, trail)
    return result


def made_pitch_diameter_mm(
    *, groove: ThreadGroove, cutter: Cutter, root_diameter_mm: float
) -> float:
    """Simple pitch diameter that this cutter makes at this root, over-cut included [mm].

    For plans: the pitch diameter after each pass follows from the root diameter of the pass. A
    groove still narrower than half a pitch is continued along its flanks.

    Raises
    ------
    InfeasibleError
        If the cutter has no room inside, or the groove is nowhere half a pitch wide.

    Notes
    -----
    Source: derivation.
    """
    swept = swept_groove_of(groove=groove, cutter=cutter)
    return 2 * swept.pitch_radius_mm(_centre_mm(groove, cutter, root_diameter_mm, None))


def compensated_root_diameter_mm(
    *, groove: ThreadGroove, cutter: Cutter, trail: Trail | None = None
) -> float:
    """The root diameter to programme: the simple pitch diameter comes out as aimed [mm].

    Outside it is the minor, inside the major diameter that the tip makes.

    Raises
    ------
    InfeasibleError
        If the cutter has no room inside, or no depth gives the pitch diameter.

    Notes
    -----
    Source: derivation. The groove is half a pitch wide on the pitch line; with straight flanks
    that is one equation for the path's radius, solved without iterating over depths.
    """
    swept = swept_groove_of(groove=groove, cutter=cutter)
    centre_mm = swept.centre_radius_mm(groove.pitch_diameter_mm / 2)
    root_mm = 2 * (centre_mm - groove.outward * cutter.radius_mm)
    if trail is not None and trail.steps is not None:
        trail.step(
            "root diameter corrected for over-cut",
            "d_root" if groove.side == "external" else "D_root",
            "root at which g1(d2/2) + g2(d2/2) = P/2",
            {
                "d2": groove.pitch_diameter_mm,
                "P": groove.pitch_mm,
                "D_c": cutter.diameter_mm,
                "nominal": nominal_root_diameter_mm(groove=groove, cutter=cutter),
            },
            root_mm,
            "mm",
            "derivation",
        )
    return root_mm


def _centre_mm(
    groove: ThreadGroove, cutter: Cutter, root_diameter_mm: float, trail: Trail | None
) -> float:
    """The path's radius, refused where there is no room inside [mm]."""
    centre_mm = CENTRE_RADIUS(trail, root_diameter_mm, groove.outward, cutter.diameter_mm)
    if centre_mm <= 0:
        raise too_large_for_the_hole(groove, cutter.diameter_mm)
    return centre_mm


def _flank_errors(
    swept: SweptGroove, centre_mm: float, low_mm: float, high_mm: float
) -> list[tuple[float, float]]:
    """Angle error [deg] and straightness [mm] of each flank, by least squares."""
    step_mm = (high_mm - low_mm) / (_SAMPLES - 1)
    places_mm = [low_mm + step_mm * index for index in range(_SAMPLES)]
    same = swept.flanks[0] == swept.flanks[1]
    errors: list[tuple[float, float]] = []
    for side, angle_deg in enumerate(swept.groove.flank_angles_deg):
        if side and same:
            return [errors[0], errors[0]]
        flank = swept.flanks[side]
        widths_mm = swept.flank_widths_mm(flank, places_mm, centre_mm)
        mean_place_mm, mean_width_mm = (low_mm + high_mm) / 2, sum(widths_mm) / _SAMPLES
        moments = [(place_mm - mean_place_mm) for place_mm in places_mm]
        slope_ratio = sum(
            moment * width_mm for moment, width_mm in zip(moments, widths_mm, strict=True)
        ) / sum(moment * moment for moment in moments)
        deviations_mm = [
            width_mm - mean_width_mm - slope_ratio * moment
            for moment, width_mm in zip(moments, widths_mm, strict=True)
        ]
        band_mm = max(deviations_mm) - min(deviations_mm)
        made = math.atan(swept.groove.outward * slope_ratio)
        errors.append((math.degrees(made) - angle_deg, band_mm * math.cos(math.radians(angle_deg))))
    return errors


def _fillet_mm(swept: SweptGroove, centre_mm: float, root_diameter_mm: float) -> float:
    """Radial height of the fillet between the root and the straight flanks [mm].

    The whole depth where a flank has no straight part.
    """
    outward = swept.groove.outward
    heights_mm = []
    for flank in swept.flanks:
        end_mm = straight_end_radius_mm(flank, centre_mm, outward)
        if end_mm is None:
            end_mm = swept.groove.crest_diameter_mm / 2
        heights_mm.append(outward * (end_mm - root_diameter_mm / 2))
    return max(heights_mm)


def _profile(
    swept: SweptGroove, centre_mm: float, root_diameter_mm: float, count: int
) -> tuple[ProfilePoint, ...]:
    """Points of the axial section, evenly spaced by radius from crest to root."""
    if count < 2:
        return ()
    crest_mm = swept.groove.crest_diameter_mm / 2
    root_mm = root_diameter_mm / 2 + swept.groove.outward * 1e-12
    points = []
    for index in range(count):
        radius_mm = crest_mm + (root_mm - crest_mm) * index / (count - 1)
        first_mm, second_mm = swept.half_widths_mm(radius_mm, centre_mm)
        points.append(
            ProfilePoint(
                radius_mm=radius_mm,
                pressure_half_width_mm=first_mm,
                clearance_half_width_mm=second_mm,
            )
        )
    return tuple(points)


def _note(
    result: OverCut, groove: ThreadGroove, cutter: Cutter, centre_mm: float, trail: Trail | None
) -> None:
    """Leave the steps of the working."""
    if trail is None or trail.steps is None:
        return
    SECOND_ORDER(
        trail,
        groove.lead_mm,
        groove.pitch_diameter_mm / 2,
        centre_mm,
        *cutter_flank_angles_deg(groove=groove, cutter=cutter),
    )
    trail.step(
        "over-cut of the pitch diameter, exact",
        "delta_d2",
        "2 r(g1 + g2 = P/2) - d2(nose alone)",
        {"e": centre_mm, "L": groove.lead_mm, "P": groove.pitch_mm},
        result.pitch_diameter_mm,
        "mm",
        "derivation",
    )
    trail.step(
        "functional less simple pitch diameter",
        "delta_form",
        "d2(perfect profile that fits) - d2(half a pitch wide)",
        {"crest": groove.crest_diameter_mm, "contact": groove.contact_diameter_mm},
        result.form_diameter_mm,
        "mm",
        "derivation",
    )
