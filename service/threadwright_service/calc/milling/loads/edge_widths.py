"""The edge of a tooth, condensed to the widths that count for its force."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from threadwright_service.calc.milling.geometry.section import ToothProfile

_GAUSS: Final = (
    (-0.9602898564975363, 0.1012285362903763),
    (-0.7966664774136267, 0.2223810344533745),
    (-0.5255324099163290, 0.3137066458778873),
    (-0.1834346424956498, 0.3626837833783620),
    (0.1834346424956498, 0.3626837833783620),
    (0.5255324099163290, 0.3137066458778873),
    (0.7966664774136267, 0.2223810344533745),
    (0.9602898564975363, 0.1012285362903763),
)
"""Nodes and weights of Gauss and Legendre's rule of eight points."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeWidths:
    """Width of edge that counts as nose, for the force of a tooth: b = base + slope · reach.

    Tangentially each element of edge counts with (sin of its angle to the radius)^(1 − m);
    radially with one power more. Valid from ``nose_depth_mm`` on; above it the nose itself is
    only partly in the work.
    """

    tangential_base_mm: float
    tangential_slope_ratio: float
    radial_base_mm: float
    radial_slope_ratio: float
    nose_depth_mm: float


@lru_cache(maxsize=256)
def edge_widths(tooth: ToothProfile, power_of_chip_ratio: float) -> EdgeWidths:
    """The edge of a tooth, condensed for the force.

    Notes
    -----
    Source: derivation; flat nose w + 2 (s/cos α)(sin α)^(1−m), rounded nose by integration over
    its arc.
    """
    power = power_of_chip_ratio
    bases, slopes = [tooth.nose_flat_mm] * 2, [0.0, 0.0]
    nose_depth_mm = 0.0
    for angle_deg in tooth.flank_angles_deg:
        angle = math.radians(angle_deg)
        joint_mm = tooth.nose_radius_mm * (1 - math.sin(angle))
        nose_depth_mm = max(nose_depth_mm, joint_mm)
        for index in (0, 1):
            slope = math.pow(math.sin(angle), power + index) / math.cos(angle)
            arc_mm = _arc_width_mm(tooth.nose_radius_mm, math.pi / 2 - angle, power + index)
            slopes[index] += slope
            bases[index] += arc_mm - joint_mm * slope
    return EdgeWidths(
        tangential_base_mm=bases[0],
        tangential_slope_ratio=slopes[0],
        radial_base_mm=bases[1],
        radial_slope_ratio=slopes[1],
        nose_depth_mm=nose_depth_mm,
    )


def widths_in_nose_mm(
    tooth: ToothProfile, power_of_chip_ratio: float, reach_mm: float
) -> tuple[float, float]:
    """Width of edge, tangential and radial, where the tooth reaches no further than its nose [mm].

    Notes
    -----
    Source: derivation, as :func:`edge_widths`.
    """
    found = [tooth.nose_flat_mm, tooth.nose_flat_mm]
    if tooth.nose_radius_mm == 0:
        return found[0], found[1]
    for angle_deg in tooth.flank_angles_deg:
        angle = math.radians(angle_deg)
        joint_mm = tooth.nose_radius_mm * (1 - math.sin(angle))
        inside_mm = min(reach_mm, joint_mm)
        turned = math.acos(1 - inside_mm / tooth.nose_radius_mm)
        for index in (0, 1):
            power = power_of_chip_ratio + index
            found[index] += _arc_width_mm(tooth.nose_radius_mm, turned, power)
            found[index] += (
                (reach_mm - inside_mm) * math.pow(math.sin(angle), power) / math.cos(angle)
            )
    return found[0], found[1]


def _arc_width_mm(radius_mm: float, turned: float, power: float) -> float:
    """∫ cos^power over the nose's arc from the tip to ``turned`` [mm]."""
    half = turned / 2
    return (
        radius_mm
        * half
        * sum(weight * math.pow(math.cos(half * (1 + node)), power) for node, weight in _GAUSS)
    )
