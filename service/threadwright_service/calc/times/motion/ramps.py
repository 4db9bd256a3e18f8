"""Ramps: speed over time with constant acceleration at both ends of a move."""

from __future__ import annotations

import math
from typing import Final

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.times.ranges import above_zero
from threadwright_service.calc.trail import Formula, Trail

PEAK_SPEED: Final = Formula(
    "speed at which a move without a stretch of constant speed peaks",
    "v_p",
    "sqrt((2*a*d*s + d*v0**2 + a*v1**2) / (a + d))",
    "s a d v0 v1",
    unit="mm/s",
    source="derivation",
)
MOVE_TIME: Final = Formula(
    "time of a move with ramps",
    "t",
    "(v - v0)/a + (v - v1)/d + (s - (v**2 - v0**2)/(2*a) - (v**2 - v1**2)/(2*d)) / v",
    "s v a d v0 v1",
    unit="s",
    source="derivation",
)
CRUISE_SPEED: Final = Formula(
    "speed that covers a distance in a given time with ramps at both ends",
    "v",
    "(T - sqrt(T**2 - 2*s*(1/a + 1/d))) / (1/a + 1/d)",
    "s T a d",
    unit="units/s",
    source="derivation",
)


def ramped(
    length_mm: float,
    speed_mm_per_s: float,
    acceleration_mm_per_s2: float,
    deceleration_mm_per_s2: float,
    entry_speed_mm_per_s: float,
    exit_speed_mm_per_s: float,
    trail: Trail | None = None,
) -> tuple[float, float]:
    """Time [s] and peak speed [mm/s] of a ramped move; the arithmetic of :func:`move`.

    Raises
    ------
    InfeasibleError
        If the move is too short for the change of speed from one end to the other.

    Notes
    -----
    Source: derivation.
    """
    a, d = acceleration_mm_per_s2, deceleration_mm_per_s2
    v0, v1 = entry_speed_mm_per_s, exit_speed_mm_per_s
    # A rounding error's worth more than reachable is not a refusal.
    slack = 1e-9 * (v0 * v0 + v1 * v1)
    if v1 * v1 > v0 * v0 + 2 * a * length_mm + slack or (
        v0 * v0 > v1 * v1 + 2 * d * length_mm + slack
    ):
        raise InfeasibleError(
            f"{length_mm:g} mm is too short to change from {v0 * 60:g} to "
            f"{v1 * 60:g} mm/min with these ramps",
            parameter="length_mm",
            value=length_mm,
            accepted="a longer move or closer end speeds",
        )
    if length_mm == 0:
        return 0.0, max(v0, v1)
    peak_mm_per_s = PEAK_SPEED(trail, length_mm, a, d, v0, v1)
    top_mm_per_s = max(min(speed_mm_per_s, peak_mm_per_s), v0, v1)
    return MOVE_TIME(trail, length_mm, top_mm_per_s, a, d, v0, v1), top_mm_per_s


def cruise_speed_per_s(
    *, distance: float, time_s: float, acceleration_per_s2: float, deceleration_per_s2: float
) -> tuple[float, float, float, float]:
    """Constant speed that covers a distance in a given time from rest to rest.

    Any one unit of length; the ramps may differ.

    Returns
    -------
    tuple of float
        The speed [units/s], and the times of ramp up, constant speed and ramp down [s].

    Raises
    ------
    OutOfRangeError
        If a value is not above zero.
    InfeasibleError
        If the distance cannot be covered in that time with these ramps.

    Notes
    -----
    Source: derivation, s = vT - v²/2 (1/a + 1/d) solved for the smaller v.

    Examples
    --------
    >>> speed, *_ = cruise_speed_per_s(
    ...     distance=1000, time_s=4, acceleration_per_s2=1000, deceleration_per_s2=500
    ... )
    >>> speed
    279.24
    """
    above_zero("distance", distance)
    above_zero("time_s", time_s)
    above_zero("acceleration_per_s2", acceleration_per_s2)
    above_zero("deceleration_per_s2", deceleration_per_s2)
    ramps_s2 = 1 / acceleration_per_s2 + 1 / deceleration_per_s2
    shortest_s = math.sqrt(2 * distance * ramps_s2)
    if time_s < shortest_s:
        raise InfeasibleError(
            f"{distance:g} cannot be covered in {time_s:g} s with these ramps; the shortest time "
            f"is {shortest_s:.4g} s",
            parameter="time_s",
            value=time_s,
            accepted=f"{shortest_s:.4g} s or more",
        )
    speed_per_s = CRUISE_SPEED.function(distance, time_s, acceleration_per_s2, deceleration_per_s2)
    up_s, down_s = speed_per_s / acceleration_per_s2, speed_per_s / deceleration_per_s2
    return speed_per_s, up_s, time_s - up_s - down_s, down_s
