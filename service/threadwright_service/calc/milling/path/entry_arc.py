"""Radius of the entry and exit arc: given and checked, or chosen."""

from __future__ import annotations

import math
from typing import Final

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import ThreadGroove
from threadwright_service.calc.trail import Trail

OUTSIDE_ARC_DEG: Final = 90.0
INSIDE_ARC_DEG: Final = 180.0
RADIAL_CLEARANCE_MM: Final = 1.0
_RADIUS_STEP_MM: Final = 0.5


def outside_arc_radius_mm(*, centre_radius_mm: float, lift_mm: float) -> float:
    """Radius of a 90° arc that lifts the cutter's centre by a distance [mm].

    Notes
    -----
    Source: derivation: the arc ends at ``sqrt((e + Re)² + Re²)`` from the thread's axis.
    """
    away_mm = centre_radius_mm + lift_mm
    root_mm2 = centre_radius_mm**2 + 2 * (away_mm**2 - centre_radius_mm**2)
    return (math.sqrt(root_mm2) - centre_radius_mm) / 2


def chosen_arc_radius_mm(
    *,
    groove: ThreadGroove,
    centre_radius_mm: float,
    depth_mm: float,
    given_mm: float | None,
    trail: Trail | None = None,
) -> float | None:
    """The arc's radius [mm]; ``None`` for the semicircle from the bore's axis.

    Parameters
    ----------
    centre_radius_mm, depth_mm : float
        Path radius and depth of the last pass [mm].
    given_mm : float or None
        The caller's radius [mm].

    Raises
    ------
    InfeasibleError
        If the arc does not clear the work, or does not fit into the hole.

    Notes
    -----
    Source: derivation; the clearance and the half millimetres are common practice.
    """
    centre_mm = centre_radius_mm
    lift_mm = depth_mm + RADIAL_CLEARANCE_MM
    if groove.side == "internal":
        return _inside_arc_radius_mm(centre_mm, depth_mm, given_mm, trail)
    least_mm = outside_arc_radius_mm(centre_radius_mm=centre_mm, lift_mm=lift_mm)
    if given_mm is None:
        radius_mm = math.ceil(least_mm / _RADIUS_STEP_MM) * _RADIUS_STEP_MM
        if trail is not None:
            trail.assume(
                "entry_arc_radius",
                radius_mm,
                f"none given; this quarter turn lifts the teeth {RADIAL_CLEARANCE_MM:g} mm clear "
                "of the blank (common practice)",
                unit="mm",
            )
        return radius_mm
    touching_mm = outside_arc_radius_mm(centre_radius_mm=centre_mm, lift_mm=depth_mm)
    if given_mm <= touching_mm:
        raise InfeasibleError(
            f"an entry arc of {given_mm:.4g} mm radius does not lift the teeth clear of the blank",
            parameter="entry_arc_radius",
            value=given_mm,
            accepted=f"at least {least_mm:.4g} mm for {RADIAL_CLEARANCE_MM:g} mm of clearance",
        )
    if given_mm < least_mm and trail is not None:
        trail.caution(
            "entry-close",
            f"the entry arc of {given_mm:.4g} mm radius lifts the teeth less than "
            f"{RADIAL_CLEARANCE_MM:g} mm clear of the blank; {least_mm:.4g} mm would",
        )
    return given_mm


def _inside_arc_radius_mm(
    centre_mm: float, depth_mm: float, given_mm: float | None, trail: Trail | None
) -> float | None:
    """The radius of the semicircle inside [mm]; ``None`` for the one from the bore's axis."""
    if given_mm is None:
        if trail is not None:
            trail.assume(
                "entry_arc_radius",
                centre_mm / 2,
                "none given; the semicircle from the bore's axis to the path is the longest there "
                "is (each pass has its own)",
                unit="mm",
            )
        return None
    if not depth_mm / 2 < given_mm <= centre_mm / 2 + 1e-9:
        raise InfeasibleError(
            f"an entry arc of {given_mm:.4g} mm radius does not fit between the wall and the axis",
            parameter="entry_arc_radius",
            value=given_mm,
            accepted=f"more than {depth_mm / 2:.4g} mm, at most {centre_mm / 2:.4g} mm",
        )
    return given_mm


def check_inside_start(
    *, cutter: Cutter, centre_radius_mm: float, arc_radius_mm: float, hole_diameter_mm: float
) -> None:
    """Refuse a semicircle whose beginning is not clear of the hole's wall.

    Raises
    ------
    InfeasibleError
        If the teeth touch the wall where the arc begins.

    Notes
    -----
    Source: derivation.
    """
    start_mm = abs(centre_radius_mm - 2 * arc_radius_mm)
    if start_mm + cutter.radius_mm >= hole_diameter_mm / 2:
        raise InfeasibleError(
            f"a semicircle of {arc_radius_mm:.4g} mm radius begins in the hole's wall",
            parameter="entry_arc_radius",
            value=arc_radius_mm,
            accepted=f"{centre_radius_mm / 2:.4g} mm (from the bore's axis), or near it",
        )
