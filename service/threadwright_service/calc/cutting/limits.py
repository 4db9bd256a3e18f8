"""The limits of edge, cutter and machine on a chosen speed and feed, each by its name."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.cutting.operations.load import Cut, CutLoad, OperationMechanics
from threadwright_service.calc.cutting.power import POWER
from threadwright_service.calc.cutting.speed_and_feed import (
    spindle_speed_rev_per_min,
    surface_speed_m_per_min,
)
from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.milling.geometry.cutter import Machine
from threadwright_service.calc.milling.loads.engagement import runout_step_mm
from threadwright_service.calc.trail import Trail

SPINDLE: Final = "spindle speed"
FEED: Final = "feed rate"
POWER_LIMIT: Final = "power"
CHIP: Final = "chip thickness"
DEFLECTION: Final = "deflection"

SMALLEST_FEED_MM: Final = 1e-4
"""Less than the radius of any edge by far: no cut."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What may not be passed; ``None`` where nothing was given."""

    machine: Machine | None = None
    chip_thickness_allowed_mm: float | None = None
    deflection_limit_mm: float | None = None
    compliance_um_per_n: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Limited:
    """Speed and feed within all limits, and which limits bound.

    ``bound`` holds each limit's name with what it left of the value, 0 to 1.
    """

    spindle_speed_rev_per_min: float
    feed_per_tooth_mm: float
    bound: tuple[tuple[str, float], ...]

    @property
    def limited_by(self) -> str | None:
        """The limit that took most."""
        return min(self.bound, key=lambda each: each[1])[0] if self.bound else None


def deflection_mm(*, load: CutLoad, compliance_um_per_n: float) -> float:
    """Bending of the tool under its largest force, in that force's direction [mm].

    What shows on the wall is less: the wall is made where the chip has run out.

    Notes
    -----
    Source: derivation; resultant of the largest tangential and radial force.
    """
    return math.hypot(load.tangential_force_n, load.radial_force_n) * compliance_um_per_n / 1000


def within_limits(
    *,
    cut: Cut,
    mechanics: OperationMechanics,
    surface_speed: float,
    feed_mm: float,
    limits: Limits,
    trail: Trail | None = None,
) -> Limited:
    """Lower speed and feed until every limit is kept, in a fixed order.

    Parameters
    ----------
    cut, mechanics
        The case.
    surface_speed : float
        Chosen surface speed [m/min].
    feed_mm : float
        Chosen feed of a tooth at the made diameter [mm].
    limits : Limits
        What may not be passed.
    trail : Trail, optional
        Takes working.

    Raises
    ------
    InfeasibleError
        If no feed keeps the deflection.

    Notes
    -----
    Source: derivation. Order: spindle speed, chip, deflection, feed rate, power; each later limit
    only lowers further, so none is broken again.
    """
    machine = limits.machine or Machine()
    bound: list[tuple[str, float]] = []
    speed = spindle_speed_rev_per_min(
        surface_speed_m_per_min=surface_speed, diameter_mm=cut.tool.diameter_mm, trail=trail
    )
    if machine.spindle_speed_max_rev_per_min is not None:
        speed = _lower(bound, SPINDLE, speed, machine.spindle_speed_max_rev_per_min)
    if not mechanics.feed_is_the_lead:
        if limits.chip_thickness_allowed_mm is not None:
            most_mm = _feed_for_chip(cut, mechanics, limits.chip_thickness_allowed_mm)
            feed_mm = _lower(bound, CHIP, feed_mm, most_mm)
        if limits.deflection_limit_mm is not None and limits.compliance_um_per_n is not None:
            most_mm = _feed_for_deflection(
                mechanics, feed_mm, limits.deflection_limit_mm, limits.compliance_um_per_n
            )
            feed_mm = _lower(bound, DEFLECTION, feed_mm, most_mm)
    speed, feed_mm = _within_feed_rate(mechanics, machine, speed, feed_mm, bound)
    if machine.spindle_power_kw is not None:
        vc = surface_speed_m_per_min(
            spindle_speed_rev_per_min=speed, diameter_mm=cut.tool.diameter_mm
        )
        power_kw = POWER.function(mechanics.load(feed_mm).tangential_force_mean_n, vc)
        if power_kw > machine.spindle_power_kw:
            speed = _lower(bound, POWER_LIMIT, speed, speed * machine.spindle_power_kw / power_kw)
    return Limited(spindle_speed_rev_per_min=speed, feed_per_tooth_mm=feed_mm, bound=tuple(bound))


def _within_feed_rate(
    mechanics: OperationMechanics,
    machine: Machine,
    speed: float,
    feed_mm: float,
    bound: list[tuple[str, float]],
) -> tuple[float, float]:
    if machine.feed_rate_max_mm_per_min is None:
        return speed, feed_mm
    rate = speed * mechanics.feed_per_revolution_mm(feed_mm) * mechanics.centre_feed_ratio
    left = machine.feed_rate_max_mm_per_min / rate
    if mechanics.feed_is_the_lead:
        return _lower(bound, FEED, speed, speed * left), feed_mm
    return speed, _lower(bound, FEED, feed_mm, feed_mm * left)


def _lower(bound: list[tuple[str, float]], name: str, value: float, most: float) -> float:
    if value <= most:
        return value
    bound.append((name, most / value))
    return most


def _feed_for_chip(cut: Cut, mechanics: OperationMechanics, allowed_mm: float) -> float:
    """Feed of a tooth whose largest chip, run-out included, is the allowed one [mm]."""
    step_mm = runout_step_mm(runout_mm=cut.tool.runout_mm, teeth=cut.tool.teeth)
    # The tooth that stands out takes h + s, at most what all teeth together would, z h.
    nominal_mm = max(allowed_mm - step_mm, allowed_mm / cut.tool.teeth)
    return nominal_mm / mechanics.chip_sine_ratio


def _feed_for_deflection(
    mechanics: OperationMechanics,
    feed_mm: float,
    limit_mm: float,
    compliance_um_per_n: float,
) -> float:
    """Feed of a tooth that keeps the deflection [mm], by halving: force rises with feed."""

    def bend_mm(trial_mm: float) -> float:
        return deflection_mm(load=mechanics.load(trial_mm), compliance_um_per_n=compliance_um_per_n)

    if bend_mm(feed_mm) <= limit_mm:
        return feed_mm
    low_mm, high_mm = 0.0, feed_mm
    for _ in range(60):
        middle_mm = (low_mm + high_mm) / 2
        if bend_mm(middle_mm) <= limit_mm:
            low_mm = middle_mm
        else:
            high_mm = middle_mm
    if low_mm < SMALLEST_FEED_MM:
        raise InfeasibleError(
            f"no feed of a tooth above {SMALLEST_FEED_MM:g} mm bends this tool by {limit_mm:g} mm "
            "or less",
            parameter="deflection_limit",
            value=limit_mm,
            accepted="a larger limit, a shorter or thicker tool, or a lighter cut",
        )
    return low_mm
