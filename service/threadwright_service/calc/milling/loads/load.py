"""The load of one pass, complete: engagement, chips, forces, torque, power, bending."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.milling.loads.engagement import (
    chip_thickness_max_mm,
    chip_thickness_mean_mm,
    chip_thickness_thin_flank_mm,
    engagement_angle_deg,
)
from threadwright_service.calc.milling.loads.force import TANGENTIAL, TORQUE, DepthLoad
from threadwright_service.calc.milling.loads.thread_cut import ThreadCut
from threadwright_service.calc.trail import Formula, Trail

MEAN_POWER: Final = Formula(
    "power, mean over time",
    "P",
    "W * z * n / 60000",
    "W z n",
    unit="kW",
    source="derivation",
)
WALL_DEFLECTION: Final = Formula(
    "largest bending off the wall",
    "delta",
    "C * F_w / 1000",
    "C F_w",
    unit="mm",
    source="derivation",
)

_GAUSS: Final = (
    (0.06943184420297371, 0.17392742256872692),
    (0.33000947820757187, 0.32607257743127307),
    (0.6699905217924281, 0.32607257743127307),
    (0.9305681557970263, 0.17392742256872692),
)
"""Nodes and weights of Gauss and Legendre's rule of four points on 0 to 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PassLoad:
    """The load of one pass at one feed and speed.

    Forces are those of all teeth in the work, where the tangential one is largest; ``wall`` is
    the largest force off the wall. ``deflection_high_mm`` is the bending at that force,
    ``deflection_low_mm`` that at the ploughing force alone, which is left where the wall is made
    and the chip has run out to nothing. The truth lies between them.
    """

    engagement_deg: float
    teeth_in_cut_ratio: float
    chip_thickness_max_mm: float
    chip_thickness_mean_mm: float
    chip_thickness_flank_mm: float
    """Largest chip across the flank's edge."""
    chip_thickness_thin_flank_mm: float
    """The same on the flank that turns away from the path's rise."""
    tangential_force_n: float
    radial_force_n: float
    axial_force_n: float
    resultant_force_n: float
    wall_force_n: float
    torque_nm: float
    power_kw: float
    deflection_high_mm: float
    deflection_low_mm: float


def pass_load(
    *,
    cut: ThreadCut,
    from_depth_mm: float,
    to_depth_mm: float,
    feed_edge_mm: float,
    spindle_speed_rev_per_min: float,
    compliance_um_per_n: float,
    trail: Trail | None = None,
) -> PassLoad:
    """Load of a pass from one depth to another.

    Parameters
    ----------
    from_depth_mm, to_depth_mm : float
        Depth below the blank before and after the pass [mm].
    feed_edge_mm : float
        Feed a tooth on the surface that the pass makes [mm].
    spindle_speed_rev_per_min : float
        Spindle speed [rev/min].
    compliance_um_per_n : float
        Bending of cutter, holder and spindle at the teeth for each newton [µm/N].

    Notes
    -----
    Source: derivation; specific force by Kienzle. Tangential and radial force take the same chip
    on both flanks (the rise of the path changes their sum by the square of a small number); the
    axial force is the difference that the rise makes.
    """
    load = DepthLoad(cut, to_depth_mm)
    angle_rad = load.engagement_rad(from_depth_mm)
    feed_mm = feed_edge_mm * cut.centre_feed_ratio(to_depth_mm)
    engagement_deg = engagement_angle_deg(
        before_radius_mm=cut.made_radius_mm(from_depth_mm),
        made_radius_mm=load.made_radius_mm,
        centre_radius_mm=load.centre_radius_mm,
        cutter_radius_mm=cut.cutter_radius_mm,
        trail=trail,
    )
    tangential = load.tangential_n(feed_mm)
    tangential_n, peak_rad = load.largest(tangential, angle_rad)
    radial_n = load.radial_n(feed_mm)(peak_rad)
    wall_n, _ = load.largest(load.wall_n(feed_mm), angle_rad)
    flank_deg = min(cut.tooth.flank_angles_deg)
    thickest_mm = _thickest_chip_mm(load, angle_rad, engagement_deg, feed_mm, trail)
    if trail is not None:
        _show_peak(load, peak_rad, feed_mm, trail)
    work_n_mm = _work_of_a_tooth_n_mm(load, angle_rad, feed_mm)
    return PassLoad(
        engagement_deg=engagement_deg,
        teeth_in_cut_ratio=cut.teeth * angle_rad / (2 * math.pi),
        chip_thickness_max_mm=thickest_mm,
        chip_thickness_mean_mm=chip_thickness_mean_mm(
            feed_centre_per_tooth_mm=feed_mm, engagement_deg=engagement_deg
        ),
        chip_thickness_flank_mm=feed_mm
        * math.sin(min(angle_rad, math.pi / 2))
        * math.sin(math.radians(flank_deg)),
        chip_thickness_thin_flank_mm=chip_thickness_thin_flank_mm(
            feed_centre_per_tooth_mm=feed_mm,
            engagement_deg=engagement_deg,
            flank_angle_deg=flank_deg,
            lead_mm=cut.lead_mm,
            centre_radius_mm=load.centre_radius_mm,
        ),
        tangential_force_n=tangential_n,
        radial_force_n=radial_n,
        axial_force_n=load.axial_n(peak_rad, feed_mm),
        resultant_force_n=math.hypot(tangential_n, radial_n),
        wall_force_n=wall_n,
        torque_nm=TORQUE(trail, tangential_n, 2 * cut.cutter_radius_mm),
        power_kw=MEAN_POWER(trail, work_n_mm / 1000, cut.teeth, spindle_speed_rev_per_min),
        deflection_high_mm=WALL_DEFLECTION(trail, compliance_um_per_n, wall_n),
        deflection_low_mm=compliance_um_per_n * min(load.edge_wall_n(), wall_n) / 1000,
    )


