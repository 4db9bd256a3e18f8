"""Turning a thread with a single-point tool, radial infeed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.cutting.operations.load import Cut, CutLoad, required
from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.trail import Formula, Trail

FORCE: Final = Formula(
    "tangential force of the pass",
    "Ft",
    "kc * (w * x**(1 - m) + 2 * t / cos(radians(a)) * (x * sin(radians(a)))**(1 - m))",
    "kc w x m t a",
    unit="N",
    source="derivation, from kc = kc1.1 * h^-m (Kienzle); nose and both flanks",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SinglePointThreading:
    """One pass of thread turning; ``diameter_mm`` of the tool is the diameter of the work."""

    cut: Cut
    infeed_mm: float
    depth_mm: float
    lead_mm: float
    flank_angle_deg: float

    @classmethod
    def of(cls, cut: Cut, trail: Trail | None = None) -> SinglePointThreading:
        """The operation for a cut.

        Raises
        ------
        MissingInputError
            If infeed, pitch or the profile's angle is missing.
        OutOfRangeError
            If the pass is deeper than the thread.
        """
        engagement = cut.engagement
        pitch_mm = required(
            engagement.pitch_mm, "pitch", "the pitch is missing; it is the tool's feed"
        )
        infeed_mm = required(
            engagement.radial_width_mm, "radial_width", "the infeed of the pass is missing"
        )
        angle_deg = required(
            cut.tool.included_angle_deg,
            "cutter_included_angle_deg",
            "the angle between the tool's flanks is missing",
        )
        depth_mm = engagement.profile_depth_mm
        if depth_mm is None:
            depth_mm = infeed_mm
            if trail is not None:
                trail.assume(
                    "profile_depth",
                    infeed_mm,
                    "none given: the first pass, as deep as its infeed",
                    unit="mm",
                )
        if infeed_mm > depth_mm * (1 + 1e-12):
            raise OutOfRangeError(
                f"an infeed of {infeed_mm:g} mm is deeper than the thread of {depth_mm:g} mm",
                parameter="radial_width",
                value=infeed_mm,
                accepted=f"up to {depth_mm:g} mm",
            )
        return cls(
            cut=cut,
            infeed_mm=infeed_mm,
            depth_mm=depth_mm,
            lead_mm=pitch_mm if engagement.lead_mm is None else engagement.lead_mm,
            flank_angle_deg=angle_deg / 2,
        )

    def feed_per_revolution_mm(self, feed_per_tooth_mm: float) -> float:  # noqa: ARG002
        """The lead [mm]."""
        return self.lead_mm

    @property
    def centre_feed_ratio(self) -> float:
        """1: the tool goes along the work."""
        return 1.0

    @property
    def chip_sine_ratio(self) -> float:
        """Chip at the nose, which is the infeed, over the feed."""
        return self.infeed_mm / self.lead_mm

    @property
    def engagement_sine_ratio(self) -> None:
        """None: the edge never leaves the work."""
        return None

    @property
    def width_ratio(self) -> float:
        """Depth of the thread over the diameter of the work."""
        return self.depth_mm / self.cut.tool.diameter_mm

    @property
    def feed_is_the_lead(self) -> bool:
        """Yes."""
        return True

    def load(self, feed_per_tooth_mm: float, trail: Trail | None = None) -> CutLoad:  # noqa: ARG002
        """Chip and force; the feed is the lead whatever is asked."""
        material, tool = self.cut.material, self.cut.tool
        angle = math.radians(self.flank_angle_deg)
        # A rounded nose is taken as the flat that has the same flanks.
        flat_mm = tool.nose_flat_mm or (
            2 * tool.nose_radius_mm * (1 - math.sin(angle)) / math.cos(angle)
        )
        force_n = FORCE(
            trail,
            material.specific_force_mpa,
            flat_mm,
            self.infeed_mm,
            material.force_exponent_ratio,
            self.depth_mm,
            self.flank_angle_deg,
        )
        flank_mm = self.infeed_mm * math.sin(angle)
        return CutLoad(
            engagement_angle_deg=None,
            chip_thickness_max_mm=self.infeed_mm,
            chip_thickness_mean_mm=flank_mm,
            chip_thickness_thinnest_mm=flank_mm,
            tangential_force_n=force_n,
            tangential_force_mean_n=force_n,
            radial_force_n=force_n * material.radial_to_tangential_ratio,
            edge_length_mm=flat_mm + 2 * self.depth_mm / math.cos(angle),
        )
