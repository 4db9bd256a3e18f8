"""What the service knows: threads and materials."""

from __future__ import annotations

from dataclasses import dataclass

from threadwright.quantities import Length
from threadwright.record import Record
from threadwright.results.cutting import SpeedRange


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardSize(Record):
    """One standard size of a thread, in its family's unit."""

    series: str
    size: str
    """As it is written in a call-out."""
    nominal_diameter: Length
    pitch: Length
    threads_per_inch: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadFamily(Record):
    """A family of threads: its series, classes and standard sizes."""

    family: str
    """Its key."""
    title: str
    standard: str
    unit: str
    """Unit in which the standard is authoritative."""
    series: tuple[str, ...]
    tolerance_classes: tuple[str, ...]
    sizes: tuple[StandardSize, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StartingRange(Record):
    """Starting values at one hardness."""

    cutter_material: str
    hardness_hb: float
    surface_speed: SpeedRange
    """In m/min."""
    feed_low_percent: float
    """Feed of a tooth as a percentage of the cutter's diameter."""
    feed_aim_percent: float
    feed_high_percent: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialGroup(Record):
    """A group of work materials."""

    key: str
    name: str
    iso_513: str
    """Application group: P, M, K, N, S or H."""
    hardness_low_hb: float
    hardness_high_hb: float
    hardness_delivery_hb: float | None
    """Assumed where no hardness is given; ``None`` if one must be given."""
    hardness_required: bool
    aliases: tuple[str, ...]
    """Grade names that are understood."""
    cautions: tuple[str, ...]
    specific_force_mpa: float
    specific_force_hardness_hb: float
    force_exponent: float
    thread_milling: tuple[StartingRange, ...]
    basis: str
    force_basis: str
