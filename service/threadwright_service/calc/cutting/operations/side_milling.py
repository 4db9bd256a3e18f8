"""Side milling of a step: a cylindrical mill with a small radial width."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.cutting.operations.arc import (
    Arc,
    arc_of,
    largest_of_teeth,
    mean_of_revolution_n,
)
from threadwright_service.calc.cutting.operations.load import Cut, CutLoad, required
from threadwright_service.calc.cutting.power import TANGENTIAL_OF_MILL
from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.milling.loads.engagement import (
    chip_thickness_max_mm,
    chip_thickness_mean_mm,
    chip_with_runout_mm,
    runout_step_mm,
)
from threadwright_service.calc.trail import Formula, Trail

LAG: Final = Formula(
    "angle by which a helical edge lags over the depth of the cut",
    "psi",
    "degrees(2 * ap * tan(radians(beta)) / Dc)",
    "ap beta Dc",
    unit="deg",
    source="derivation",
)

HARD_STEEL_WIDTH_RATIO: Final = 0.05
"""In hard steel wider than this share of the diameter is not common practice; 3 % is usual."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SideMilling:
    """Side milling, straight or on a circle."""

    cut: Cut
    arc: Arc
    axial_depth_mm: float
    teeth_together_ratio: float
    """Largest force of all teeth over that of one straight edge at its peak."""

    @classmethod
    def of(cls, cut: Cut, trail: Trail | None = None) -> SideMilling:
        """The operation for a cut.

        Raises
        ------
        MissingInputError
            If the radial width or the axial depth is missing.
        """
        axial_mm = required(
            cut.engagement.axial_depth_mm,
            "axial_depth",
            "the axial depth of the cut is missing; force and power follow from it",
        )
        operation = cls.upright(cut, arc_of(cut, trail=trail), axial_mm, trail)
        if trail is not None:
            operation._warn(trail)
        return operation

    @classmethod
    def upright(
        cls, cut: Cut, arc: Arc, axial_depth_mm: float, trail: Trail | None = None
    ) -> SideMilling:
        """The operation for an engagement and a length of edge, its helix reckoned in.

        Raises
        ------
        OutOfRangeError
            If the helix is not from 0 to below 80 degrees.
        """
        helix_deg = cut.tool.helix_angle_deg or 0.0
        if not 0 <= helix_deg < 80:
            raise OutOfRangeError(
                f"a helix of {helix_deg:g} deg makes no mill",
                parameter="cutter_helix_angle_deg",
                value=helix_deg,
                accepted="0 to below 80",
            )
        lag_deg = LAG(trail, axial_depth_mm, helix_deg, cut.tool.diameter_mm)
        return cls(
            cut=cut,
            arc=arc,
            axial_depth_mm=axial_depth_mm,
            teeth_together_ratio=largest_of_teeth(
                arc=arc,
                teeth=cut.tool.teeth,
                exponent_ratio=cut.material.force_exponent_ratio,
                lag_deg=lag_deg,
            ),
        )

    def feed_per_revolution_mm(self, feed_per_tooth_mm: float) -> float:
        """Feed of a revolution at the made surface [mm]."""
        return feed_per_tooth_mm * self.cut.tool.teeth

    @property
    def centre_feed_ratio(self) -> float:
        """Feed of the centre over feed at the made diameter."""
        return self.arc.centre_feed_ratio

    @property
    def chip_sine_ratio(self) -> float:
        """Largest chip over feed of a tooth at the made surface."""
        return self.arc.sine_ratio * self.arc.centre_feed_ratio

    @property
    def engagement_sine_ratio(self) -> float:
        """Largest chip of an upright edge over feed of the centre."""
        return self.arc.sine_ratio

    @property
    def width_ratio(self) -> float:
        """Radial width over diameter."""
        return (self.cut.engagement.radial_width_mm or 0.0) / self.cut.tool.diameter_mm

    @property
    def feed_is_the_lead(self) -> bool:
        """No: the feed is free."""
        return False

    def load(self, feed_per_tooth_mm: float, trail: Trail | None = None) -> CutLoad:
        """Chip and force at a feed of each tooth at the made surface."""
        material, tool = self.cut.material, self.cut.tool
        centre_mm = feed_per_tooth_mm * self.arc.centre_feed_ratio
        angle_deg = self.arc.engagement_deg
        chip_mm = chip_thickness_max_mm(
            feed_centre_per_tooth_mm=centre_mm, engagement_deg=angle_deg, trail=trail
        )
        step_mm = runout_step_mm(runout_mm=tool.runout_mm, teeth=tool.teeth)
        worst_mm = chip_with_runout_mm(chip_thickness_mm=chip_mm, step_mm=step_mm, teeth=tool.teeth)
        exponent = material.force_exponent_ratio
        peak_n = TANGENTIAL_OF_MILL(
            trail,
            material.specific_force_mpa,
            self.axial_depth_mm,
            worst_mm,
            exponent,
            self.teeth_together_ratio,
        )
        return CutLoad(
            engagement_angle_deg=angle_deg,
            chip_thickness_max_mm=worst_mm,
            chip_thickness_mean_mm=chip_thickness_mean_mm(
                feed_centre_per_tooth_mm=centre_mm, engagement_deg=angle_deg, trail=trail
            ),
            chip_thickness_thinnest_mm=chip_mm,
            tangential_force_n=peak_n,
            tangential_force_mean_n=mean_of_revolution_n(
                scale_n_per_mm=material.specific_force_mpa * self.axial_depth_mm,
                feed_mm=centre_mm,
                exponent_ratio=exponent,
                arc=self.arc,
                teeth=tool.teeth,
            ),
            radial_force_n=peak_n * material.radial_to_tangential_ratio,
            edge_length_mm=self.axial_depth_mm,
        )

    def _warn(self, trail: Trail) -> None:
        if self.cut.material.iso_513 == "H" and self.width_ratio > HARD_STEEL_WIDTH_RATIO:
            trail.caution(
                "wide-cut-in-hard-steel",
                f"The radial width is {100 * self.width_ratio:.3g} % of the diameter; in hard "
                "steel 2 to 5 %, mostly about 3 %, is common practice.",
            )
        if self.cut.tool.helix_angle_deg is None:
            trail.caution(
                "straight-edges-reckoned",
                "No helix angle was given: force and bending are those of straight edges, the "
                "upper bound; a helix spreads the edge over the arc.",
            )
        if self.axial_depth_mm > 2 * self.cut.tool.diameter_mm:
            trail.caution(
                "deep-side-cut",
                "The cut is deeper than two diameters of the mill: divide it, or expect a wall "
                "that leans.",
            )
