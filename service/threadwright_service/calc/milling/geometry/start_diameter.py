"""The diameter that a thread is cut into: blank or hole."""

from __future__ import annotations

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail


def start_diameter_mm(
    *,
    thread: ThreadLimits,
    blank_diameter_mm: float | None = None,
    hole_diameter_mm: float | None = None,
    trail: Trail | None = None,
) -> float:
    """Diameter before threading: the given one, or the middle of the limits [mm].

    Parameters
    ----------
    blank_diameter_mm, hole_diameter_mm : float, optional
        The caller's, outside or inside [mm].

    Raises
    ------
    OutOfRangeError
        If the one of the other side is given.

    Notes
    -----
    Source: the caller, or the thread's limits.
    """
    metric = thread.in_millimetres()
    external = metric.side == "external"
    name, other = ("blank_diameter", "hole_diameter")[:: 1 if external else -1]
    given_mm, wrong_mm = (blank_diameter_mm, hole_diameter_mm)[:: 1 if external else -1]
    if wrong_mm is not None:
        raise OutOfRangeError(
            f"{other} is given for an {metric.side} thread",
            parameter=other,
            value=wrong_mm,
            accepted=f"{name} for an {metric.side} thread",
        )
    if given_mm is not None:
        return given_mm
    span = metric.limits.major_diameter if external else metric.limits.minor_diameter
    basic = metric.basic.major_diameter if external else metric.basic.minor_diameter
    if span.max is None or span.min is None:
        start_mm, reason = (span.max or span.min or basic), "the only size that the limits give"
    else:
        start_mm, reason = (span.max + span.min) / 2, "none given; the middle of its limits"
    if trail is not None:
        trail.assume(name, start_mm, reason, unit="mm")
    return start_mm
