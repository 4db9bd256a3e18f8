"""What is known to be good: a reference brought to this case, or starting values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import prod
from typing import NamedTuple

from threadwright_service.calc.cutting import hardness_scaling, scaling
from threadwright_service.calc.cutting.case import Reference
from threadwright_service.calc.cutting.compliance import (
    reference_compliance_um_per_n,
    tool_compliance_um_per_n,
)
from threadwright_service.calc.cutting.factor import Factor
from threadwright_service.calc.cutting.operations.arc import straight_arc
from threadwright_service.calc.cutting.operations.load import Cut, OperationMechanics
from threadwright_service.calc.cutting.starting_values import (
    MILLING,
    SIDE_MILLING_WIDTH_RATIO,
    CuttingCondition,
    Operation,
)
from threadwright_service.calc.cutting.tool_life import (
    LifePoint,
    usual_coolant,
)
from threadwright_service.calc.errors import MissingInputError
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known to be good, brought to this hardness and diameter.

    ``speed``, ``chip`` and ``width_ratio`` belong together with ``tool_life_min``.
    """

    surface_speed_m_per_min: float
    feed_per_tooth_mm: float
    chip_thickness_mm: float
    width_ratio: float
    tool_life_min: float | None
    coolant: str
    feed_is_start: bool
    """Whether the feed is that of the starting values, which stands for their own width of cut."""
    speed_factors: tuple[Factor, ...]
    feed_factors: tuple[Factor, ...]
    basis: str

    def life_point(self) -> LifePoint | None:
        """The known life with its condition; ``None`` if no life is known."""
        if self.tool_life_min is None:
            return None
        return LifePoint(
            surface_speed_m_per_min=self.surface_speed_m_per_min,
            chip_thickness_mm=self.chip_thickness_mm,
            width_ratio=self.width_ratio,
            tool_life_min=self.tool_life_min,
        )


def known_condition(
    *,
    operation: Operation,
    cut: Cut,
    mechanics: OperationMechanics,
    start: CuttingCondition | None,
    reference: Reference | None,
    trail: Trail | None,
) -> Known | None:
    """What is known: the reference, completed by starting values; ``None`` if nothing is.

    Raises
    ------
    MissingInputError
        If the reference has a stick-out and this tool has none.

    Notes
    -----
    Source: the factors of :mod:`.scaling`.
    """
    if reference is None:
        return None if start is None else _from_start(operation, cut, mechanics, start)
    return _from_reference(operation, cut, mechanics, start, reference, trail)


def _from_start(
    operation: Operation, cut: Cut, mechanics: OperationMechanics, start: CuttingCondition
) -> Known:
    feed_mm = start.feed_per_tooth.aim_mm
    if operation == "side-milling":
        width_ratio = SIDE_MILLING_WIDTH_RATIO
        chip_mm = feed_mm * straight_sine(SIDE_MILLING_WIDTH_RATIO)
    elif mechanics.feed_is_the_lead:
        width_ratio, chip_mm = mechanics.width_ratio, feed_mm
    else:
        width_ratio, chip_mm = mechanics.width_ratio, feed_mm * mechanics.chip_sine_ratio
    return Known(
        surface_speed_m_per_min=start.surface_speed.aim_m_per_min,
        feed_per_tooth_mm=feed_mm,
        chip_thickness_mm=chip_mm,
        width_ratio=width_ratio,
        tool_life_min=start.tool_life_min,
        coolant=usual_coolant(cut.material),
        feed_is_start=True,
        speed_factors=start.factors,
        feed_factors=(),
        basis=f"starting values; {start.basis}",
    )


class _Speed(NamedTuple):
    """A surface speed, and the width of cut that belongs to it."""

    surface_speed_m_per_min: float
    width_ratio: float
    factors: tuple[Factor, ...]


class _Feed(NamedTuple):
    """A feed a tooth, and the chip that it makes."""

    feed_per_tooth_mm: float
    chip_thickness_mm: float
    factors: tuple[Factor, ...]


