"""Result of a plan of a thread turned with a single point."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright.quantities import Area, FeedRate, Length, SpindleSpeed, SurfaceSpeed
from threadwright.record import Record
from threadwright.results.answer import Result
from threadwright.results.milling import NoseCheck


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedPass(Record):
    """One pass of the tool, of each start."""

    number: int
    kind: Literal["cut", "spring"]
    root_diameter: Length
    depth: Length
    radial_infeed: Length
    axial_infeed: Length
    axial_offset: Length
    chip_area: Area
    chip_thickness_leading: Length
    chip_thickness_trailing: Length
    tangential_force_n: float
    torque_nm: float
    power_kw: float
    spindle_speed: SpindleSpeed
    cutting_time_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedThread(Result):
    """A single-point threading plan."""

    side: Literal["external", "internal"]
    blank_diameter: Length
    pitch_diameter_aim: Length
    root_diameter: Length
    depth: Length
    nose: NoseCheck
    infeed: Literal["radial", "flank", "modified-flank", "alternating"]
    infeed_angle_deg: float
    division: Literal["equal-area", "equal-depth", "falling"]
    cutting_passes: int
    spring_passes: int
    passes: tuple[TurnedPass, ...]
    largest_to_smallest_force: float
    """Largest over smallest tangential force of the cutting passes."""
    starts: int
    surface_speed: SurfaceSpeed
    spindle_speed: SpindleSpeed
    feed_per_revolution: Length
    feed_rate: FeedRate
    limited_by: Literal["surface-speed", "spindle-speed", "feed-rate", "power", "given"]
    path_length: Length
    cutting_time_s: float
    rapid_time_s: float
    time_s: float
