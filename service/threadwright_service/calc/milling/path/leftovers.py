"""What the milled thread leaves on the part: run-out, incomplete thread, scallops."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.milling.path.heights import (
    depth_below_blank_mm,
    run_out_allowance_mm,
    tooth_half_width_mm,
)
from threadwright_service.calc.milling.path.path import PathSetting
from threadwright_service.calc.milling.path.path_elements import CentrePath
from threadwright_service.calc.trail import Formula, Trail

SCALLOP: Final = Formula(
    "height of the scallops that the teeth leave, exact",
    "h",
    "s * (e * cos(f / (2 * e)) - s * sqrt(R**2 - (e * sin(f / (2 * e)))**2) - e + s * R)",
    "e R f s",
    unit="mm",
    source="derivation",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Leftovers:
    """What the last pass leaves."""

    usable_length_mm: float
    """Thread that is full all round, from the face."""
    incomplete_length_mm: float
    """From its end to the lowest mark of the cutter at the crest."""
    run_out_angle_deg: float
    """Angle around the part over which the groove runs out."""
    run_out_length_mm: float
    """How far the groove sinks along the axis while it runs out."""
    shoulder_gap_mm: float | None
    """What is left between the lowest point of the cutter and the shoulder or bottom;
    null without one."""
    root_scallop_mm: float
    """Height of the scallops at the root, normal to the surface."""
    flank_scallop_mm: float
    """Height of the scallops on the flank at the pitch line, normal to the surface."""
    root_scallop_one_tooth_mm: float
    """The same at the root if run-out leaves one tooth alone to make it."""
    flank_scallop_one_tooth_mm: float
    """The same on the flank if run-out leaves one tooth alone to make it."""


def leftovers_of(
    *,
    setting: PathSetting,
    path: CentrePath,
    root_diameter_mm: float,
    feed_per_tooth_centre_mm: float,
    trail: Trail | None = None,
) -> Leftovers:
    """What the last pass leaves on the part.

    Parameters
    ----------
    path : CentrePath
        The path of the last pass.
    feed_per_tooth_centre_mm : float
        Feed a tooth of the cutter's centre [mm].

    Raises
    ------
    InfeasibleError
        If the pass does not reach the blank.

    Notes
    -----
    Source: derivation. Each tooth's way is taken as a circle about the centre where it cuts; the
    centre's travel while a tooth passes the wall changes the scallop by less than its share of
    feed over cutter circumference.
    """
    groove, cutter, heights = setting.groove, setting.cutter, setting.heights
    depth_mm = depth_below_blank_mm(
        groove=groove,
        root_diameter_mm=root_diameter_mm,
        blank_diameter_mm=setting.blank_diameter_mm,
    )
    arc_angle, around_deg = run_out_angles(
        outward=groove.outward,
        centre_radius_mm=path.cutter_centre_radius_mm,
        arc_radius_mm=path.entry_arc_radius_mm,
        depth_mm=depth_mm,
    )
    run_out_mm = path.entry_rise_mm * arc_angle / math.radians(path.entry_arc_angle_deg)
    below_mm = run_out_allowance_mm(groove=groove, cutter=cutter) + tooth_half_width_mm(
        groove=groove, cutter=cutter, depth_mm=depth_mm
    )
    scallops = [
        scallop_mm(
            outward=groove.outward,
            centre_radius_mm=path.cutter_centre_radius_mm,
            cutter_radius_mm=radius_mm,
            feed_per_tooth_centre_mm=feed_mm,
            trail=trail,
        )
        for feed_mm in (feed_per_tooth_centre_mm, feed_per_tooth_centre_mm * cutter.teeth)
        for radius_mm in (
            cutter.radius_mm,
            abs(path.cutter_centre_radius_mm - groove.pitch_diameter_mm / 2),
        )
    ]
    share = math.sin(math.radians(max(groove.flank_angles_deg)))
    return Leftovers(
        usable_length_mm=heights.usable_length_mm,
        incomplete_length_mm=below_mm + run_out_mm,
        run_out_angle_deg=around_deg,
        run_out_length_mm=run_out_mm,
        shoulder_gap_mm=heights.shoulder_gap_mm,
        root_scallop_mm=scallops[0],
        flank_scallop_mm=scallops[1] * share,
        root_scallop_one_tooth_mm=scallops[2],
        flank_scallop_one_tooth_mm=scallops[3] * share,
    )


def run_out_angles(
    *, outward: int, centre_radius_mm: float, arc_radius_mm: float, depth_mm: float
) -> tuple[float, float]:
    """Where the teeth leave the work on the exit arc.

    Returns
    -------
    tuple of float
        The angle on the arc [rad], and the angle around the part [deg].

    Notes
    -----
    Source: derivation: the cutter's centre has moved off by the depth.
    """
    middle_mm = centre_radius_mm + outward * arc_radius_mm
    away_mm = centre_radius_mm + outward * depth_mm
    if middle_mm * arc_radius_mm == 0:
        return 0.0, 0.0
    cosine = (middle_mm**2 + arc_radius_mm**2 - away_mm**2) / (
        2 * outward * middle_mm * arc_radius_mm
    )
    arc_angle = math.acos(min(1.0, max(-1.0, cosine)))
    x_mm = middle_mm - outward * arc_radius_mm * math.cos(arc_angle)
    around = math.atan2(arc_radius_mm * math.sin(arc_angle), x_mm)
    return arc_angle, math.degrees(around)


def scallop_mm(
    *,
    outward: int,
    centre_radius_mm: float,
    cutter_radius_mm: float,
    feed_per_tooth_centre_mm: float,
    trail: Trail | None = None,
) -> float:
    """Height of the scallops between two teeth, in the direction of the radius [mm].

    Raises
    ------
    OutOfRangeError
        If the feed is so large that two cuts no longer meet.

    Notes
    -----
    Source: derivation: two circles of the cutter, one feed apart on the path, meet midway; close
    to ``f² (1/R - 1/e) / 8`` outside, ``f² (1/R + 1/e) / 8`` inside.
    """
    half_angle = feed_per_tooth_centre_mm / (2 * centre_radius_mm)
    if half_angle >= math.pi / 2 or centre_radius_mm * math.sin(half_angle) >= cutter_radius_mm:
        raise OutOfRangeError(
            f"a feed of {feed_per_tooth_centre_mm:.4g} mm from one cut to the next leaves the cuts "
            "apart: it must be well below the cutter's diameter",
            parameter="feed_per_tooth",
            value=feed_per_tooth_centre_mm,
            accepted="a feed a tooth well below the cutter's diameter",
        )
    return SCALLOP(trail, centre_radius_mm, cutter_radius_mm, feed_per_tooth_centre_mm, outward)