def _from_reference(
    operation: Operation,
    cut: Cut,
    mechanics: OperationMechanics,
    start: CuttingCondition | None,
    reference: Reference,
    trail: Trail | None,
) -> Known | None:
    speed = _reference_speed(cut, mechanics, reference, trail)
    feed = _reference_feed(operation, cut, mechanics, reference, trail)
    begun = None if start is None else _from_start(operation, cut, mechanics, start)
    feed_is_start = feed is None
    basis = "reference, scaled"
    if begun is None:
        if speed is None or feed is None:
            # The caller brings speed and feed of his own; half a reference adds nothing to them.
            return None
    else:
        if speed is None:
            _refuse_life_alone(reference)
            speed = _Speed(begun.surface_speed_m_per_min, begun.width_ratio, begun.speed_factors)
            basis = f"feed from the reference, speed from {begun.basis}"
        if feed is None:
            feed = _Feed(begun.feed_per_tooth_mm, begun.chip_thickness_mm, ())
            basis = f"speed from the reference, feed from {begun.basis}"
    return Known(
        surface_speed_m_per_min=speed.surface_speed_m_per_min,
        feed_per_tooth_mm=feed.feed_per_tooth_mm,
        chip_thickness_mm=feed.chip_thickness_mm,
        width_ratio=speed.width_ratio,
        tool_life_min=_life_min(reference, begun, trail),
        coolant=_coolant(cut, reference, trail),
        feed_is_start=feed_is_start,
        speed_factors=speed.factors,
        feed_factors=feed.factors,
        basis=basis,
    )


def _reference_speed(
    cut: Cut, mechanics: OperationMechanics, reference: Reference, trail: Trail | None
) -> _Speed | None:
    """The reference's speed brought to this hardness; ``None`` if it has none."""
    if reference.surface_speed_m_per_min is None:
        return None
    factors = _reference_speed_factors(cut, reference, trail)
    return _Speed(
        _scaled(reference.surface_speed_m_per_min, factors, "surface_speed"),
        _reference_width_ratio(cut, mechanics, reference),
        tuple(factors),
    )


def _reference_feed(
    operation: Operation,
    cut: Cut,
    mechanics: OperationMechanics,
    reference: Reference,
    trail: Trail | None,
) -> _Feed | None:
    """The lead, where it is the feed, else the reference's feed brought to this case."""
    factors: list[Factor] = []
    if mechanics.feed_is_the_lead:
        feed_mm = mechanics.feed_per_revolution_mm(0.0) / cut.tool.teeth
    elif reference.feed_per_tooth_mm is not None:
        factors = _reference_feed_factors(operation, cut, mechanics, reference, trail)
        feed_mm = _scaled(reference.feed_per_tooth_mm, factors, "feed_per_tooth")
    else:
        return None
    return _Feed(feed_mm, feed_mm * mechanics.chip_sine_ratio, tuple(factors))


def _life_min(reference: Reference, begun: Known | None, trail: Trail | None) -> float | None:
    """Life that the reference stands for, else that of the starting values."""
    if reference.tool_life_min is not None or begun is None:
        return reference.tool_life_min
    _assume(
        trail,
        "reference_tool_life_min",
        begun.tool_life_min,
        "min",
        "life of the starting values",
    )
    return begun.tool_life_min


def _coolant(cut: Cut, reference: Reference, trail: Trail | None) -> str:
    if reference.coolant is not None:
        return reference.coolant
    usual = usual_coolant(cut.material)
    _assume(trail, "reference_coolant", usual, "", "what the material is usually cut with")
    return usual


def _scaled(value: float, factors: Sequence[Factor], applies_to: str) -> float:
    """A value times those factors that are meant for it."""
    return value * prod(each.value_ratio for each in factors if each.applies_to == applies_to)


def _refuse_life_alone(reference: Reference) -> None:
    if reference.tool_life_min is not None:
        raise MissingInputError(
            "the reference's life is given without the speed that it belongs to",
            parameter="reference_surface_speed",
            accepted="a speed above zero, or no reference_tool_life_min",
        )


