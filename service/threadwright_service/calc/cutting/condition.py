"""Which speed and feed a case gets: the caller's, a scaled reference, or starting values."""

from __future__ import annotations

from dataclasses import dataclass
from math import prod

from threadwright_service.calc.cutting import scaling
from threadwright_service.calc.cutting.case import Wanted
from threadwright_service.calc.cutting.factor import Factor
from threadwright_service.calc.cutting.known import Known, straight_sine
from threadwright_service.calc.cutting.operations.load import Cut, OperationMechanics
from threadwright_service.calc.cutting.starting_values import (
    SIDE_MILLING_WIDTH_RATIO,
    Operation,
)
from threadwright_service.calc.cutting.tool_life import (
    LifeExponents,
    coolant_ratio,
)
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """Speed and feed for the case, before the machine's limits."""

    surface_speed_m_per_min: float
    feed_per_tooth_mm: float
    factors: tuple[Factor, ...]
    basis: str


def chosen_condition(
    *,
    operation: Operation,
    cut: Cut,
    mechanics: OperationMechanics,
    known: Known | None,
    wanted: Wanted,
    exponents: LifeExponents | None,
    trail: Trail | None,
) -> Chosen:
    """Speed and feed for the case.

    Raises
    ------
    OutOfRangeError
        If a wanted number is not above zero.

    Notes
    -----
    Source: the factors of :mod:`.scaling`; what the caller fixes is taken as it is.
    """
    feed_factors: list[Factor] = []
    if wanted.feed_per_tooth_mm is not None:
        feed_mm = wanted.feed_per_tooth_mm
    elif known is None and mechanics.feed_is_the_lead:
        feed_mm = mechanics.feed_per_revolution_mm(0.0) / cut.tool.teeth
    else:
        assert known is not None  # noqa: S101 - without any knowledge the start was refused
        feed_factors = list(known.feed_factors)
        feed_mm = known.feed_per_tooth_mm
        thinning = _thinning(operation, mechanics, known, trail)
        if thinning is not None:
            feed_factors.append(thinning)
            feed_mm *= thinning.value_ratio
    if wanted.surface_speed_m_per_min is not None:
        return Chosen(
            surface_speed_m_per_min=wanted.surface_speed_m_per_min,
            feed_per_tooth_mm=feed_mm,
            factors=tuple(feed_factors),
            basis="surface speed as given",
        )
    assert known is not None  # noqa: S101 - as above
    factors = list(known.speed_factors)
    case_factors = (
        []
        if exponents is None
        else _case_speed_factors(cut, mechanics, known, wanted, feed_mm, exponents, trail)
    )
    return Chosen(
        surface_speed_m_per_min=known.surface_speed_m_per_min
        * prod(factor.value_ratio for factor in case_factors),
        feed_per_tooth_mm=feed_mm,
        factors=(*factors, *case_factors, *feed_factors),
        basis=known.basis,
    )


def _thinning(
    operation: Operation,
    mechanics: OperationMechanics,
    known: Known,
    trail: Trail | None,
) -> Factor | None:
    """Chip thinning of starting values; a reference has its own factor already."""
    if not known.feed_is_start or operation != "side-milling":
        return None
    return scaling.engagement_on_feed(
        sine_ratio=mechanics.chip_sine_ratio,
        reference_ratio=straight_sine(SIDE_MILLING_WIDTH_RATIO),
        trail=trail,
    )


def _case_speed_factors(
    cut: Cut,
    mechanics: OperationMechanics,
    known: Known,
    wanted: Wanted,
    feed_mm: float,
    exponents: LifeExponents,
    trail: Trail | None,
) -> list[Factor]:
    factors = [
        scaling.width_on_speed(
            width_ratio=mechanics.width_ratio,
            reference_ratio=known.width_ratio,
            exponents=exponents,
            trail=trail,
        )
    ]
    chip_mm = feed_mm * mechanics.chip_sine_ratio
    if mechanics.feed_is_the_lead or wanted.feed_per_tooth_mm is not None:
        factors.append(
            scaling.feed_on_speed(
                chip_mm=chip_mm,
                reference_chip_mm=known.chip_thickness_mm,
                exponents=exponents,
                trail=trail,
            )
        )
    if wanted.tool_life_min is not None and known.tool_life_min is not None:
        factors.append(
            scaling.life_on_speed(
                life_min=wanted.tool_life_min,
                reference_min=known.tool_life_min,
                exponents=exponents,
                trail=trail,
            )
        )
    if wanted.coolant is not None:
        factors.append(
            scaling.coolant_on_speed(
                ratio=coolant_ratio(material=cut.material, coolant=wanted.coolant),
                reference_ratio=coolant_ratio(material=cut.material, coolant=known.coolant),
                exponents=exponents,
                trail=trail,
            )
        )
    return factors
