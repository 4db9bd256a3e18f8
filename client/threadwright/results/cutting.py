"""Result on cutting data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright.quantities import FeedRate, Length, SpindleSpeed, SurfaceSpeed
from threadwright.record import Record
from threadwright.results.answer import Result


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkMaterial(Record):
    """A material group at one hardness, with what its cutting force follows from."""

    name: str
    """The group's or grade's name as it is shown, e.g. ``precipitation-hardening stainless``."""
    group: str
    """Key of the material group in the materials table."""
    iso_513: str
    """Application group: P, M, K, N, S or H."""
    hardness_hb: float
    specific_force_mpa: float
    force_exponent: float
    radial_to_tangential: float
    edge_force_n_per_mm: float
    basis: str
    """What the force values rest on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolLifeBand(Record):
    """Life of an edge as a band, for 10 % of speed either way."""

    low_min: float
    high_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedRange(Record):
    """Surface speed from the cautious to the bold end, and what is aimed at."""

    low: SurfaceSpeed
    aim: SurfaceSpeed
    high: SurfaceSpeed


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedRange(Record):
    """Feed of each tooth at the cutting edge's circle, low, aimed at, high."""

    low: Length
    aim: Length
    high: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor(Record):
    """A number that a condition is multiplied by, and why."""

    name: str
    """What differs: ``hardness``, ``diameter``, ``engagement``, ``stick-out`` …"""
    applies_to: Literal["surface_speed", "feed_per_tooth", "feed_rate"]
    value: float
    formula: str
    """The equation with its symbols; the numbers put in stand in the working."""
    source: str
    exponent: float | None
    """The exponent of the power law, where there is one."""
    range: str
    """Where the data behind it ends, in words."""
    extrapolated: bool
    """Whether this case lies outside that range."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingCondition(Record):
    """Speed, feed and the chip limits that an edge stands, before any scaling to a set-up."""

    surface_speed: SpeedRange
    feed_per_tooth: FeedRange
    chip_thickness_allowed: Length
    """Largest peak chip thickness for the edge."""
    chip_thickness_min: Length
    """Below this the edge rubs and does not cut."""
    edge_radius: Length
    tool_life_min: float
    """Minutes in the cut that the aimed speed is for."""
    basis: str
    factors: tuple[Factor, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingData(Result):
    """Cutting data of one case."""

    operation: Literal[
        "thread-milling",
        "side-milling",
        "chamfering",
        "drilling",
        "tapping",
        "single-point-threading",
    ]
    material: WorkMaterial
    basis: str
    surface_speed: SurfaceSpeed
    spindle_speed: SpindleSpeed
    feed_per_tooth: Length
    feed_per_revolution: Length
    feed_edge: FeedRate
    """Feed at the made diameter, where the edge meets the finished surface."""
    feed_centre: FeedRate
    """Feed of the cutter's centre: what stands in a program."""
    feed_centre_equal_chip: FeedRate | None
    """Feed of the centre that gives the chip of a straight cut of the same width and feed of a
    tooth; on a circle only.
    """
    engagement_angle_deg: float | None
    chip_thickness_mean: Length
    chip_thickness_max: Length
    chip_thickness_allowed: Length | None
    chip_thickness_min: Length | None
    tangential_force_n: float
    tangential_force_mean_n: float
    radial_force_n: float
    edge_force_n: float
    """Ploughing of the edge, beside the force of the chip."""
    torque_nm: float
    power_kw: float
    deflection: Length | None
    """Bending under the largest force, in its direction; the wall shows less."""
    tool_life_min: float | None
    tool_life_band: ToolLifeBand | None
    tool_life_extrapolated: bool
    """Whether the life is more than ten times off the known one: a direction, not a number."""
    start: CuttingCondition | None
    """The starting values with their bands, for comparison."""
    factors: tuple[Factor, ...]
    limited_by: str | None
    """The limit that lowered speed or feed most; ``None`` where none did."""
    limits: tuple[str, ...]
    """All limits that lowered speed or feed."""
