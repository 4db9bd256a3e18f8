"""What cutting data say of one case."""

from __future__ import annotations

from dataclasses import dataclass

from threadwright_service.calc.cutting.factor import Factor
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.cutting.starting_values import CuttingCondition, Operation
from threadwright_service.calc.cutting.tool_life import ToolLifeBand


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingData:
    """Cutting data of one case.

    Quantities that an operation or the caller's data do not have are ``None``.
    """

    operation: Operation
    """What is done with the cutter: the operation that the data are for."""
    material: WorkMaterial
    basis: str
    """Where speed and feed come from."""
    surface_speed_m_per_min: float
    """Speed of the edge at the cutting diameter, within all limits."""
    spindle_speed_rev_per_min: float
    """Speed of the spindle, within all limits; what a program holds."""
    feed_per_tooth_mm: float
    """At the made diameter, not at the centre."""
    feed_per_revolution_mm: float
    """Feed of one revolution at the made diameter, all teeth together."""
    feed_edge_mm_per_min: float
    """Feed at the made diameter, where the edge meets the finished surface."""
    feed_centre_mm_per_min: float
    """Feed of the cutter's centre: what stands in a program."""
    feed_centre_equal_chip_mm_per_min: float | None
    """Feed of the centre that gives the chip of a straight cut of the same width and feed of a
    tooth; null but on a circle."""
    engagement_angle_deg: float | None
    """Angle over which a tooth is in the work; null where it never leaves it."""
    chip_thickness_mean_mm: float
    """Mean over the arc in the work; of a turned thread that on its flanks."""
    chip_thickness_max_mm: float
    """Thickest chip that a tooth cuts."""
    chip_thickness_allowed_mm: float | None
    """The thickest chip that the starting values allow; null where there are none."""
    chip_thickness_min_mm: float | None
    """The thinnest chip that an edge of this radius cuts; null where there are no
    starting values."""
    tangential_force_n: float
    """Largest force along the cutting speed, of all teeth in the work together."""
    tangential_force_mean_n: float
    """Mean over a revolution, all teeth; torque and power follow from it."""
    radial_force_n: float
    """Largest force along the radius; 0 for drills and taps."""
    edge_force_n: float
    """Ploughing of the edge, beside the force of the chip."""
    torque_nm: float
    """At the cutting diameter, from the mean tangential force."""
    power_kw: float
    """Cutting power, from the mean tangential force, without losses of the spindle."""
    deflection_mm: float | None
    """Bending under the largest force, in its direction (the wall shows less); null for what is not
    milled, or without a stick-out."""
    tool_life_min: float | None
    """Expected life of an edge, in the cut; null where there is no known life to go by."""
    tool_life_band: ToolLifeBand | None
    """Life for 10 % of speed either way; null where there is no life."""
    tool_life_extrapolated: bool
    """Whether the life is more than ten times off the known one: a direction, not a number."""
    start: CuttingCondition | None
    """The starting values with their bands, for comparison; null where there are none
    for this case."""
    factors: tuple[Factor, ...]
    """What speed and feed were multiplied by; empty where nothing was scaled."""
    limited_by: str | None
    """The limit that lowered speed or feed most; ``None`` where none did."""
    limits: tuple[str, ...]
    """All limits that lowered speed or feed."""
