"""How fast a machine moves: rates, ramps, and what its control can keep up with."""

from __future__ import annotations

from dataclasses import dataclass

from threadwright_service.calc.times.ranges import above_zero, count, not_negative
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
