"""Thread milling: a form tooth on a circle outside or inside."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from threadwright_service.calc.cutting.operations.arc import Arc, arc_of
from threadwright_service.calc.cutting.operations.load import Cut, CutLoad, required
from threadwright_service.calc.errors import MissingInputError, OutOfRangeError
from threadwright_service.calc.milling.geometry.section import ToothProfile
from threadwright_service.calc.milling.loads.engagement import (
    chip_thickness_max_mm,
    chip_thickness_mean_mm,
    chip_thickness_thin_flank_mm,
    outward_of,
    runout_step_mm,
)
from threadwright_service.calc.milling.loads.force import DepthLoad
from threadwright_service.calc.milling.loads.thread_cut import ThreadCut
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadMilling:
    """One pass of thread milling, with the same mechanics as the pass plan."""

    cut: Cut
    arc: Arc
    depth: DepthLoad
    layer_mm: float
    flank_angle_deg: float

    @classmethod
    def of(cls, cut: Cut, trail: Trail | None = None) -> ThreadMilling:
        """The operation for a cut.

        Raises
        ------
        MissingInputError
            If side, made diameter, radial width or the tooth's angle is missing.
        OutOfRangeError
            If the layer is deeper than the thread.
        """
        engagement, tool = cut.engagement, cut.tool
        if engagement.side is None:
            raise MissingInputError(
                "a thread is milled on a circle: whether outside or inside is missing",
                parameter="side",
                accepted="external or internal",
            )
        angle_deg = required(
            tool.included_angle_deg,
            "cutter_included_angle_deg",
            "the angle between the cutter's flanks is missing",
        )
        arc = arc_of(cut, trail=trail)
        layer_mm = engagement.radial_width_mm or 0.0
        depth_mm = engagement.profile_depth_mm
        if depth_mm is None:
            depth_mm = layer_mm
            if trail is not None:
                trail.assume(
                    "profile_depth",
                    layer_mm,
                    "none given: the layer is taken as the thread's whole depth, one pass",
                    unit="mm",
                )
        if layer_mm > depth_mm * (1 + 1e-12):
            raise OutOfRangeError(
                f"a pass of {layer_mm:g} mm is deeper than the thread of {depth_mm:g} mm",
                parameter="radial_width",
                value=layer_mm,
                accepted=f"up to {depth_mm:g} mm",
            )
        thread = _thread_cut(cut, depth_mm, angle_deg)
        return cls(
            cut=cut,
            arc=arc,
            depth=DepthLoad(thread, depth_mm),
            layer_mm=layer_mm,
            flank_angle_deg=angle_deg / 2,
        )

    def feed_per_revolution_mm(self, feed_per_tooth_mm: float) -> float:
        """Feed of a revolution at the made diameter [mm]."""
        return feed_per_tooth_mm * self.cut.tool.teeth

    @property
    def centre_feed_ratio(self) -> float:
        """Feed of the centre over feed at the made diameter."""
        return self.arc.centre_feed_ratio

    @property
    def chip_sine_ratio(self) -> float:
        """Largest chip at the nose over feed of a tooth at the made diameter."""
        return self.arc.sine_ratio * self.arc.centre_feed_ratio

    @property
    def engagement_sine_ratio(self) -> float:
        """Largest chip of an upright edge over feed of the centre."""
        return self.arc.sine_ratio

    @property
    def width_ratio(self) -> float:
        """Layer over cutter diameter."""
        return self.layer_mm / self.cut.tool.diameter_mm

    @property
    def feed_is_the_lead(self) -> bool:
        """No: the feed goes round, the lead only lifts it."""
        return False

    def load(self, feed_per_tooth_mm: float, trail: Trail | None = None) -> CutLoad:
        """Chip and force at a feed of each tooth at the made diameter."""
        centre_mm = feed_per_tooth_mm * self.arc.centre_feed_ratio
        thread, angle_deg = self.depth.cut, self.arc.engagement_deg
        engagement_rad = math.radians(angle_deg)
        tangential = self.depth.tangential_n(centre_mm)
        peak_n, at_rad = self.depth.largest(tangential, engagement_rad)
        radial_n, _ = self.depth.largest(self.depth.radial_n(centre_mm), engagement_rad)
        chip_thickness_max_mm(
            feed_centre_per_tooth_mm=centre_mm, engagement_deg=angle_deg, trail=trail
        )
        if trail is not None:
            trail.step(
                "largest tangential force over the pass",
                "Ft",
                "largest of kc * h**(1 - m) * (w + 2 * s / cos(a) * sin(a)**(1 - m)) over the arc",
                {"angle_deg": math.degrees(at_rad), "feed_centre_mm": centre_mm},
                peak_n,
                "N",
                "derivation, from kc = kc1.1 * h^-m (Kienzle); searched over the arc",
            )
        return CutLoad(
            engagement_angle_deg=angle_deg,
            chip_thickness_max_mm=self.depth.chip_mm(engagement_rad, centre_mm),
            chip_thickness_mean_mm=chip_thickness_mean_mm(
                feed_centre_per_tooth_mm=centre_mm, engagement_deg=angle_deg, trail=trail
            ),
            chip_thickness_thinnest_mm=chip_thickness_thin_flank_mm(
                feed_centre_per_tooth_mm=centre_mm,
                engagement_deg=angle_deg,
                flank_angle_deg=self.flank_angle_deg,
                lead_mm=thread.lead_mm,
                centre_radius_mm=self.depth.centre_radius_mm,
            ),
            tangential_force_n=peak_n,
            tangential_force_mean_n=self._mean_n(centre_mm, engagement_rad),
            radial_force_n=radial_n,
            edge_length_mm=self._edge_length_mm(),
        )

    def _mean_n(self, centre_mm: float, engagement_rad: float) -> float:
        """Tangential force of all teeth, mean over a revolution [N].

        Run-out shifts chips from one tooth to another and hardly moves the mean: it is left out.
        """
        even = DepthLoad(replace(self.depth.cut, runout_step_mm=0.0), self.depth.depth_mm)
        force_n = even.tangential_of_one_n(centre_mm)
        end = math.sqrt(min(engagement_rad, even.exit_angle_rad))
        steps, total = 32, 0.0
        # The square root of the angle makes the integrand smooth where the chip starts from zero.
        for index in range(1, steps + 1):
            root = end * index / steps
            weight = 1 if index == steps else 4 if index % 2 else 2
            total += weight * 2 * root * force_n(root * root)
        return total * end / steps / 3 * even.cut.teeth / (2 * math.pi)

    def _edge_length_mm(self) -> float:
        tooth, thread = self.depth.cut.tooth, self.depth.cut
        flank_mm = self.depth.depth_mm / math.cos(math.radians(self.flank_angle_deg))
        return (tooth.nose_flat_mm + 2 * flank_mm) * thread.rows_ratio


def _thread_cut(cut: Cut, depth_mm: float, angle_deg: float) -> ThreadCut:
    engagement, tool, material = cut.engagement, cut.tool, cut.material
    assert engagement.side is not None  # noqa: S101 - checked by the caller
    outward = outward_of(engagement.side)
    rows_ratio = 1.0
    if engagement.axial_depth_mm is not None and engagement.pitch_mm is not None:
        rows_ratio = max(1.0, engagement.axial_depth_mm / engagement.pitch_mm)
    return ThreadCut(
        outward=outward,
        start_radius_mm=(engagement.made_diameter_mm or 0.0) / 2 + outward * depth_mm,
        cutter_radius_mm=tool.diameter_mm / 2,
        teeth=tool.teeth,
        rows_ratio=rows_ratio,
        tooth=ToothProfile(
            nose_flat_mm=tool.nose_flat_mm,
            nose_radius_mm=tool.nose_radius_mm,
            first_flank_angle_deg=angle_deg / 2,
            second_flank_angle_deg=angle_deg / 2,
        ),
        specific_force_mpa=material.specific_force_mpa,
        force_exponent_ratio=material.force_exponent_ratio,
        radial_to_tangential_ratio=material.radial_to_tangential_ratio,
        edge_force_n_per_mm=material.edge_force_n_per_mm,
        runout_step_mm=runout_step_mm(runout_mm=tool.runout_mm, teeth=tool.teeth),
        milling="climb",
        lead_mm=engagement.lead_mm or engagement.pitch_mm or 0.0,
    )
