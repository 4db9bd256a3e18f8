"""How fast a machine moves: rates, ramps, and what its control can keep up with."""

from __future__ import annotations

from dataclasses import dataclass

from threadwright_service.calc.times.lot.typical import or_typical
from threadwright_service.calc.times.ranges import above_zero, count, not_negative
from threadwright_service.calc.trail import Trail
from threadwright_service.calc.units import STANDARD_GRAVITY_M_PER_S2


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineMotion:
    """How fast a machine moves; every value is the caller's or an assumption that is noted.

    Parameters
    ----------
    rapid_rate_mm_per_min : float
        Rapid traverse rate [mm/min].
    acceleration_m_per_s2 : float
        Acceleration along the path [m/s²].
    deceleration_m_per_s2 : float or None
        Braking along the path [m/s²]; ``None``: as ``acceleration_m_per_s2``.
    centripetal_acceleration_m_per_s2 : float or None
        Limit towards the centre of a circle [m/s²]; ``None``: as ``acceleration_m_per_s2``.
    feed_rate_max_mm_per_min : float or None
        Highest feed rate [mm/min]; ``None``: the rapid rate.
    block_rate_per_s : float or None
        Program blocks that the control prepares in a second; ``None``: never the limit.
    look_ahead_blocks : int or None
        Blocks that the control knows beyond the one in work; 0 brakes to rest at the end of each
        block, ``None`` never limits.
    corner_tolerance_mm : float
        Distance by which a corner may be rounded off [mm]; 0 stops at each corner.
    """

    rapid_rate_mm_per_min: float
    acceleration_m_per_s2: float
    deceleration_m_per_s2: float | None = None
    centripetal_acceleration_m_per_s2: float | None = None
    feed_rate_max_mm_per_min: float | None = None
    block_rate_per_s: float | None = None
    look_ahead_blocks: int | None = None
    corner_tolerance_mm: float = 0.0

    def __post_init__(self) -> None:
        for name in ("rapid_rate_mm_per_min", "acceleration_m_per_s2"):
            above_zero(name, getattr(self, name))
        for name in (
            "deceleration_m_per_s2",
            "centripetal_acceleration_m_per_s2",
            "feed_rate_max_mm_per_min",
            "block_rate_per_s",
        ):
            if getattr(self, name) is not None:
                above_zero(name, getattr(self, name))
        if self.look_ahead_blocks is not None:
            count("look_ahead_blocks", self.look_ahead_blocks)
        not_negative("corner_tolerance_mm", self.corner_tolerance_mm)

    @property
    def braking_m_per_s2(self) -> float:
        """Braking along the path [m/s²]."""
        if self.deceleration_m_per_s2 is None:
            return self.acceleration_m_per_s2
        return self.deceleration_m_per_s2

    @property
    def centripetal_m_per_s2(self) -> float:
        """Limit of the acceleration towards the centre of a circle [m/s²]."""
        if self.centripetal_acceleration_m_per_s2 is None:
            return self.acceleration_m_per_s2
        return self.centripetal_acceleration_m_per_s2


def acceleration_m_per_s2(*, acceleration_g: float) -> float:
    """Acceleration given as a multiple of standard gravity [m/s²].

    Raises
    ------
    OutOfRangeError
        If it is not above zero.

    Notes
    -----
    Source: standard gravity 9.80665 m/s², exact by definition.

    Examples
    --------
    >>> acceleration_m_per_s2(acceleration_g=0.4)
    3.92266
    """
    above_zero("acceleration_g", acceleration_g)
    return acceleration_g * STANDARD_GRAVITY_M_PER_S2


def machine_motion(
    *,
    rapid_rate_mm_per_min: float | None = None,
    acceleration_g: float | None = None,
    deceleration_g: float | None = None,
    centripetal_acceleration_g: float | None = None,
    feed_rate_max_mm_per_min: float | None = None,
    block_rate_per_s: float | None = None,
    look_ahead_blocks: int | None = None,
    corner_tolerance_mm: float = 0.0,
    trail: Trail | None = None,
) -> MachineMotion:
    """How a machine moves, from what is known of it; typical values for rapid rate and ramps.

    Raises
    ------
    OutOfRangeError
        If a value is not above zero where it must be.

    Notes
    -----
    Source: common practice (``tables/typical_times.toml``) for what was not given.
    """
    given_g = or_typical("acceleration_g", acceleration_g, trail)
    return MachineMotion(
        rapid_rate_mm_per_min=or_typical("rapid_rate", rapid_rate_mm_per_min, trail),
        acceleration_m_per_s2=acceleration_m_per_s2(acceleration_g=given_g),
        deceleration_m_per_s2=_of_gravity(deceleration_g),
        centripetal_acceleration_m_per_s2=_of_gravity(centripetal_acceleration_g),
        feed_rate_max_mm_per_min=feed_rate_max_mm_per_min,
        block_rate_per_s=block_rate_per_s,
        look_ahead_blocks=look_ahead_blocks,
        corner_tolerance_mm=corner_tolerance_mm,
    )


def _of_gravity(multiple_g: float | None) -> float | None:
    return None if multiple_g is None else acceleration_m_per_s2(acceleration_g=multiple_g)
