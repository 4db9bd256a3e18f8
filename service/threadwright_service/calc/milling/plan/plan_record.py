"""The pass plan as it is answered: one record for each pass, and what the whole adds up to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from threadwright_service.calc.milling.geometry.largest_cutter import FormCheck
from threadwright_service.calc.milling.geometry.nose import NoseCheck
from threadwright_service.calc.milling.geometry.over_cut import OverCut
from threadwright_service.calc.milling.infeed.axial_shift import AxialShift
from threadwright_service.calc.milling.infeed.infeed import Infeed
from threadwright_service.calc.milling.loads.deflection import Stiffness
from threadwright_service.calc.milling.path.clearance import Clearances
from threadwright_service.calc.milling.path.leftovers import Leftovers
from threadwright_service.calc.milling.path.path import CentrePath, Milling


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """Smallest and largest [mm]."""

    max_mm: float
    min_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedPass:
    """One pass: where the cutter goes, what it cuts, what it bends, how long it takes.

    ``root_diameter_mm`` is what the tip is set for: root outside, major diameter inside.
    ``radial_depth_mm`` is the depth that the pass adds; of a spring pass, what the bend before it
    left. ``feed_per_tooth_mm`` and ``feed_edge_mm_per_min`` are on the surface that is made,
    ``feed_centre_mm_per_min`` is the feed of the program. ``deflection_mm`` is the bend off the
    wall that is expected in the surface, between its bounds. ``pitch_diameter_mm`` is the one
    that is expected after the pass; ``None`` as long as the groove does not reach the pitch line.
    """

    number: int
    kind: Literal["cut", "spring"]
    root_diameter_mm: float
    depth_mm: float
    radial_depth_mm: float
    cutter_centre_radius_mm: float
    chip_area_mm2: float
    engagement_deg: float
    teeth_in_cut_ratio: float
    chip_thickness_max_mm: float
    chip_thickness_mean_mm: float
    chip_thickness_flank_mm: float
    feed_per_tooth_mm: float
    feed_edge_mm_per_min: float
    feed_centre_mm_per_min: float
    spindle_speed_rev_per_min: float
    tangential_force_n: float
    radial_force_n: float
    axial_force_n: float
    wall_force_n: float
    torque_nm: float
    power_kw: float
    deflection_mm: float
    deflection_high_mm: float
    deflection_low_mm: float
    pitch_diameter_mm: float | None
    limited_by: str | None
    """The limit that is nearest."""
    limit_shares: Mapping[str, float]
    """How far the pass goes towards each limit: 1 on the limit."""
    path_length_mm: float
    cutting_time_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitReport:
    """One limit of the plan."""

    name: str
    share_ratio: float
    """How far the pass that is nearest goes towards it: 1 on the limit, above 1 where a given
    value breaks it."""
    pass_number: int | None
    """The pass that is nearest; ``None`` for a limit of the whole plan."""
    binds: bool
    saving_s: float
    """What a limit wider by a tenth would save in the cutting time; 0 where it does not bind."""
    detail: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringAdvice:
    """What each spring pass takes off the pitch diameter, one beyond the plan's included."""

    number: int
    taken_mm: float
    left_mm: float
    is_planned: bool
    is_worth_it: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PassPlan:
    """A thread-milling pass plan.

    ``root_diameter_mm`` is what the tip of the last pass is set for. It holds the correction for
    the nose, the helix, the expected bend (``deflection_correction_mm``, on the diameter) and the
    run-out (``runout_correction_mm``).
    """

    side: Literal["external", "internal"]
    milling: Milling
    blank_diameter_mm: float
    pitch_diameter_aim_mm: float
    """The pitch diameter that the depth is worked out for."""
    root_diameter_mm: float
    """What the tip of the last pass is set for: the corrections are in it."""
    expected_pitch_diameter_mm: float
    """What to measure, by all that is known of helix, bend and run-out."""
    expected_pitch_diameter_range: Range
    """What it may come out at, by the bounds of bend and run-out."""
    over_cut: OverCut
    deflection_correction_mm: float
    """What the expected bend adds to the root diameter."""
    runout_correction_mm: float
    """What the run-out adds to the root diameter."""
    nose: NoseCheck
    form: FormCheck
    axial_shift: AxialShift | None
    """``None`` where the nose itself makes the root."""
    depth_mm: float
    """From the blank to the root, radial."""
    cutter_centre_radius_mm: float
    """From the thread's axis to the cutter's, in the last pass."""
    surface_speed_m_per_min: float
    """At the cutter's diameter."""
    spindle_speed_rev_per_min: float
    tool_life_min: float | None
    """What the recommended surface speed is for, in the cut."""
    infeed: Infeed
    cutting_passes: int
    spring_passes: int
    passes: tuple[PlannedPass, ...]
    spring_advice: tuple[SpringAdvice, ...]
    limits: tuple[LimitReport, ...]
    cutting_time_s: float
    path: CentrePath
    """Of the last pass."""
    pass_paths: tuple[CentrePath, ...]
    """Of each cutting pass in turn; a spring pass goes the last one again."""
    clearances: Clearances
    leftovers: Leftovers
    stiffness: Stiffness