def _reference_speed_factors(cut: Cut, reference: Reference, trail: Trail | None) -> list[Factor]:
    hardness_hb = _or_here(
        reference.hardness_hb, cut.material.hardness_hb, "reference_hardness", "HB", trail
    )
    return [
        hardness_scaling.hardness_on_speed(
            material=cut.material,
            cutter_material=cut.tool.material,
            reference_hb=hardness_hb,
            trail=trail,
        )
    ]


def _reference_feed_factors(
    operation: Operation,
    cut: Cut,
    mechanics: OperationMechanics,
    reference: Reference,
    trail: Trail | None,
) -> list[Factor]:
    hardness_hb = _or_here(
        reference.hardness_hb, cut.material.hardness_hb, "reference_hardness", "HB", trail
    )
    diameter_mm = _or_here(
        reference.diameter_mm, cut.tool.diameter_mm, "reference_diameter", "mm", trail
    )
    factors = [
        hardness_scaling.hardness_on_feed(
            material=cut.material,
            cutter_material=cut.tool.material,
            reference_hb=hardness_hb,
            trail=trail,
        ),
        _diameter_on_feed(operation, cut, diameter_mm, trail),
    ]
    if operation in MILLING and reference.radial_width_mm is not None:
        width_ratio = reference.radial_width_mm / diameter_mm
        factors.append(_engagement_on_feed(mechanics, width_ratio, trail))
    if reference.stick_out_mm is not None or reference.shank_diameter_mm is not None:
        factors.append(_stick_out_on_feed(cut, reference, trail))
    factors.append(
        scaling.teeth_on_feed_rate(
            teeth=cut.tool.teeth, reference_teeth=reference.teeth or cut.tool.teeth
        )
    )
    return factors


def _diameter_on_feed(
    operation: Operation, cut: Cut, reference_mm: float, trail: Trail | None
) -> Factor:
    if operation == "drilling":
        return scaling.drill_diameter_on_feed(
            diameter_mm=cut.tool.diameter_mm, reference_mm=reference_mm, material=cut.material
        )
    return scaling.diameter_on_feed(
        diameter_mm=cut.tool.diameter_mm, reference_mm=reference_mm, trail=trail
    )


def _engagement_on_feed(
    mechanics: OperationMechanics, reference_width_ratio: float, trail: Trail | None
) -> Factor:
    # A chamfer mill's slant thins the chip alike in both; it drops out of the comparison.
    upright = (mechanics.engagement_sine_ratio or 1.0) * mechanics.centre_feed_ratio
    slant = mechanics.chip_sine_ratio / upright
    return scaling.engagement_on_feed(
        sine_ratio=mechanics.chip_sine_ratio,
        reference_ratio=straight_sine(reference_width_ratio) * slant,
        trail=trail,
    )


def _stick_out_on_feed(cut: Cut, reference: Reference, trail: Trail | None) -> Factor:
    here = tool_compliance_um_per_n(tool=cut.tool)
    there = reference_compliance_um_per_n(tool=cut.tool, reference=reference)
    assert here is not None  # noqa: S101 - the line above refuses a missing stick-out
    return scaling.stick_out_on_feed(
        compliance_um_per_n=here,
        reference_um_per_n=there,
        material=cut.material,
        trail=trail,
    )


def _reference_width_ratio(cut: Cut, mechanics: OperationMechanics, reference: Reference) -> float:
    if reference.radial_width_mm is None:
        return mechanics.width_ratio
    return reference.radial_width_mm / (reference.diameter_mm or cut.tool.diameter_mm)


def straight_sine(width_ratio: float) -> float:
    """Largest chip over feed in a straight cut of a width, as a share of the diameter."""
    return straight_arc(radial_width_mm=width_ratio, diameter_mm=1.0).sine_ratio


def _or_here(
    value: float | None, here: float, parameter: str, unit: str, trail: Trail | None
) -> float:
    if value is not None:
        return value
    _assume(trail, parameter, here, unit, "as in this case")
    return here


def _assume(
    trail: Trail | None, parameter: str, value: float | str | None, unit: str, reason: str
) -> None:
    if trail is not None and value is not None:
        trail.assume(parameter, value, f"none given: {reason}", unit=unit)
