"""A cutter swept along a helix by dense sampling: no closed form, no stationary points.

The cutter is a list of (radius, half width) samples or a formula of its half width; the groove's
half width at a radius is the largest height that any position of the cutter takes off there.
Sampled over the whole angle, then once more about the best sample.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
HalfWidth = Callable[[Array], Array]

_SAMPLES = 1501


def flat_nose(radius: float, flat: float, angle_deg: float) -> HalfWidth:
    """Half width of a flat nose with straight flanks; minus infinity outside the cutter."""
    slope = math.tan(math.radians(angle_deg))

    def half_width(rho: Array) -> Array:
        return np.where(rho <= radius, flat / 2 + (radius - rho) * slope, -np.inf)

    return half_width


def round_nose(radius: float, nose: float, angle_deg: float) -> HalfWidth:
    """Half width of a nose arc that runs tangent into straight flanks."""
    angle = math.radians(angle_deg)
    middle = radius - nose
    tangent_at = middle + nose * math.sin(angle)

    def half_width(rho: Array) -> Array:
        with np.errstate(invalid="ignore"):
            arc = np.sqrt(np.maximum(nose**2 - (rho - middle) ** 2, 0.0))
        flank = nose * math.cos(angle) + (tangent_at - rho) * math.tan(angle)
        return np.where(rho > radius, -np.inf, np.where(rho > tangent_at, arc, flank))

    return half_width


def swept_half_width(
    half_width: HalfWidth,
    radii: Array,
    centre: float,
    lead: float,
    tip_radius: float,
    gain: float = 0.0,
) -> Array:
    """Half width of the groove at each radius of the thread, towards the end of the helix.

    On a cone the centre's radius gains ``gain`` for each millimetre along the axis that way; the
    other flank is made with the opposite gain.
    """
    reach = lead / (2 * math.pi)
    result = np.full(radii.shape, -np.inf)
    for index, radius in enumerate(radii):
        cosine = (radius**2 + centre**2 - tip_radius**2) / (2 * radius * centre)
        if cosine > 1:
            continue
        last = math.acos(max(cosine, -1.0))
        low, high = 0.0, last
        for _ in range(3):
            # The square of the spacing puts samples close together at the far end, at the nose.
            delta = high - (high - low) * np.linspace(0.0, 1.0, _SAMPLES) ** 2
            away = centre + gain * reach * delta
            rho = np.sqrt(radius**2 + away**2 - 2 * radius * away * np.cos(delta))
            height = reach * delta + half_width(np.minimum(rho, tip_radius))
            best = int(np.argmax(height))
            result[index] = max(result[index], float(height[best]))
            near, far = max(best - 2, 0), min(best + 2, _SAMPLES - 1)
            high, low = float(delta[near]), float(delta[far])
    return result


def width_by_ball(
    radii: Array, first: Array, second: Array, diameter: float, outward: int
) -> float:
    """Distance from the axis at which a ball's centre stops in an axial section.

    The section is the point cloud (radius, +first) and (radius, -second). The ball comes in from
    the crest's side and stops where the first point touches it; it slides along the axis until it
    lies deepest.
    """
    ball = diameter / 2

    def stopped(shift: float) -> float:
        reached = -math.inf
        for edge in (first - shift, second + shift):
            inside = ball**2 - edge**2
            usable = inside > 0
            if usable.any():
                reached = max(
                    reached, float(np.max(outward * radii[usable] + np.sqrt(inside[usable])))
                )
        return reached

    low, high = -ball / 2, ball / 2
    for _ in range(200):
        third = (high - low) / 3
        if stopped(low + third) < stopped(high - third):
            high -= third
        else:
            low += third
    return outward * stopped((low + high) / 2)
