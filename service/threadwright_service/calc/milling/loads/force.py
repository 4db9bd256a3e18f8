"""Cutting force of one pass: tangential, radial and axial, from the chip on nose and flanks.

Both flanks stay in the cut over the whole depth of the groove, not only over the layer that the
pass adds, because the tooth leaves the old groove along an arc that is not the groove's. So the
force of a pass is set by the depth reached and by the feed much more than by the depth added.

The edge's reach into the work is taken along the tooth, from its tip to the surface of the blank.
That is longer than the radial depth below the blank by 1/cos of the angle between tooth and
radius, up to a tenth in a deep first pass.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final, Literal

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.milling.loads.edge_widths import widths_in_nose_mm
from threadwright_service.calc.milling.loads.peak import largest, reached
from threadwright_service.calc.milling.loads.thread_cut import ThreadCut
from threadwright_service.calc.trail import Formula

Curve = Callable[[float], float]

TANGENTIAL: Final = Formula(
    "largest tangential force of one tooth, at this angle of the cutter",
    "F_t",
    "kc * h**(1 - m) * (b_0 + b_1 * s)",
    "kc h m b_0 b_1 s",
    unit="N",
    source="derivation, from kc = kc1.1 * h^-m (Kienzle)",
)
TORQUE: Final = Formula(
    "torque", "M", "F_t * D_c / 2000", "F_t D_c", unit="N m", source="derivation"
)

SMALLEST_MEASURED_CHIP_MM: Final = 0.05
"""Specific forces are measured on chips of 0.05 to 2.5 mm; below, they are extrapolated."""


class DepthLoad:
    """The load at one depth of the groove, for any start of the pass and any feed.

    At a given depth the course of the force over the cutter's angle does not depend on where the
    pass before stopped: that only says up to which angle the tooth is in the work.
    """

    __slots__ = (
        "_blank_square",
        "centre_radius_mm",
        "cut",
        "depth_mm",
        "exit_angle_rad",
        "made_radius_mm",
        "widths",
    )

    def __init__(self, cut: ThreadCut, depth_mm: float) -> None:
        self.cut = cut
        self.depth_mm = depth_mm
        self.made_radius_mm = cut.made_radius_mm(depth_mm)
        self.centre_radius_mm = cut.centre_radius_mm(depth_mm)
        if self.centre_radius_mm <= 0 or self.made_radius_mm <= 0:
            raise InfeasibleError(
                f"a cutter of {2 * cut.cutter_radius_mm:g} mm has no path to a diameter of "
                f"{2 * self.made_radius_mm:g} mm",
                parameter="cutter_diameter",
                value=2 * cut.cutter_radius_mm,
                accepted="a cutter that leaves a path for its centre",
            )
        self._blank_square = cut.start_radius_mm**2
        self.widths = cut.widths
        self.exit_angle_rad = self.engagement_rad(0.0)

    def engagement_rad(self, from_depth_mm: float) -> float:
        """Engagement angle of a pass that starts at a depth [rad]."""
        before_mm = self.cut.made_radius_mm(from_depth_mm)
        versine = abs(before_mm**2 - self.made_radius_mm**2) / (
            2 * self.centre_radius_mm * self.cut.cutter_radius_mm
        )
        return math.acos(1 - versine) if versine < 2 else math.pi

    def start_of_engagement_mm(self, angle_rad: float) -> float:
        """Depth at which a pass must start to have this engagement [mm]; may be negative."""
        square = self.made_radius_mm**2 + self.cut.outward * 2 * self.centre_radius_mm * (
            self.cut.cutter_radius_mm * (1 - math.cos(angle_rad))
        )
        return self.cut.outward * (self.cut.start_radius_mm - math.sqrt(max(0.0, square)))

    def edge_reach_mm(self, angle_rad: float) -> float:
        """How far the tooth reaches into the work, along itself [mm]."""
        across_square = (self.centre_radius_mm * math.sin(angle_rad)) ** 2
        chord_mm = math.sqrt(max(0.0, self._blank_square - across_square))
        along_mm = self.centre_radius_mm * math.cos(angle_rad)
        return max(0.0, self.cut.cutter_radius_mm - self.cut.outward * (along_mm - chord_mm))

    def chip_mm(self, angle_rad: float, feed_centre_mm: float) -> float:
        """Chip thickness at the nose of the tooth that stands out most [mm]."""
        chip_mm = feed_centre_mm * math.sin(min(angle_rad, math.pi / 2))
        if self.cut.runout_step_mm == 0:
            return chip_mm
        return min(chip_mm + self.cut.runout_step_mm, self.cut.teeth * chip_mm)

    def tangential_of_one_n(self, feed_centre_mm: float) -> Curve:
        """Tangential force of one tooth in each row over its angle [N]."""
        return self._of_one_n(feed_centre_mm, "tangential")

    def tangential_n(self, feed_centre_mm: float) -> Curve:
        """Tangential force of all teeth in the cut over the angle of the leading one [N]."""
        return self._of_all_teeth(self.tangential_of_one_n(feed_centre_mm))

    def tangential_bound_n(self, feed_centre_mm: float) -> float:
        """No tangential force at this depth is larger than this [N]; quick to find."""
        widths = self.widths
        return self._bound_n(
            feed_centre_mm, widths.tangential_base_mm, widths.tangential_slope_ratio
        )

    def wall_bound_n(self, feed_centre_mm: float) -> float:
        """No force on the wall at this depth is larger than this [N]; quick to find."""
        widths, ratio = self.widths, self.cut.radial_to_tangential_ratio
        radial_n = ratio * self._bound_n(
            feed_centre_mm, widths.radial_base_mm, widths.radial_slope_ratio
        )
        if self.cut.milling == "conventional":
            return radial_n
        return math.hypot(radial_n, self.tangential_bound_n(feed_centre_mm))

    def _bound_n(self, feed_centre_mm: float, base_mm: float, slope: float) -> float:
        """All teeth of the arc at the thickest chip and the deepest reach."""
        cut = self.cut
        teeth_in_cut = math.ceil(self.exit_angle_rad / self._tooth_pitch)
        chip_mm = self.chip_mm(self.exit_angle_rad, feed_centre_mm)
        width_mm = base_mm + slope * (self.depth_mm + cut.tooth.nose_radius_mm)
        return (
            self._scale_n_per_mm2
            * teeth_in_cut
            * math.pow(chip_mm, cut.power_of_chip_ratio)
            * width_mm
        )

    def radial_n(self, feed_centre_mm: float) -> Curve:
        """Radial force of all teeth in the cut, summed [N]."""
        return self._of_all_teeth(self._of_one_n(feed_centre_mm, "radial"))

    def wall_n(self, feed_centre_mm: float) -> Curve:
        """Force that pushes the cutter off the wall [N].

        In climb milling the tangential force adds to it. In conventional milling it pulls the
        cutter in; what it takes off is not counted on, so the radial force alone is given.
        """
        if self.cut.milling == "conventional":
            return self.radial_n(feed_centre_mm)
        return self._of_all_teeth(self._of_one_n(feed_centre_mm, "wall"))

    def _of_one_n(
        self, feed_mm: float, direction: Literal["tangential", "radial", "wall"]
    ) -> Curve:
        """Force of one tooth over its angle; the innermost of all loops."""
        cut, widths = self.cut, self.widths
        scale, power, tooth = self._scale_n_per_mm2, cut.power_of_chip_ratio, cut.tooth
        step_mm, teeth, nose_mm = cut.runout_step_mm, cut.teeth, widths.nose_depth_mm
        outward, tip_mm, centre_mm = cut.outward, cut.cutter_radius_mm, self.centre_radius_mm
        blank_square, ratio = self._blank_square, cut.radial_to_tangential_ratio
        base_mm, slope = widths.tangential_base_mm, widths.tangential_slope_ratio
        radial_base_mm, radial_slope = widths.radial_base_mm, widths.radial_slope_ratio
        tangential, wall = direction == "tangential", direction == "wall"
        sin, cos, sqrt, to_power = math.sin, math.cos, math.sqrt, math.pow

        def force_n(angle_rad: float) -> float:
            sine, cosine = sin(angle_rad), cos(angle_rad)
            across_mm = centre_mm * sine
            square = blank_square - across_mm * across_mm
            chord_mm = sqrt(square) if square > 0 else 0.0
            reach_mm = tip_mm - outward * (centre_mm * cosine - chord_mm)
            chip_mm = feed_mm * sine
            if step_mm:
                chip_mm = min(chip_mm + step_mm, teeth * chip_mm)
            if reach_mm < nose_mm or reach_mm < 0:
                width_mm, radial_mm = widths_in_nose_mm(tooth, power, max(0.0, reach_mm))
            else:
                width_mm = base_mm + slope * reach_mm
                radial_mm = radial_base_mm + radial_slope * reach_mm
            if wall:
                width_mm = ratio * radial_mm * cosine + width_mm * sine
            elif not tangential:
                width_mm = ratio * radial_mm
            return scale * to_power(chip_mm, power) * width_mm

        if step_mm and step_mm < (teeth - 1) * feed_mm:
            # Where the tooth that stands out most stops doing the work of all.
            force_n.corner_rad = math.asin(step_mm / ((teeth - 1) * feed_mm))  # type: ignore[attr-defined]
        return force_n

    def axial_n(self, angle_rad: float, feed_centre_mm: float) -> float:
        """Axial force of the tooth at an angle [N]: what the two flanks do not cancel.

        The rise of the path makes the chip thicker on the flank that faces it.

        Notes
        -----
        Source: derivation. The nose is left out: a flat has no axial part, a rounded one little.
        """
        cut, power = self.cut, self.cut.power_of_chip_ratio
        chip_mm = self.chip_mm(angle_rad, feed_centre_mm)
        rise_mm = feed_centre_mm * cut.lead_mm / (2 * math.pi * self.centre_radius_mm)
        reach_mm = max(0.0, self.edge_reach_mm(angle_rad) - self.widths.nose_depth_mm)
        net_mm = 0.0
        for sign, angle_deg in zip((1, -1), cut.tooth.flank_angles_deg, strict=True):
            angle = math.radians(angle_deg)
            across_mm = chip_mm * math.sin(angle) + sign * rise_mm * math.cos(angle)
            net_mm += sign * math.pow(max(0.0, across_mm), power)
        return self._scale_n_per_mm2 * cut.radial_to_tangential_ratio * reach_mm * abs(net_mm)

    def edge_wall_n(self) -> float:
        """Force on the wall from ploughing alone, where the chip has run out to nothing [N].

        Notes
        -----
        Source: derivation; the edge force of each millimetre along the radial part of the edge,
        which is the groove's width at the blank.
        """
        width_mm = self.cut.tooth.width_mm(self.depth_mm)
        return self.cut.edge_force_n_per_mm * width_mm * self.cut.rows_ratio

    def largest(self, curve: Curve, engagement_rad: float) -> tuple[float, float]:
        """Largest value of a force over a pass, and the angle where it stands."""
        return largest(
            curve, min(engagement_rad, self.exit_angle_rad), self._guess_rad, self._tooth_pitch
        )

    def engagement_within_rad(
        self, curve: Curve, limit_n: float, up_to_rad: float = math.pi
    ) -> float:
        """Largest engagement that keeps a force within a limit [rad], at most the whole arc."""
        return reached(
            curve,
            limit_n,
            min(up_to_rad, self.exit_angle_rad),
            self._guess_rad,
            self._tooth_pitch,
            self.cut.power_of_chip_ratio,
        )

    @property
    def _scale_n_per_mm2(self) -> float:
        return self.cut.specific_force_mpa * self.cut.rows_ratio

    @property
    def _tooth_pitch(self) -> float:
        return 2 * math.pi / self.cut.teeth

    @property
    def _guess_rad(self) -> float:
        """Near where the tangential force is largest, if the whole depth is cut at once.

        With sin φ ≈ φ and a reach that falls off as 1 − (φ/exit)² the derivative is a parabola.
        """
        widths, power = self.widths, self.cut.power_of_chip_ratio
        fall_mm = widths.tangential_slope_ratio * self.depth_mm
        return self.exit_angle_rad * math.sqrt(
            power * (widths.tangential_base_mm + fall_mm) / ((power + 2) * fall_mm)
        )

    def _of_all_teeth(self, force_n: Curve) -> Curve:
        """Add the teeth that follow in the cut, where the arc is longer than their distance."""
        pitch = self._tooth_pitch
        if self.exit_angle_rad <= pitch:
            return force_n

        def all_n(angle_rad: float) -> float:
            total_n = force_n(angle_rad)
            while angle_rad > pitch:
                angle_rad -= pitch
                total_n += force_n(angle_rad)
            return total_n

        return all_n
