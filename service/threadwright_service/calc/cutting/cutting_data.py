"""Cutting data for one case: start or reference, scaled, limited, with its mechanics."""

from __future__ import annotations

from dataclasses import dataclass

from threadwright_service.calc.cutting.case import (
    Coolant,
    CuttingTool,
    Engagement,
    Reference,
    Running,
)
from threadwright_service.calc.cutting.factor import Factor
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.cutting.starting_values import Operation
from threadwright_service.calc.milling.cutter import Machine
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolLifeBand:
    """Life of an edge as a band: the spread of the exponent and of ±10 % speed."""

    low_min: float
    high_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingData:
    """Cutting data of one case.

    Quantities that an operation does not have are ``None``, e.g. ``feed_centre`` apart from
    ``feed_edge`` in drilling.
    """

    operation: Operation
    basis: str
    surface_speed_m_per_min: float
    spindle_speed_rev_per_min: float
    feed_per_tooth_mm: float
    feed_per_revolution_mm: float
    feed_edge_mm_per_min: float
    """Feed at the made diameter, where the edge meets the finished surface."""
    feed_centre_mm_per_min: float
    """Feed of the cutter's centre: what stands in a program."""
    engagement_angle_deg: float | None
    chip_thickness_mean_mm: float
    chip_thickness_max_mm: float
    chip_thickness_allowed_mm: float
    chip_thickness_min_mm: float
    tangential_force_n: float
    tangential_force_mean_n: float
    torque_nm: float
    power_kw: float
    deflection_mm: float | None
    tool_life_min: float
    tool_life_band: ToolLifeBand
    factors: tuple[Factor, ...]
    limited_by: str | None
    """The limit that lowered speed or feed most; ``None`` where none did."""
    limits: tuple[str, ...]
    """All limits that lowered speed or feed."""


def cutting_data(
    *,
    material: WorkMaterial,
    operation: Operation,
    tool: CuttingTool,
    engagement: Engagement,
    reference: Reference | None = None,
    running: Running | None = None,
    machine: Machine | None = None,
    coolant: Coolant | None = None,
    tool_life_min: float | None = None,
    surface_speed_m_per_min: float | None = None,
    feed_per_tooth_mm: float | None = None,
    trail: Trail | None = None,
) -> CuttingData:
    """Cutting data for one case.

    Parameters
    ----------
    material : WorkMaterial
        As :func:`.materials.find_material` gives it.
    operation : Operation
        What is done.
    tool : CuttingTool
        With what.
    engagement : Engagement
        How it meets the work.
    reference : Reference, optional
        A known-good condition; speed and feed are scaled from it instead of starting values.
    running : Running, optional
        A condition that runs; everything is worked back from it and nothing is scaled.
    machine : Machine, optional
        Limits of the machine.
    coolant : Coolant, optional
        What is used here.
    tool_life_min : float, optional
        Life wanted of an edge [min in the cut].
    surface_speed_m_per_min, feed_per_tooth_mm : float, optional
        Given for this case: taken as they are, only the machine's limits are applied.
    trail : Trail, optional
        Takes assumptions, cautions and working.
    """
    raise NotImplementedError
