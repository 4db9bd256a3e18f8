"""Pre-control: three zones of a tolerance, and when to leave a process alone.

Green is the middle half of the tolerance, yellow the outer quarters, red is outside. Two
consecutive parts decide; a single reading in the green is never a reason to touch the offset.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.errors import InfeasibleError

Zone = Literal["green", "yellow-low", "yellow-high", "red-low", "red-high"]
Advice = Literal["continue", "adjust", "stop"]

TO_QUALIFY: Final = 5
"""Greens in a row that qualify a set-up."""

_NOTHING_MM: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneLimits:
    """Largest and smallest size of a zone [mm]."""

    max_mm: float
    """Largest size of the zone."""
    min_mm: float
    """Smallest size of the zone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PreControl:
    """The zones of a tolerance as sizes."""

    green: ZoneLimits
    """Middle half of the tolerance."""
    yellow_high: ZoneLimits
    """Quarter below the upper limit."""
    yellow_low: ZoneLimits
    """Quarter above the lower limit."""
    limits: ZoneLimits
    """What lies outside is red."""

    def zone(self, size_mm: float) -> Zone:
        """The zone of a size; a size on a line belongs to the better zone."""
        if size_mm > self.limits.max_mm + _NOTHING_MM:
            return "red-high"
        if size_mm < self.limits.min_mm - _NOTHING_MM:
            return "red-low"
        if size_mm > self.green.max_mm + _NOTHING_MM:
            return "yellow-high"
        if size_mm < self.green.min_mm - _NOTHING_MM:
            return "yellow-low"
        return "green"


def pre_control(*, max_mm: float, min_mm: float) -> PreControl:
    """The zones between two limits.

    Parameters
    ----------
    max_mm, min_mm : float
        Limits of size [mm]; the first larger.

    Raises
    ------
    InfeasibleError
        If there is no tolerance between them.

    Notes
    -----
    Source: pre-control-articles, definition of the zones.

    Examples
    --------
    M10x1.5-6g, 8.862 to 8.994 mm:

    >>> zones = pre_control(max_mm=8.994, min_mm=8.862)
    >>> round(zones.green.min_mm, 3), round(zones.green.max_mm, 3), zones.zone(8.890)
    (8.895, 8.961, 'yellow-low')
    """
    if not max_mm > min_mm:
        raise InfeasibleError(
            f"there is no tolerance between {min_mm:g} mm and {max_mm:g} mm",
            parameter="tolerance_class",
        )
    quarter = (max_mm - min_mm) / 4
    upper, lower = max_mm - quarter, min_mm + quarter
    return PreControl(
        green=ZoneLimits(max_mm=upper, min_mm=lower),
        yellow_high=ZoneLimits(max_mm=max_mm, min_mm=upper),
        yellow_low=ZoneLimits(max_mm=lower, min_mm=min_mm),
        limits=ZoneLimits(max_mm=max_mm, min_mm=min_mm),
    )


def advice(zones: Sequence[Zone]) -> Advice:
    """What two consecutive parts say.

    Parameters
    ----------
    zones : sequence of Zone
        Zones of the parts made at the present setting, in order.

    Returns
    -------
    "continue", "adjust" or "stop"
        ``stop``: two yellows on opposite sides, the spread is too large for the tolerance.

    Notes
    -----
    Source: pre-control-articles, rules while running.

    Examples
    --------
    >>> advice(["green", "yellow-high"]), advice(["yellow-high", "yellow-high"])
    ('continue', 'adjust')
    """
    last = list(zones[-2:])
    if last and last[-1].startswith("red"):
        return "adjust"
    if len(last) == 2 and all(zone.startswith("yellow") for zone in last):
        return "adjust" if last[0] == last[1] else "stop"
    return "continue"


def is_qualified(zones: Sequence[Zone]) -> bool:
    """Whether five parts in a row are green.

    Notes
    -----
    Source: pre-control-articles, rule for qualifying a set-up.

    Examples
    --------
    >>> is_qualified(["yellow-low", "green", "green", "green", "green", "green"])
    True
    """
    return len(zones) >= TO_QUALIFY and all(zone == "green" for zone in zones[-TO_QUALIFY:])
