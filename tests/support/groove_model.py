"""A ball or straight wire laid into a thread by brute force: no normals, no derivatives.

A flank is a cloud of points on an axially straight helicoid. A ball of radius ``rho`` whose centre
travels along the x axis is stopped by the point that asks for the largest ``x + sqrt(rho² - y² -
(z - z0)²)``; a straight wire square to the x axis by the one that asks for the largest
``x + sqrt(rho² - s²)``, ``s`` being the point's distance from the wire in the plane square to x.
The cloud is drawn closer and closer about the stopping point. Where the wire may slide along the
thread or swivel, it goes where it lies deepest.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

_GRID = 61
_ZOOMS = 12
_SHRINK = 3.0


@dataclass(frozen=True)
class Screw:
    """A thread as the model needs it, in any one unit of length."""

    pitch_diameter: float
    pitch: float
    lead: float
    flank_angles_deg: tuple[float, float]
    internal: bool = False
    left_hand: bool = False
    reach: float = 0.6
    """How far the flanks are drawn above and below the pitch line, in pitches."""


def _stop(screw: Screw, flank: int, rho: float, z0: float, swivel: float | None) -> float:
    """Where the ball (``swivel`` None) or wire is stopped by one flank, as a distance from 0."""
    outward = -1.0 if screw.internal else 1.0
    side = 1.0 if flank == 0 else -1.0
    tangent = math.tan(math.radians(screw.flank_angles_deg[flank]))
    turn = (-1.0 if screw.left_hand else 1.0) * screw.lead / (2 * math.pi)
    middle = screw.pitch_diameter / 2
    low = max(middle - screw.reach * screw.pitch, 0.02 * middle)
    high = middle + screw.reach * screw.pitch
    span_r, span_a = (high - low) / 2, 0.9
    at_r, at_a = (high + low) / 2, 0.0
    best = -math.inf
    for _ in range(_ZOOMS):
        r = np.clip(np.linspace(at_r - span_r, at_r + span_r, _GRID), low, high)[:, None]
        a = np.linspace(at_a - span_a, at_a + span_a, _GRID)[None, :]
        x, y = r * np.cos(a), r * np.sin(a)
        z = side * (screw.pitch / 4 + outward * (r - middle) * tangent) + turn * a
        if swivel is None:
            away = y * y + (z - z0) ** 2
        else:
            away = (-y * math.sin(swivel) + (z - z0) * math.cos(swivel)) ** 2
        inside = rho * rho - away
        asked = np.where(inside >= 0, outward * x + np.sqrt(np.abs(inside)), -np.inf)
        where = np.unravel_index(int(np.argmax(asked)), asked.shape)
        best = max(best, float(asked[where]))
        at_r, at_a = float(r[where[0], 0]), float(a[0, where[1]])
        span_r, span_a = span_r / _SHRINK, span_a / _SHRINK
    return best


def _lowest(of: Callable[[float], float], low: float, high: float, steps: int) -> float:
    """Smallest value of a function with one valley, by golden section."""
    golden = (math.sqrt(5) - 1) / 2
    left, right = high - golden * (high - low), low + golden * (high - low)
    at_left, at_right = of(left), of(right)
    for _ in range(steps):
        if at_left < at_right:
            high, right, at_right = right, left, at_left
            left = high - golden * (high - low)
            at_left = of(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + golden * (high - low)
            at_right = of(right)
    return min(at_left, at_right)


def ball_centre(screw: Screw, diameter: float, *, slide: bool = False) -> float:
    """Distance of a ball's centre from the axis; ``slide``: let it find its place along it."""
    outward = -1.0 if screw.internal else 1.0

    def depth(z0: float) -> float:
        return max(_stop(screw, flank, diameter / 2, z0, None) for flank in (0, 1))

    reach = 0.5 * screw.pitch
    return outward * (_lowest(depth, -reach, reach, 44) if slide else depth(0.0))


def wire_centre(screw: Screw, diameter: float, *, slide: bool = False) -> float:
    """Distance of a free straight wire's axis from the thread's axis, outside threads only."""
    steep = math.atan(screw.lead / (math.pi * screw.pitch_diameter))
    sense = -1.0 if screw.left_hand else 1.0

    def depth(z0: float, swivel: float) -> float:
        return max(_stop(screw, flank, diameter / 2, z0, swivel) for flank in (0, 1))

    def settled(z0: float) -> float:
        return _lowest(
            lambda swivel: depth(z0, swivel),
            sense * steep - 0.5 * steep,
            sense * steep + 0.2 * steep,
            24,
        )

    reach = 0.2 * screw.pitch
    return _lowest(settled, -reach, reach, 24) if slide else settled(0.0)