def mean_power_kw(
    *,
    cut: ThreadCut,
    from_depth_mm: float,
    to_depth_mm: float,
    feed_edge_mm: float,
    spindle_speed_rev_per_min: float,
) -> float:
    """Power of a pass, mean over time [kW].

    Notes
    -----
    Source: derivation; work of one tooth over its arc, times teeth a second.
    """
    load = DepthLoad(cut, to_depth_mm)
    feed_mm = feed_edge_mm * cut.centre_feed_ratio(to_depth_mm)
    work_n_mm = _work_of_a_tooth_n_mm(load, load.engagement_rad(from_depth_mm), feed_mm)
    return MEAN_POWER.function(work_n_mm / 1000, cut.teeth, spindle_speed_rev_per_min)


def _thickest_chip_mm(
    load: DepthLoad,
    angle_rad: float,
    engagement_deg: float,
    feed_centre_mm: float,
    trail: Trail | None,
) -> float:
    """Largest chip at the nose, run-out or none."""
    round_mm = chip_thickness_max_mm(
        feed_centre_per_tooth_mm=feed_centre_mm, engagement_deg=engagement_deg, trail=trail
    )
    return max(load.chip_mm(angle_rad, feed_centre_mm), round_mm)


def _work_of_a_tooth_n_mm(load: DepthLoad, angle_rad: float, feed_mm: float) -> float:
    force_n = load.tangential_of_one_n(feed_mm)
    # Substituting the angle by a square keeps the rule exact at the wall, where the force rises
    # with a broken power of the angle.
    total = sum(weight * 2 * node * force_n(angle_rad * node * node) for node, weight in _GAUSS)
    return total * angle_rad * load.cut.cutter_radius_mm


def _show_peak(load: DepthLoad, peak_rad: float, feed_mm: float, trail: Trail) -> None:
    reach_mm = load.edge_reach_mm(peak_rad)
    widths = load.widths
    if trail.steps is not None and reach_mm >= widths.nose_depth_mm:
        TANGENTIAL(
            trail,
            load.cut.specific_force_mpa,
            load.chip_mm(peak_rad, feed_mm),
            load.cut.force_exponent_ratio,
            widths.tangential_base_mm,
            widths.tangential_slope_ratio,
            reach_mm,
        )
