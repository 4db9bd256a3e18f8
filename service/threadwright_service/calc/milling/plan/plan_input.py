"""What a pass plan is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.milling.geometry.cutter import Cutter, Machine
from threadwright_service.calc.milling.infeed.infeed import Infeed
from threadwright_service.calc.milling.path.path import Milling
from threadwright_service.calc.milling.plan.cutting_limits import CuttingLimits
from threadwright_service.calc.threads.thread import Hand, ThreadLimits


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanInput:
    """Thread, cutter, material and machine, and what the caller fixed; ``None``: nothing.

    Parameters
    ----------
    thread : ThreadLimits
        The thread with its limits, in any unit.
    cutter, material, machine
        What cuts, what is cut, and on what.
    cutting : CuttingLimits
        What edge and material allow: speed, feed, chips.
    thread_length_mm : float
        Length of full thread [mm].
    blank_diameter_mm, hole_diameter_mm : float, optional
        Diameter before threading, outside or inside [mm]; the middle of the thread's limits if
        not given.
    shoulder_distance_mm : float, optional
        From the end of the full thread to a shoulder or the hole's bottom [mm].
    passes, spring_passes : int, optional
        Numbers to keep; chosen if not given.
    feed_per_tooth_mm : float, optional
        Feed a tooth on the surface that is made, to keep [mm].
    surface_speed_m_per_min : float, optional
        Surface speed to keep [m/min]; the spindle's highest speed still holds.
    infeed, infeed_ratio, infeed_depths_mm, first_pass_share_ratio
        How the depth is divided; see :mod:`~threadwright_service.calc.milling.infeed.infeed`.
    pitch_diameter_aim_ratio : float
        Where in its tolerance the pitch diameter is aimed, 0 smallest to 1 largest.
    deflection_share_ratio : float, optional
        Largest bend of a cutting pass, on the pitch diameter, as a share of its tolerance.
    form_share_ratio : float, optional
        Share of the tolerance that may go into the flank's form.
    depth_of_a_pass_mm, last_pass_depth_min_mm : float, optional
        Largest mean radial depth of the passes, least depth of the last cut [mm]; by common
        practice for the hardness if not given.
    entry_arc_radius_mm, lead_in_mm, overlap_deg : float, optional
        Entry arc, beginning of the helix, and overlap of a full-length cutter.
    axial_shift : bool
        Whether a nose narrower than the groove widens it by cuts beside each other at each depth,
        so that the root stays within its limits.
    axial_overlap_share_ratio : float, optional
        How much such cuts overlap, as a share of the nose.
    drill_point_angle_deg : float, optional
        Point angle of the drill of a blind hole [deg].
    profile_points : int
        How many points of the groove's axial section are told.
    cutter_hand : str
        Cutting hand of the cutter.
    """

    thread: ThreadLimits
    cutter: Cutter
    material: WorkMaterial
    machine: Machine
    cutting: CuttingLimits
    thread_length_mm: float
    blank_diameter_mm: float | None = None
    hole_diameter_mm: float | None = None
    shoulder_distance_mm: float | None = None
    passes: int | None = None
    spring_passes: int | None = None
    feed_per_tooth_mm: float | None = None
    surface_speed_m_per_min: float | None = None
    infeed: Infeed = "equal-force"
    infeed_ratio: float | None = None
    infeed_depths_mm: Sequence[float] | None = None
    first_pass_share_ratio: float | None = None
    milling: Milling = "climb"
    pitch_diameter_aim_ratio: float = 0.5
    deflection_share_ratio: float | None = None
    form_share_ratio: float | None = None
    depth_of_a_pass_mm: float | None = None
    last_pass_depth_min_mm: float | None = None
    entry_arc_radius_mm: float | None = None
    lead_in_mm: float | None = None
    overlap_deg: float | None = None
    axial_shift: bool = False
    axial_overlap_share_ratio: float | None = None
    drill_point_angle_deg: float | None = None
    profile_points: int = 0
    cutter_hand: Hand = "right"
