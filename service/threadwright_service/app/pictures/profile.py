"""The outline of a thread in the axial plane: grooves, ridges and rounded roots as points."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from threadwright_service.app.pictures.drawing import Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Flanks:
    """Pitch and flanks of a thread; ``outward`` is 1 for an outside thread, -1 for an inside one.

    Lengths are in the answer's unit. ``left`` and ``right`` are the tangents of the flank angles.
    """

    pitch: float
    left: float
    right: float
    outward: int

    @classmethod
    def of_thread(cls, thread: Mapping[str, Any]) -> Flanks:
        """The flanks of a thread on the wire."""
        return cls(
            pitch=thread["pitch"],
            left=math.tan(math.radians(thread["flank_angle_deg"])),
            right=math.tan(math.radians(thread["clearance_flank_angle_deg"])),
            outward=1 if thread["side"] == "external" else -1,
        )

    def half_widths(self, radius: float, pitch_radius: float) -> tuple[float, float]:
        """Half widths of the groove at a radius, to its left and right; 0 below a sharp root."""
        rise = self.outward * (radius - pitch_radius)
        left, right = self.pitch / 4 + rise * self.left, self.pitch / 4 + rise * self.right
        return (left, right) if left + right > 0 else (0.0, 0.0)

    def sharp_radius(self, pitch_radius: float) -> float:
        """Radius at which the flanks of a groove meet."""
        return pitch_radius - self.outward * self.pitch / 2 / (self.left + self.right)

    def deepest(self, radius: float, pitch_radius: float) -> float:
        """The radius, or that of the sharp root if the flanks meet before it."""
        sharp = self.sharp_radius(pitch_radius)
        return max(radius, sharp) if self.outward > 0 else min(radius, sharp)


def outline(
    flanks: Flanks, *, pitch_diameter: float, crest: float, root: float, root_radius: float = 0.0
) -> list[Point]:
    """One groove with half a ridge on either side, over one and a half pitches.

    Parameters
    ----------
    pitch_diameter, crest, root : float
        Diameters.
    root_radius : float
        Radius of a rounded root, drawn where both flanks stand alike; 0 for a flat one.

    Returns
    -------
    list of Point
        Axial place, 0 in the groove's middle, and radius.
    """
    pitch, middle = flanks.pitch, pitch_diameter / 2
    edge = 0.75 * pitch
    left, right = flanks.half_widths(crest / 2, middle)
    points = [(-edge, middle)]
    if right < pitch / 2 and left < pitch / 2:
        points += [(right - pitch, crest / 2), (-left, crest / 2)]
    else:  # the flanks of neighbouring grooves meet below the crest
        points.append((-pitch / 2, crest / 2))
    points += _root(flanks, middle, root / 2, root_radius)
    if right < pitch / 2 and left < pitch / 2:
        points += [(right, crest / 2), (pitch - left, crest / 2)]
    else:
        points.append((pitch / 2, crest / 2))
    return [*points, (edge, middle)]


def _root(flanks: Flanks, middle: float, root: float, radius: float) -> list[Point]:
    if radius > 0 and flanks.left == flanks.right:
        return rounded_root(flanks, flanks.sharp_radius(middle), radius)
    root = flanks.deepest(root, middle)
    left, right = flanks.half_widths(root, middle)
    return [(-left, root), (right, root)]


def rounded_root(flanks: Flanks, sharp: float, radius: float) -> list[Point]:
    """An arc that touches both flanks, from left to right."""
    angle = math.atan(flanks.left)
    centre = sharp + flanks.outward * radius / math.sin(angle)
    turns = [angle - math.pi / 2 + step * (math.pi - 2 * angle) / 6 for step in range(7)]
    return [
        (radius * math.sin(turn), centre - flanks.outward * radius * math.cos(turn))
        for turn in turns
    ]
