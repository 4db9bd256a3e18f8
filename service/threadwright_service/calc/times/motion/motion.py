"""Time of one move: ramps, and what keeps the speed down on circles and short blocks.

The control is taken to ramp with a constant acceleration along the path and to hold the
acceleration towards the centre of a circle under a limit of its own, as controls are set up.
Jerk is not modelled: a jerk limit j adds about a/j to each full ramp, some hundredths of a second.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final, Literal

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.times.motion.ramps import ramped
from threadwright_service.calc.times.ranges import above_zero, not_negative
from threadwright_service.calc.trail import Formula, Trail

SpeedLimit = Literal[
    "feed",
    "feed-rate-max",
    "rapid-rate",
    "acceleration",
    "centripetal",
    "block-rate",
    "look-ahead",
    "spindle",
]

MM_PER_M: Final = 1000.0
S_PER_MIN: Final = 60.0

CIRCLE_SPEED: Final = Formula(
    "speed at which the acceleration towards the centre reaches its limit",
    "v_c",
    "sqrt(a_c * r)",
    "a_c r",
    unit="mm/s",
    source="derivation",
)
HELIX_LENGTH: Final = Formula(
    "length of a helix",
    "l",
    "n * sqrt((2*pi*e)**2 + L**2)",
    "n e L",
    unit="mm",
    source="derivation",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """A move: how long it takes, how fast it gets, and what keeps it from being faster."""

    time_s: float
    speed_reached_mm_per_min: float
    limited_by: SpeedLimit


def move_time_s(
    *,
    length_mm: float,
    feed_mm_per_min: float,
    acceleration_m_per_s2: float,
    deceleration_m_per_s2: float | None = None,
    entry_feed_mm_per_min: float = 0.0,
    exit_feed_mm_per_min: float = 0.0,
    trail: Trail | None = None,
) -> float:
    """Time of a straight move with ramps [s]; see :func:`move`."""
    return move(
        length_mm=length_mm,
        feed_mm_per_min=feed_mm_per_min,
        acceleration_m_per_s2=acceleration_m_per_s2,
        deceleration_m_per_s2=deceleration_m_per_s2,
        entry_feed_mm_per_min=entry_feed_mm_per_min,
        exit_feed_mm_per_min=exit_feed_mm_per_min,
        trail=trail,
    ).time_s


def move(
    *,
    length_mm: float,
    feed_mm_per_min: float,
    acceleration_m_per_s2: float,
    deceleration_m_per_s2: float | None = None,
    entry_feed_mm_per_min: float = 0.0,
    exit_feed_mm_per_min: float = 0.0,
    trail: Trail | None = None,
) -> Motion:
    r"""Time of a straight move: ramp up, constant speed, ramp down.

    .. math:: t = s/v + v/a \quad (s \ge v^2/a), \qquad t = 2\sqrt{s/a} \quad \text{else}

    from rest to rest with equal ramps; other ramps and other end speeds by the same integral.

    Parameters
    ----------
    length_mm : float
        Length of the move, s [mm]; 0 or more.
    feed_mm_per_min : float
        Programmed feed or rapid rate, v [mm/min].
    acceleration_m_per_s2, deceleration_m_per_s2 : float
        Ramps up and down, a and d [m/s²]; ``None``: d = a.
    entry_feed_mm_per_min, exit_feed_mm_per_min : float
        Speed at both ends [mm/min]; 0: from rest to rest.

    Raises
    ------
    OutOfRangeError
        If a length is negative, a rate or an acceleration not above zero.
    InfeasibleError
        If the move is too short to change from the speed at one end to that at the other, or if
        one of them is above the feed.

    Notes
    -----
    Source: derivation (area under the speed over time).

    Examples
    --------
    10 mm at 6,000 mm/min with 1 m/s²: 0.1 s for the way and 0.1 s for the ramps.

    >>> move(length_mm=10, feed_mm_per_min=6000, acceleration_m_per_s2=1)
    Motion(time_s=0.2, speed_reached_mm_per_min=6000.0, limited_by='feed')
    """
    not_negative("length_mm", length_mm)
    above_zero("feed_mm_per_min", feed_mm_per_min)
    above_zero("acceleration_m_per_s2", acceleration_m_per_s2)
    if deceleration_m_per_s2 is None:
        deceleration_m_per_s2 = acceleration_m_per_s2
    above_zero("deceleration_m_per_s2", deceleration_m_per_s2)
    for name, feed in (
        ("entry_feed_mm_per_min", entry_feed_mm_per_min),
        ("exit_feed_mm_per_min", exit_feed_mm_per_min),
    ):
        not_negative(name, feed)
        if feed > feed_mm_per_min:
            raise InfeasibleError(
                f"{name} is {feed:g}, above the move's feed of {feed_mm_per_min:g} mm/min",
                parameter=name,
                value=feed,
                accepted="at most feed_mm_per_min",
            )
    time_s, speed_mm_per_s = ramped(
        length_mm,
        feed_mm_per_min / S_PER_MIN,
        acceleration_m_per_s2 * MM_PER_M,
        deceleration_m_per_s2 * MM_PER_M,
        entry_feed_mm_per_min / S_PER_MIN,
        exit_feed_mm_per_min / S_PER_MIN,
        trail,
    )
    reached_mm_per_min = speed_mm_per_s * S_PER_MIN
    return Motion(
        time_s=time_s,
        speed_reached_mm_per_min=reached_mm_per_min,
        limited_by="feed" if speed_mm_per_s >= feed_mm_per_min / S_PER_MIN else "acceleration",
    )


def feed_reached_mm_per_min(
    *,
    radius_mm: float,
    acceleration_m_per_s2: float,
    feed_mm_per_min: float = math.inf,
    lead_mm: float = 0.0,
    trail: Trail | None = None,
) -> float:
    r"""Feed that a circle or a helix allows: the programmed feed, or the centripetal limit.

    .. math:: v \le \sqrt{a_c r}

    Parameters
    ----------
    radius_mm : float
        Radius of the cutter-centre path, r [mm].
    acceleration_m_per_s2 : float
        Limit of the acceleration towards the centre, a_c [m/s²].
    feed_mm_per_min : float
        Programmed feed of the cutter centre [mm/min]; without it the limit itself is given.
    lead_mm : float
        Rise of the helix for each turn [mm]; a helix bends a little less than its circle.

    Raises
    ------
    OutOfRangeError
        If a value is not above zero (the lead: negative).

    Notes
    -----
    Source: uniform circular motion, a = v²/r; the helix's radius of curvature is
    r(1 + (L/2πr)²).

    Examples
    --------
    A path of 1 mm radius inside a small thread, at 3 m/s²:

    >>> feed_reached_mm_per_min(radius_mm=1, acceleration_m_per_s2=3)
    3286.3
    """
    above_zero("radius_mm", radius_mm)
    above_zero("acceleration_m_per_s2", acceleration_m_per_s2)
    not_negative("lead_mm", lead_mm)
    if not feed_mm_per_min > 0:
        above_zero("feed_mm_per_min", feed_mm_per_min)
    curvature_radius_mm = radius_mm * (1 + (lead_mm / (2 * math.pi * radius_mm)) ** 2)
    limit_mm_per_s = CIRCLE_SPEED(trail, acceleration_m_per_s2 * MM_PER_M, curvature_radius_mm)
    return min(feed_mm_per_min, limit_mm_per_s * S_PER_MIN)


def helix_time_s(
    *,
    length_mm: float,
    radius_mm: float,
    feed_mm_per_min: float,
    acceleration_m_per_s2: float,
    deceleration_m_per_s2: float | None = None,
    centripetal_acceleration_m_per_s2: float | None = None,
    lead_mm: float = 0.0,
    entry_feed_mm_per_min: float = 0.0,
    exit_feed_mm_per_min: float = 0.0,
    trail: Trail | None = None,
) -> float:
    """Time of a circle or helix of the cutter centre [s]; see :func:`helix`."""
    return helix(
        length_mm=length_mm,
        radius_mm=radius_mm,
        feed_mm_per_min=feed_mm_per_min,
        acceleration_m_per_s2=acceleration_m_per_s2,
        deceleration_m_per_s2=deceleration_m_per_s2,
        centripetal_acceleration_m_per_s2=centripetal_acceleration_m_per_s2,
        lead_mm=lead_mm,
        entry_feed_mm_per_min=entry_feed_mm_per_min,
        exit_feed_mm_per_min=exit_feed_mm_per_min,
        trail=trail,
    ).time_s


def helix(
    *,
    length_mm: float,
    radius_mm: float,
    feed_mm_per_min: float,
    acceleration_m_per_s2: float,
    deceleration_m_per_s2: float | None = None,
    centripetal_acceleration_m_per_s2: float | None = None,
    lead_mm: float = 0.0,
    entry_feed_mm_per_min: float = 0.0,
    exit_feed_mm_per_min: float = 0.0,
    trail: Trail | None = None,
) -> Motion:
    """Time of a circle or helix of the cutter centre, with the limit that binds.

    Parameters
    ----------
    length_mm : float
        Length along the path [mm], see :func:`helix_length_mm`; arcs of entry and exit that are
        tangent to it may be added, as long as their radius is not the smaller one.
    radius_mm : float
        Radius of the cutter-centre path [mm].
    feed_mm_per_min : float
        Programmed feed of the cutter centre along the path [mm/min].
    acceleration_m_per_s2, deceleration_m_per_s2 : float
        Ramps along the path [m/s²]; ``None``: braking as speeding up.
    centripetal_acceleration_m_per_s2 : float or None
        Limit towards the centre [m/s²]; ``None``: as ``acceleration_m_per_s2``.
    lead_mm : float
        Rise for each turn [mm].
    entry_feed_mm_per_min, exit_feed_mm_per_min : float
        Speed at both ends [mm/min]; 0: from rest to rest.

    Raises
    ------
    OutOfRangeError
        If a value is not above zero where it must be.
    InfeasibleError
        If the end speeds cannot be reached, or are above what the circle allows.

    Notes
    -----
    Source: derivation. Ramp and centripetal acceleration are limited each by itself; a machine
    that limits their vector sum ramps a little longer near the limit.
    """
    if centripetal_acceleration_m_per_s2 is None:
        centripetal_acceleration_m_per_s2 = acceleration_m_per_s2
    above_zero("feed_mm_per_min", feed_mm_per_min)
    allowed_mm_per_min = feed_reached_mm_per_min(
        radius_mm=radius_mm,
        acceleration_m_per_s2=centripetal_acceleration_m_per_s2,
        feed_mm_per_min=feed_mm_per_min,
        lead_mm=lead_mm,
        trail=trail,
    )
    motion = move(
        length_mm=length_mm,
        feed_mm_per_min=allowed_mm_per_min,
        acceleration_m_per_s2=acceleration_m_per_s2,
        deceleration_m_per_s2=deceleration_m_per_s2,
        entry_feed_mm_per_min=entry_feed_mm_per_min,
        exit_feed_mm_per_min=exit_feed_mm_per_min,
        trail=trail,
    )
    if motion.limited_by == "feed" and allowed_mm_per_min < feed_mm_per_min:
        return replace(motion, limited_by="centripetal")
    return motion


def helix_length_mm(
    *, turns_ratio: float, radius_mm: float, lead_mm: float, trail: Trail | None = None
) -> float:
    """Length of a helix [mm].

    Parameters
    ----------
    turns_ratio : float
        Number of turns, whole or not.
    radius_mm : float
        Radius of the cutter-centre path, e [mm].
    lead_mm : float
        Rise for each turn, L [mm]; 0 for a circle.

    Raises
    ------
    OutOfRangeError
        If the radius is not above zero, turns or lead are negative.

    Notes
    -----
    Source: derivation (unrolled helix).

    Examples
    --------
    >>> helix_length_mm(turns_ratio=1, radius_mm=13.2, lead_mm=1.5875)
    82.95
    """
    not_negative("turns_ratio", turns_ratio)
    above_zero("radius_mm", radius_mm)
    not_negative("lead_mm", lead_mm)
    return HELIX_LENGTH(trail, turns_ratio, radius_mm, lead_mm)


def centripetal_acceleration_m_per_s2(*, speed_m_per_s: float, radius_m: float) -> float:
    """Acceleration towards the centre at a speed on a circle [m/s²].

    Raises
    ------
    OutOfRangeError
        If the speed is negative or the radius not above zero.

    Notes
    -----
    Source: uniform circular motion, a = v²/r.

    Examples
    --------
    >>> centripetal_acceleration_m_per_s2(speed_m_per_s=10, radius_m=25)
    4.0
    """
    not_negative("speed_m_per_s", speed_m_per_s)
    above_zero("radius_m", radius_m)
    return speed_m_per_s**2 / radius_m
