"""Depth from the cutter in hand: the root that gives the pitch diameter, and the noses that can.

The standard's root diameter belongs to a cutter whose nose has the standard's flat. Any other
nose reaches the pitch diameter at another root.
"""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import ThreadGroove, cutter_flank_angles_deg
from threadwright_service.calc.trail import Formula, Trail

EXTERNAL_ROOT: Final = Formula(
    "root diameter that the nose makes, without over-cut",
    "d_root",
    "d2 - 2 * (P / 2 - w) / (tan(radians(a1)) + tan(radians(a2)))",
    "d2 P w a1 a2",
    unit="mm",
    source="derivation",
)
INTERNAL_ROOT: Final = Formula(
    "major diameter that the nose makes, without over-cut",
    "D_root",
    "D2 + 2 * (P / 2 - w) / (tan(radians(a1)) + tan(radians(a2)))",
    "D2 P w a1 a2",
    unit="mm",
    source="derivation",
)
NOSE_OF_RADIUS: Final = Formula(
    "flat that a rounded nose counts for",
    "w",
    "r * ((1 - sin(radians(a1))) / cos(radians(a1)) + (1 - sin(radians(a2))) / cos(radians(a2)))",
    "r a1 a2",
    unit="mm",
    source="derivation",
)


def equivalent_nose_flat_mm(
    *, groove: ThreadGroove, cutter: Cutter, trail: Trail | None = None
) -> float:
    """The nose flat, or the flat that a rounded nose counts for [mm].

    A rounded nose tangent to the flanks puts them where a sharp-cornered flat of this width
    would, with the tip at the same place.

    Notes
    -----
    Source: derivation: lines tangent to the nose meet the tip's height this far apart.
    """
    if cutter.nose_flat_mm is not None:
        return cutter.nose_flat_mm
    radius_mm = cutter.nose_radius_mm or 0.0
    return NOSE_OF_RADIUS(trail, radius_mm, *cutter_flank_angles_deg(groove=groove, cutter=cutter))


def nominal_root_diameter_mm(
    *, groove: ThreadGroove, cutter: Cutter, trail: Trail | None = None
) -> float:
    """Diameter that the cutter's tip must make for the pitch diameter, without over-cut [mm].

    Outside it is the root (minor) diameter, inside the major diameter. Multi-start threads
    take the pitch here, not the lead.

    Returns
    -------
    float
        The root diameter [mm]; :func:`..over_cut.compensated_root_diameter_mm` gives the one to
        programme.

    Notes
    -----
    Source: derivation: on the pitch line the groove is P/2 wide.
    """
    flat_mm = equivalent_nose_flat_mm(groove=groove, cutter=cutter, trail=trail)
    angles_deg = cutter_flank_angles_deg(groove=groove, cutter=cutter)
    formula = EXTERNAL_ROOT if groove.side == "external" else INTERNAL_ROOT
    return formula(trail, groove.pitch_diameter_mm, groove.pitch_mm, flat_mm, *angles_deg)


def pitch_diameter_of_root_mm(
    *, groove: ThreadGroove, cutter: Cutter, root_diameter_mm: float
) -> float:
    """Pitch diameter that a root gives without over-cut [mm]: the inverse of the nominal root.

    Notes
    -----
    Source: derivation.
    """
    nominal_mm = nominal_root_diameter_mm(groove=groove, cutter=cutter)
    return groove.pitch_diameter_mm + root_diameter_mm - nominal_mm


def groove_depth_mm(*, groove: ThreadGroove, root_diameter_mm: float) -> float:
    """Radial depth from the crest to the root [mm]; positive for a groove.

    Notes
    -----
    Source: derivation.
    """
    return groove.outward * (groove.crest_diameter_mm - root_diameter_mm) / 2
