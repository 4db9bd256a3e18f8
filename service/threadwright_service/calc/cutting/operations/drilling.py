"""Drilling a hole for a thread."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.cutting.operations.load import Cut, CutLoad
from threadwright_service.calc.cutting.power import TANGENTIAL
from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.trail import Formula, Trail

POINT_ANGLE_DEG: Final = {"carbide": 140.0, "high-speed-steel": 118.0}

CHIP: Final = Formula(
    "chip thickness of a lip",
    "h",
    "fz * sin(radians(s / 2))",
    "fz s",
    unit="mm",
    source="derivation; s point angle",
)
LIP_WIDTH: Final = Formula(
    "width of a lip's cut",
    "b",
    "Dc / (2 * sin(radians(s / 2)))",
    "Dc s",
    unit="mm",
    source="derivation; s point angle",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drilling:
    """Drilling into the full, all lips alike.

    A lip's force acts at half the radius, so its value at the cutting diameter is half of it:
    the sum over the lips is what torque and power follow from.
    """

    cut: Cut
    point_angle_deg: float

    @classmethod
    def of(cls, cut: Cut, trail: Trail | None = None) -> Drilling:
        """The operation for a cut.

        Raises
        ------
        OutOfRangeError
            If the point angle is not between 60 and 180 degrees.
        """
        angle_deg = cut.tool.included_angle_deg
        if angle_deg is None:
            angle_deg = POINT_ANGLE_DEG[cut.tool.material]
            if trail is not None:
                trail.assume(
                    "cutter_included_angle_deg",
                    angle_deg,
                    f"no point angle given: usual for {cut.tool.material}",
                    unit="deg",
                )
        if not 60 <= angle_deg <= 180:
            raise OutOfRangeError(
                f"a point angle of {angle_deg:g} deg makes no twist drill",
                parameter="cutter_included_angle_deg",
                value=angle_deg,
                accepted="60 to 180",
            )
        return cls(cut=cut, point_angle_deg=angle_deg)

    def feed_per_revolution_mm(self, feed_per_tooth_mm: float) -> float:
        """Feed of a revolution [mm]."""
        return feed_per_tooth_mm * self.cut.tool.teeth

    @property
    def centre_feed_ratio(self) -> float:
        """1: the drill goes along its axis."""
        return 1.0

    @property
    def chip_sine_ratio(self) -> float:
        """Chip thickness over feed of a lip."""
        return math.sin(math.radians(self.point_angle_deg / 2))

    @property
    def engagement_sine_ratio(self) -> None:
        """None: the edge never leaves the work."""
        return None

    @property
    def width_ratio(self) -> float:
        """Half the diameter over the diameter."""
        return 0.5

    @property
    def feed_is_the_lead(self) -> bool:
        """No: the feed is free."""
        return False

    def load(self, feed_per_tooth_mm: float, trail: Trail | None = None) -> CutLoad:
        """Chip and force at a feed of each lip."""
        material, tool = self.cut.material, self.cut.tool
        chip_mm = CHIP(trail, feed_per_tooth_mm, self.point_angle_deg)
        width_mm = LIP_WIDTH(trail, tool.diameter_mm, self.point_angle_deg)
        lip_n = TANGENTIAL(
            trail,
            material.specific_force_mpa,
            width_mm,
            chip_mm,
            material.force_exponent_ratio,
        )
        return CutLoad(
            engagement_angle_deg=None,
            chip_thickness_max_mm=chip_mm,
            chip_thickness_mean_mm=chip_mm,
            chip_thickness_thinnest_mm=chip_mm,
            tangential_force_n=lip_n,
            tangential_force_mean_n=lip_n * tool.teeth / 2,
            radial_force_n=0.0,
            edge_length_mm=width_mm * tool.teeth,
        )
