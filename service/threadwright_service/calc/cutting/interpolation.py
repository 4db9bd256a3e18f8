"""Between the points of a table, on logarithms: the only place where cutting data interpolate."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Interpolated:
    """A value between two points of a table, and how it was found."""

    value: float
    exponent_ratio: float
    """Slope of the logarithms: the local power law's exponent."""
    extrapolated: bool


def power_between(
    points: Sequence[tuple[float, float]], at: float, *, slope_beyond: float | None = None
) -> Interpolated:
    """A value on the power laws that join the points of a table.

    Parameters
    ----------
    points : sequence of (float, float)
        Argument, rising, and value; both above zero. One point alone is a constant.
    at : float
        Where the value is wanted.
    slope_beyond : float, optional
        Exponent above the last point; the last step's if none is given.

    Notes
    -----
    Source: derivation. Outside the points the neighbouring power law is carried on and
    ``extrapolated`` is set.

    Examples
    --------
    >>> power_between([(100.0, 8.0), (200.0, 2.0)], 400.0)
    Interpolated(value=0.5, exponent_ratio=-2.0, extrapolated=True)
    """
    if len(points) == 1:
        return Interpolated(value=points[0][1], exponent_ratio=0.0, extrapolated=False)
    first, last = points[0][0], points[-1][0]
    index = 0
    while index < len(points) - 2 and at > points[index + 1][0]:
        index += 1
    (x1, y1), (x2, y2) = points[index], points[index + 1]
    slope = math.log(y2 / y1) / math.log(x2 / x1)
    if at > last and slope_beyond is not None:
        x1, y1, slope = x2, y2, slope_beyond
    return Interpolated(
        value=y1 * (at / x1) ** slope,
        exponent_ratio=slope,
        extrapolated=at < first or at > last,
    )
