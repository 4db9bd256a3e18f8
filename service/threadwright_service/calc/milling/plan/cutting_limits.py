"""What edge and material allow a thread mill: speed, feed, chips, for a life of the edge."""

from __future__ import annotations

from dataclasses import dataclass, replace

from threadwright_service.calc.cutting.scaling import life_on_speed
from threadwright_service.calc.cutting.starting_values import CuttingCondition
from threadwright_service.calc.cutting.tool_life import LifeExponents
from threadwright_service.calc.errors import MissingInputError
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingLimits:
    """What edge and material allow, before machine and set-up.

    ``feed_per_tooth_max_mm`` is the feed on the surface that is made; the chip limits are at the
    nose (largest) and across the flank (smallest). ``tool_life_min`` is what the speed is for.
    """

    surface_speed_m_per_min: float
    feed_per_tooth_max_mm: float
    chip_thickness_allowed_mm: float
    chip_thickness_min_mm: float
    tool_life_min: float | None = None
    basis: str = "given"


def limits_of_condition(condition: CuttingCondition) -> CuttingLimits:
    """The limits that a starting condition sets: its aimed speed and feed, its chips."""
    return CuttingLimits(
        surface_speed_m_per_min=condition.surface_speed.aim_m_per_min,
        feed_per_tooth_max_mm=condition.feed_per_tooth.aim_mm,
        chip_thickness_allowed_mm=condition.chip_thickness_allowed_mm,
        chip_thickness_min_mm=condition.chip_thickness_min_mm,
        tool_life_min=condition.tool_life_min,
        basis=condition.basis,
    )


def limits_for_life(
    *,
    limits: CuttingLimits,
    tool_life_wanted_min: float,
    exponents: LifeExponents,
    trail: Trail | None = None,
) -> CuttingLimits:
    """The same limits with the surface speed for another life of the edge.

    Raises
    ------
    OutOfRangeError
        If the life is not above zero.
    MissingInputError
        If the limits are for no life that is known.

    Notes
    -----
    Source: fundamentals-of-machining-processes p. 174; V T^n = C.
    """
    if limits.tool_life_min is None:
        raise MissingInputError(
            "the surface speed is not known for any life, so it cannot be carried to another",
            parameter="tool_life_wanted_min",
            value=tool_life_wanted_min,
            accepted="left out",
        )
    factor = life_on_speed(
        life_min=tool_life_wanted_min,
        reference_min=limits.tool_life_min,
        exponents=exponents,
        trail=trail,
    )
    if factor.extrapolated and trail is not None:
        trail.caution(
            "tool-life-extrapolated",
            f"a life of {tool_life_wanted_min:g} min is more than ten times off the "
            f"{limits.tool_life_min:g} min that the speed is known for: a direction, not a number",
        )
    return replace(
        limits,
        surface_speed_m_per_min=limits.surface_speed_m_per_min * factor.value_ratio,
        tool_life_min=tool_life_wanted_min,
    )
