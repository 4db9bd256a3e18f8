"""Chamfering an edge with a mill whose flank has the chamfer's angle."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from threadwright_service.calc.cutting.operations.arc import Arc, arc_of
from threadwright_service.calc.cutting.operations.load import Cut, CutLoad, required
from threadwright_service.calc.cutting.operations.side_milling import SideMilling
from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.trail import Formula, Trail

EDGE_LENGTH: Final = Formula(
    "edge in the work",
    "b",
    "c / sin(radians(g))",
    "c g",
    unit="mm",
    source="derivation; c radial leg of the chamfer, g half the included angle",
)
EFFECTIVE_DIAMETER: Final = Formula(
    "largest diameter of the mill that touches the chamfer",
    "D_eff",
    "d_tip + 2 * y * tan(radians(g))",
    "d_tip y g",
    unit="mm",
    source="derivation",
)


def effective_diameter_mm(
    *,
    tip_diameter_mm: float,
    contact_height_mm: float,
    included_angle_deg: float,
    trail: Trail | None = None,
) -> float:
    """Diameter of a chamfer mill at a height above its tip, D_eff [mm].

    Parameters
    ----------
    tip_diameter_mm : float
        Diameter of the tip, d_tip [mm]; 0 for a sharp one.
    contact_height_mm : float
        Height of the highest contact above the tip, y [mm]. Keep the lowest contact 0.2 to
        0.5 mm off the tip, where the speed is near zero and the edge is weak (common practice).
    included_angle_deg : float
        Angle between the flanks, 2 g [deg].

    Notes
    -----
    Source: derivation.

    Examples
    --------
    >>> effective_diameter_mm(tip_diameter_mm=2, contact_height_mm=1.5, included_angle_deg=90)
    5.0
    """
    return EFFECTIVE_DIAMETER(trail, tip_diameter_mm, contact_height_mm, included_angle_deg / 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Chamfering:
    """Chamfering; ``radial_width_mm`` is the chamfer's radial leg.

    The section of the cut is a triangle, but the tooth meets its whole edge where the chip is
    thickest, so force is reckoned as side milling with the slant edge: the upper bound.
    """

    side: SideMilling
    half_angle_deg: float

    @classmethod
    def of(cls, cut: Cut, trail: Trail | None = None) -> Chamfering:
        """The operation for a cut.

        Raises
        ------
        MissingInputError
            If the leg or the mill's included angle is missing.
        OutOfRangeError
            If the included angle is not between 10 and 170 degrees.
        """
        angle_deg = required(
            cut.tool.included_angle_deg,
            "cutter_included_angle_deg",
            "the chamfer mill's included angle is missing",
        )
        if not 10 <= angle_deg <= 170:
            raise OutOfRangeError(
                f"an included angle of {angle_deg:g} deg makes no chamfer mill",
                parameter="cutter_included_angle_deg",
                value=angle_deg,
                accepted="10 to 170",
            )
        leg_mm = required(
            cut.engagement.radial_width_mm, "radial_width", "the chamfer's leg is missing"
        )
        arc: Arc = arc_of(cut, trail=trail)
        edge_mm = EDGE_LENGTH(trail, leg_mm, angle_deg / 2)
        straight = replace(cut, engagement=replace(cut.engagement, axial_depth_mm=edge_mm))
        return cls(
            side=SideMilling.upright(straight, arc, edge_mm),
            half_angle_deg=angle_deg / 2,
        )

    def feed_per_revolution_mm(self, feed_per_tooth_mm: float) -> float:
        """Feed of a revolution at the made diameter [mm]."""
        return self.side.feed_per_revolution_mm(feed_per_tooth_mm)

    @property
    def centre_feed_ratio(self) -> float:
        """Feed of the centre over feed at the made diameter."""
        return self.side.centre_feed_ratio

    @property
    def chip_sine_ratio(self) -> float:
        """Largest chip across the edge over feed of a tooth."""
        return self.side.chip_sine_ratio * self._normal_ratio

    @property
    def engagement_sine_ratio(self) -> float:
        """Largest chip of an upright edge over feed of the centre."""
        return self.side.engagement_sine_ratio

    @property
    def width_ratio(self) -> float:
        """Radial leg over diameter."""
        return self.side.width_ratio

    @property
    def feed_is_the_lead(self) -> bool:
        """No: the feed is free."""
        return False

    @property
    def _normal_ratio(self) -> float:
        # The edge leans by the half angle from the axis, so its normal leans as much from the feed.
        return math.cos(math.radians(self.half_angle_deg))

    def load(self, feed_per_tooth_mm: float, trail: Trail | None = None) -> CutLoad:
        """Chip across the slant edge and force at a feed of each tooth."""
        # The chip across the edge is what a straight mill would cut at a feed that much smaller.
        found = self.side.load(feed_per_tooth_mm * self._normal_ratio, trail)
        return replace(found, radial_force_n=found.radial_force_n * self._normal_ratio)
