"""An independent model of a thread-milling tooth: its edge in small pieces, each tested alone.

Nothing of the service is used. A piece of edge cuts where it lies in the blank and outside the
groove that the pass before left; its chip is the feed of the centre along the piece's normal.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class NumericTooth:
    """One tooth in one groove. ``outward``: +1 outside, −1 inside; lengths in mm."""

    outward: int
    start_radius: float
    cutter_radius: float
    half_width: Callable[[Array], Array]
    """Half width of the (symmetrical) profile over the distance from the tip."""
    nose_half: float
    pieces: int = 4000

    def _edge(self, height: float) -> tuple[Array, Array, Array]:
        """Distance from the tip, length and radial share of the normal, for each piece."""
        marks = height * (np.linspace(0, 1, self.pieces + 1)) ** 2
        widths = self.half_width(marks)
        along, across = np.diff(marks), np.diff(widths)
        length = np.hypot(along, across)
        return (marks[1:] + marks[:-1]) / 2, length, across / length

    def _work_radius(self, centre: float, angle: float, distance: Array) -> Array:
        rho = self.cutter_radius - distance
        return np.sqrt(centre**2 + rho**2 - self.outward * 2 * centre * rho * math.cos(angle))

    def pieces_at(
        self, before: float, after: float, angle: float
    ) -> tuple[Array, Array, Array, NDArray[np.bool_]]:
        """Distance from the tip, length, radial share of the normal and whether it cuts."""
        made = self.start_radius - self.outward * after
        centre = made + self.outward * self.cutter_radius
        old_tip = self.start_radius - self.outward * before
        distance, length, share = self._edge(1.6 * after)
        radius = self._work_radius(centre, angle, distance)
        in_blank = self.outward * (self.start_radius - radius) > 0
        above_old_tip = self.outward * (radius - old_tip)
        in_old_groove = (above_old_tip > 0) & (above_old_tip >= distance)
        cuts = in_blank & ~in_old_groove if before > 0 else in_blank
        if self.nose_half > 0:
            tip = self._work_radius(centre, angle, np.zeros(1))[0]
            nose_cuts = self.outward * (old_tip - tip) > 0
            distance = np.append(distance, 0.0)
            length = np.append(length, self.nose_half)
            share = np.append(share, 1.0)
            cuts = np.append(cuts, nose_cuts)
        return distance, length, share, cuts

    def force(
        self,
        *,
        before: float,
        after: float,
        angle: float,
        feed: float,
        k: float,
        m: float,
        radial: float = 1.0,
    ) -> tuple[float, float]:
        """Tangential force, and the radial one for an edge-normal share of ``radial``."""
        _, length, share, cuts = self.pieces_at(before, after, angle)
        chip = np.maximum(feed * math.sin(angle) * share, 0.0)
        each = 2 * k * chip ** (1 - m) * length * cuts
        return float(each.sum()), float(radial * (each * share).sum())

    def chip_volume(self, *, before: float, after: float, feed: float, steps: int = 1500) -> float:
        """Volume of the chip of one tooth: chip by edge by the way of each piece."""
        total = 0.0
        end = 0.02
        while self.pieces_at(before, after, end)[3].any():
            end += 0.02
        for index in range(steps):
            angle = end * (index + 0.5) / steps
            distance, length, share, cuts = self.pieces_at(before, after, angle)
            way = (self.cutter_radius - distance) * end / steps
            total += float((2 * feed * math.sin(angle) * share * length * way * cuts).sum())
        return total


def vee(nose_flat: float, flank_deg: float = 30.0) -> Callable[[Array], Array]:
    """Half width of a flat-nosed profile."""
    return lambda s: nose_flat / 2 + s * math.tan(math.radians(flank_deg))


def rounded(radius: float, flank_deg: float = 30.0) -> Callable[[Array], Array]:
    """Half width of a profile with a rounded nose tangent to the flanks."""
    angle = math.radians(flank_deg)
    joint = radius * (1 - math.sin(angle))

    def half(s: Array) -> Array:
        return np.where(
            s < joint,
            np.sqrt(np.maximum(0.0, s * (2 * radius - s))),
            radius * math.cos(angle) + (s - joint) * math.tan(angle),
        )

    return half
