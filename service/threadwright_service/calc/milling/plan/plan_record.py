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
from threadwright_service.calc.milling.path.path import Milling
from threadwright_service.calc.milling.path.path_elements import CentrePath


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """Smallest and largest [mm]."""

    max_mm: float
    """Largest that is expected."""
    min_mm: float
    """Smallest that is expected."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedPass:
    """One pass: where the cutter goes, what it cuts, what it bends, how long it takes."""

    number: int
    """Running number, spring passes after the cutting ones."""
    kind: Literal["cut", "spring"]
    """cut, or spring: the last path once more, on what the bend left."""
    root_diameter_mm: float
    """What the tip is set for: the root outside, the major diameter inside."""
    depth_mm: float
    """Radial depth below blank or hole that the tip is set for."""
    radial_depth_mm: float
    """Depth that the pass adds; of a spring pass, what the bend before it left."""
    cutter_centre_radius_mm: float
    """From the thread's axis to the cutter's on the helix."""
    chip_area_mm2: float
    """Section of the groove that the pass removes."""
    engagement_deg: float
    """Angle of the cutter over which a tooth is in the work."""
    teeth_in_cut_ratio: float
    """Teeth that are in the work together, on average."""
    chip_thickness_max_mm: float
    """Thickest chip at the nose."""
    chip_thickness_mean_mm: float
    """Chip at the nose, mean over the arc in the work."""
    chip_thickness_flank_mm: float
    """Thickest chip on a flank, measured across its edge."""
    feed_per_tooth_mm: float
    """Feed of a tooth on the surface that is made."""
    feed_edge_mm_per_min: float
    """Feed on the surface that is made."""
    feed_centre_mm_per_min: float
    """Feed of the cutter's centre on the helix: what stands in a program."""
    spindle_speed_rev_per_min: float
    """Speed of the spindle, the same in every pass."""
    tangential_force_n: float
    """Largest over the arc, of all teeth in the work together."""
    radial_force_n: float
    """Along the cutter's radius, where the tangential force is largest."""
    axial_force_n: float
    """Along the cutter's axis at that place: what the two flanks do not cancel."""
    wall_force_n: float
    """Largest force that bends the cutter off the wall."""
    torque_nm: float
    """At the largest tangential force."""
    power_kw: float
    """Cutting power, mean over time."""
    deflection_mm: float
    """Bend off the wall that is expected in the surface, half way between its bounds."""
    deflection_high_mm: float
    """Upper bound of that bend, at the largest force off the wall."""
    deflection_low_mm: float
    """Lower bound of that bend, at the ploughing force alone."""
    pitch_diameter_mm: float | None
    """Expected after the pass; null as long as the groove does not reach the pitch line."""
    limited_by: str | None
    """The limit that is nearest; null for a spring pass."""
    limit_shares: Mapping[str, float]
    """How far the pass goes towards each limit: 1 on the limit; empty for a spring pass."""
    path_length_mm: float
    """What is travelled at the feed: helix and arcs, of all starts and offsets."""
    cutting_time_s: float
    """Time of that way at the feed, with ramps and slower arcs where an acceleration is known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitReport:
    """One limit of the plan."""

    name: str
    """Word of the limit, such as deflection or surface-speed."""
    share_ratio: float
    """How far the pass that is nearest goes towards it: 1 on the limit, above 1 where a given
    value breaks it."""
    pass_number: int | None
    """The pass that is nearest; ``None`` for a limit of the whole plan."""
    binds: bool
    """Whether the plan stands on this limit."""
    saving_s: float
    """What a limit wider by a tenth would save in the cutting time; 0 where it does not bind."""
    detail: str
    """What is limited, in words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringAdvice:
    """What each spring pass takes off the pitch diameter, one beyond the plan's included."""

    number: int
    """Running number of the spring pass."""
    taken_mm: float
    """How far it moves the pitch diameter."""
    left_mm: float
    """What the bend still leaves on the pitch diameter after it."""
    is_planned: bool
    """Whether the plan holds this spring pass."""
    is_worth_it: bool
    """Whether it takes off enough to be worth its time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PassPlan:
    """A thread-milling pass plan."""

    side: Literal["external", "internal"]
    """Outside or inside thread."""
    milling: Milling
    """Whether the teeth enter thick and leave thin (climb) or the other way round."""
    blank_diameter_mm: float
    """Diameter before threading: of the blank outside, of the hole inside."""
    pitch_diameter_aim_mm: float
    """The pitch diameter that the depth is worked out for."""
    root_diameter_mm: float
    """What the tip of the last pass is set for: the corrections are in it."""
    plane_height_mm: float | None
    """Height of the plane in which all diameters here hold; null for a parallel thread."""
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
    """How a narrow nose widens the groove; null where the nose itself makes the root."""
    depth_mm: float
    """From the blank to the root, radial."""
    cutter_centre_radius_mm: float
    """From the thread's axis to the cutter's, in the last pass."""
    surface_speed_m_per_min: float
    """At the cutter's diameter."""
    spindle_speed_rev_per_min: float
    """Speed of the spindle in every pass."""
    tool_life_min: float | None
    """What the recommended surface speed is for, in the cut; null where no life is known."""
    infeed: Infeed
    """How the depth is divided among the passes."""
    cutting_passes: int
    """Passes that each go deeper than the one before."""
    spring_passes: int
    """Passes that go the last path again, on what the bend left."""
    passes: tuple[PlannedPass, ...]
    """Every pass in turn, the spring passes last."""
    spring_advice: tuple[SpringAdvice, ...]
    limits: tuple[LimitReport, ...]
    """Every limit that has a value here, and how near the plan comes to it."""
    failings: tuple[str, ...]
    """Codes of those cautions for which the part would not pass or the cutter not cut; empty where
    the plan makes the thread."""
    cutting_time_s: float
    """Time of all passes at the feed, without rapid moves."""
    path: CentrePath
    """Of the last pass."""
    pass_paths: tuple[CentrePath, ...]
    """Of each cutting pass in turn; a spring pass goes the last one again."""
    clearances: Clearances
    leftovers: Leftovers
    stiffness: Stiffness
