"""Starting values of speed and feed for a material, a cutter material and an operation."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright_service.calc.cutting.factor import Factor
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.milling.cutter import CutterMaterial
from threadwright_service.calc.trail import Trail

Operation = Literal[
    "thread-milling", "side-milling", "chamfering", "drilling", "tapping", "single-point-threading"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedRange:
    """Surface speed from the cautious to the bold end, and what is aimed at."""

    low_m_per_min: float
    aim_m_per_min: float
    high_m_per_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedRange:
    """Feed of each tooth at the cutting edge's circle, low, aimed at, high."""

    low_mm: float
    aim_mm: float
    high_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingCondition:
    """Speed, feed and the chip limits that an edge stands, before any scaling to a set-up."""

    surface_speed: SpeedRange
    feed_per_tooth: FeedRange
    chip_thickness_allowed_mm: float
    """Largest peak chip thickness for the edge [mm]."""
    chip_thickness_min_mm: float
    """Below this the edge rubs and does not cut [mm]."""
    edge_radius_mm: float
    tool_life_min: float
    """Minutes in the cut that the aimed speed is for."""
    basis: str
    factors: tuple[Factor, ...]


def starting_condition(
    *,
    material: WorkMaterial,
    cutter_material: CutterMaterial,
    operation: Operation,
    cutter_diameter_mm: float,
    trail: Trail | None = None,
) -> CuttingCondition:
    """Starting values of speed and feed for a case.

    Parameters
    ----------
    material : WorkMaterial
        As :func:`.materials.find_material` gives it.
    cutter_material : {"carbide", "high-speed-steel"}
        What the edge is made of; carbide is taken as coated.
    operation : Operation
        What is done.
    cutter_diameter_mm : float
        Cutting diameter, Dc [mm]; the feeds of milling and drilling go with it.
    trail : Trail, optional
        Takes cautions and working.
    """
    raise NotImplementedError
