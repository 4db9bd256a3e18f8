"""Result of a pass plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from threadwright.quantities import Area, FeedRate, Length, SpindleSpeed, SurfaceSpeed
from threadwright.record import Record
from threadwright.results.answer import Caution, Range, Result


@dataclass(frozen=True, slots=True, kw_only=True)
class ProfilePoint(Record):
    """One point of the groove's axial section, from the middle of the nose's track."""

    radius: Length
    pressure_half_width: Length
    clearance_half_width: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class OverCut(Record):
    """What the helix adds to the groove at one root diameter."""

    pitch_diameter: Length
    functional_diameter: Length
    form_diameter: Length
    pressure_flank_angle_error_deg: float
    clearance_flank_angle_error_deg: float
    flank_straightness: Length
    root_fillet_height: Length
    profile: tuple[ProfilePoint, ...]
    method: str
    corrected: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class NoseCheck(Record):
    """Which noses can cut the thread, and what the one in hand leaves."""

    nose_flat: Length
    nose_flat_min: Length
    nose_flat_max: Length
    nose_radius_min: Length | None
    nose_radius_max: Length | None
    root_diameter_max: Length | None
    root_diameter_min: Length | None
    crest_width: Length
    functional_diameter: Length
    angle_pitch_diameter: Length
    findings: tuple[Caution, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LargestCutter(Record):
    """The largest cutter that keeps the flank's form, and what sets it."""

    cutter_diameter: Length | None
    limited_by: Literal["form", "hole", "nothing", "flank-angle"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FormCheck(Record):
    """What no depth corrects, against the tolerance of the pitch diameter."""

    form_diameter: Length
    form_share: float
    share_limit: float
    form_limit: Length
    largest_cutter: LargestCutter


@dataclass(frozen=True, slots=True, kw_only=True)
class AxialShift(Record):
    """How a narrow nose widens a groove: each depth is milled at every offset."""

    nose_flat: Length
    groove_flat: Length
    offsets: tuple[Length, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedPass(Record):
    """One pass: where the cutter goes, what it cuts, what it bends, how long it takes."""

    number: int
    kind: Literal["cut", "spring"]
    root_diameter: Length
    depth: Length
    radial_depth: Length
    cutter_centre_radius: Length
    chip_area: Area
    engagement_deg: float
    teeth_in_cut: float
    chip_thickness_max: Length
    chip_thickness_mean: Length
    chip_thickness_flank: Length
    feed_per_tooth: Length
    feed_edge: FeedRate
    feed_centre: FeedRate
    spindle_speed: SpindleSpeed
    tangential_force_n: float
    radial_force_n: float
    axial_force_n: float
    wall_force_n: float
    torque_nm: float
    power_kw: float
    deflection: Length
    deflection_high: Length
    deflection_low: Length
    pitch_diameter: Length | None
    limited_by: str | None
    """The limit that is nearest."""
    limit_shares: Mapping[str, float]
    """How far the pass goes towards each limit: 1 on the limit."""
    path_length: Length
    cutting_time_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringAdvice(Record):
    """What each spring pass takes off the pitch diameter, one beyond the plan's included."""

    number: int
    taken: Length
    left: Length
    is_planned: bool
    is_worth_it: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitReport(Record):
    """One limit of the plan."""

    name: str
    share: float
    pass_number: int | None
    binds: bool
    saving_s: float
    detail: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PathElement(Record):
    """One straight or circular move of the cutter's centre, rising evenly along it."""

    kind: Literal["rapid", "entry-arc", "helix", "exit-arc"]
    start_number: int
    start_x: Length
    start_y: Length
    start_z: Length
    end_x: Length
    end_y: Length
    end_z: Length
    centre_x: Length
    centre_y: Length
    travel: Literal["clockwise", "counter-clockwise"] | None
    arc_angle_deg: float
    length: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class CentrePath(Record):
    """The path of one pass, for all starts of the thread."""

    cutter_centre_radius: Length
    start_radius: Length
    end_radius: Length
    travel: Literal["clockwise", "counter-clockwise"]
    axial: Literal["up", "down"]
    spindle: Literal["clockwise", "counter-clockwise"]
    travel_word: str
    spindle_word: str
    starts_at: Literal["face", "bottom"]
    starts: int
    turns: float
    start_height: Length
    end_height: Length
    entry_arc_radius: Length
    entry_arc_angle_deg: float
    entry_rise: Length
    helix_length: Length
    path_length: Length
    heights_from: str
    axial_offsets: tuple[Length, ...]
    elements: tuple[PathElement, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BlindHole(Record):
    """What a blind hole must be drilled to."""

    full_depth: Length
    point_depth: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearances(Record):
    """Room that is left, and the largest cutter for the hole; ``None`` where it does not apply."""

    neck_clearance: Length
    """Radial, between neck and crest at full depth."""
    neck_length_min: Length | None
    """Neck that keeps a shank, which would touch the crest, above the face."""
    stick_out_min: Length
    entry_clearance: Length | None
    """Radial, between the teeth and the hole on the way in."""
    largest_cutter_diameter: Length | None
    recommended_cutter_diameter: Length | None
    shoulder_distance_min: Length
    """From the end of the full thread to a shoulder or bottom, for the whole thread length."""
    blind_hole: BlindHole | None
    """What a blind hole must be drilled to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Leftovers(Record):
    """What the last pass leaves."""

    usable_length: Length
    incomplete_length: Length
    run_out_angle_deg: float
    run_out_length: Length
    shoulder_gap: Length | None
    root_scallop: Length
    flank_scallop: Length
    root_scallop_one_tooth: Length
    flank_scallop_one_tooth: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Stiffness(Record):
    """How the cutter in hand bends and what its neck stands."""

    compliance_um_per_n: float
    cutter_compliance_um_per_n: float
    holder_compliance_um_per_n: float
    neck_force_max_n: float
    neck_stress_mpa: float
    modulus_mpa: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PassPlan(Result):
    """A thread-milling pass plan."""

    side: Literal["external", "internal"]
    milling: Literal["climb", "conventional"]
    blank_diameter: Length
    pitch_diameter_aim: Length
    root_diameter: Length
    plane_height: Length | None
    expected_pitch_diameter: Length
    expected_pitch_diameter_range: Range
    over_cut: OverCut
    deflection_correction: Length
    runout_correction: Length
    nose: NoseCheck
    form: FormCheck
    axial_shift: AxialShift | None
    """``None`` where the nose itself makes the root."""
    depth: Length
    cutter_centre_radius: Length
    surface_speed: SurfaceSpeed
    spindle_speed: SpindleSpeed
    tool_life_min: float | None
    """What the recommended surface speed is for, in the cut."""
    infeed: Literal["equal-force", "equal-area", "equal-depth", "falling", "list"]
    cutting_passes: int
    spring_passes: int
    passes: tuple[PlannedPass, ...]
    spring_advice: tuple[SpringAdvice, ...]
    limits: tuple[LimitReport, ...]
    failings: tuple[str, ...]
    cutting_time_s: float
    path: CentrePath
    pass_paths: tuple[CentrePath, ...]
    clearances: Clearances
    leftovers: Leftovers
    stiffness: Stiffness
