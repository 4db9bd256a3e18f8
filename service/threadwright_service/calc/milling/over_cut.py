"""Helix over-cut: what a cutter swept along a helix takes off besides its own profile."""

from __future__ import annotations

import math
from dataclasses import dataclass

from threadwright_service.calc.milling.cutter import Cutter
from threadwright_service.calc.milling.depth import (
    nominal_root_diameter_mm,
    pitch_diameter_of_root_mm,
)
from threadwright_service.calc.milling.groove import ThreadGroove, cutter_flank_angles_deg
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class ProfilePoint:
    """One point of the groove's axial section, from the middle of the nose's track."""

    radius_mm: float
    pressure_half_width_mm: float
    clearance_half_width_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OverCut:
    """What the helix adds to the groove at one root diameter.

    ``pitch_diameter_mm`` is the simple pitch diameter made, less the one that the nose alone
    would give at this root: negative outside, positive inside. ``functional_diameter_mm`` is the
    same for the pitch diameter of the perfect mating profile. Their difference,
    ``form_diameter_mm``, cannot be corrected by depth. ``corrected`` says whether the root that
    was used already allows for the error.
    """

    pitch_diameter_mm: float
    functional_diameter_mm: float
    form_diameter_mm: float
    pressure_flank_angle_error_deg: float
    clearance_flank_angle_error_deg: float
    flank_straightness_mm: float
    root_fillet_height_mm: float
    profile: tuple[ProfilePoint, ...]
    method: str
    corrected: bool = False


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
    profile_points : int
        How many points of the axial section to return; 0 for none.
    """
    raise NotImplementedError


def made_pitch_diameter_mm(
    *, groove: ThreadGroove, cutter: Cutter, root_diameter_mm: float
) -> float:
    """Simple pitch diameter that this cutter makes at this root, over-cut included [mm].

    For plans: the pitch diameter after each pass follows from the root diameter of the pass.
    """
    return pitch_diameter_of_root_mm(
        groove=groove, cutter=cutter, root_diameter_mm=root_diameter_mm
    ) + _second_order_mm(groove, cutter, root_diameter_mm)


def compensated_root_diameter_mm(
    *, groove: ThreadGroove, cutter: Cutter, trail: Trail | None = None
) -> float:
    """The root diameter to programme: the simple pitch diameter comes out as aimed [mm]."""
    root_mm = nominal_root_diameter_mm(groove=groove, cutter=cutter, trail=trail)
    nominal_mm = root_mm
    for _ in range(3):
        root_mm = nominal_mm - _second_order_mm(groove, cutter, root_mm)
    return root_mm


def _second_order_mm(groove: ThreadGroove, cutter: Cutter, root_diameter_mm: float) -> float:
    """The error of the pitch diameter to second order in lead over radius [mm]."""
    centre_mm = root_diameter_mm / 2 + groove.outward * cutter.radius_mm
    reach_mm = groove.lead_mm / (2 * math.pi)
    first, second = (
        math.tan(math.radians(angle))
        for angle in cutter_flank_angles_deg(groove=groove, cutter=cutter)
    )
    curvature = abs(2 / groove.pitch_diameter_mm - 1 / centre_mm)
    return -groove.outward * reach_mm**2 * curvature / (first * second)


def largest_cutter_diameter_mm(
    *, groove: ThreadGroove, cutter: Cutter, form_limit_mm: float
) -> float | None:
    """Largest cutter that keeps the uncorrectable form error within a limit [mm].

    Parameters
    ----------
    form_limit_mm : float
        Accepted difference of functional and simple pitch diameter, e.g. a share of the
        tolerance [mm].

    Returns
    -------
    float or None
        ``None`` if no cutter keeps it: the angle error alone is larger.
    """
    raise NotImplementedError
