"""The tooth's profile and what each pass takes out of the groove: width, area, volume, edge.

The profile is a nose (a flat or a radius) with two straight flanks; V, flat-nosed, trapezoidal and
rounded teeth are all of this kind. Depths are counted from the tip towards the crest.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import MissingInputError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import ThreadGroove, cutter_flank_angles_deg
from threadwright_service.calc.trail import Formula, Trail

FLAT_SECTION: Final = Formula(
    "section of the groove to a depth, flat nose",
    "A",
    "w * t + t**2 / 2 * (tan(radians(a1)) + tan(radians(a2)))",
    "w t a1 a2",
    unit="mm^2",
    source="derivation",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ToothProfile:
    """The tooth in its axial plane.

    Parameters
    ----------
    nose_flat_mm, nose_radius_mm : float
        One of them is 0; both are 0 for a sharp V.
    first_flank_angle_deg, second_flank_angle_deg : float
        From the normal to the axis [deg].
    """

    nose_flat_mm: float
    nose_radius_mm: float
    first_flank_angle_deg: float
    second_flank_angle_deg: float

    @property
    def flank_angles_deg(self) -> tuple[float, float]:
        """Both flank angles [deg]."""
        return self.first_flank_angle_deg, self.second_flank_angle_deg

    def width_mm(self, depth_mm: float) -> float:
        """Width of the profile at a distance from the tip [mm].

        Notes
        -----
        Source: derivation.
        """
        return self.nose_flat_mm + sum(
            self._half_width_mm(depth_mm, angle) for angle in self.flank_angles_deg
        )

    def area_mm2(self, depth_mm: float, *, trail: Trail | None = None) -> float:
        """Section of a groove of this depth, A(t) [mm²].

        Notes
        -----
        Source: derivation; A = w t + t² tan α for equal flanks.

        Examples
        --------
        A sharp 60° V of 1 mm: 1²·tan 30°.

        >>> tooth = ToothProfile(nose_flat_mm=0, nose_radius_mm=0,
        ...     first_flank_angle_deg=30, second_flank_angle_deg=30)
        >>> round(tooth.area_mm2(1.0), 6)
        0.57735
        """
        if self.nose_radius_mm == 0:
            return FLAT_SECTION(trail, self.nose_flat_mm, depth_mm, *self.flank_angles_deg)
        return sum(self._half_area_mm2(depth_mm, angle) for angle in self.flank_angles_deg)

    def moment_mm3(self, depth_mm: float) -> float:
        """First moment of the section about the tip, ∫ s·width(s) ds to a depth [mm³].

        Notes
        -----
        Source: derivation.
        """
        flat_mm3 = self.nose_flat_mm * depth_mm**2 / 2
        return flat_mm3 + sum(
            self._half_moment_mm3(depth_mm, angle) for angle in self.flank_angles_deg
        )

    def edge_length_mm(self, depth_mm: float) -> float:
        """Length of the cutting edge from the tip to a depth, both sides [mm].

        Notes
        -----
        Source: derivation.
        """
        length_mm = self.nose_flat_mm
        for angle in self.flank_angles_deg:
            radians = math.radians(angle)
            joint_mm = self.nose_radius_mm * (1 - math.sin(radians))
            if depth_mm < joint_mm:
                length_mm += self.nose_radius_mm * math.acos(1 - depth_mm / self.nose_radius_mm)
                continue
            length_mm += self.nose_radius_mm * (math.pi / 2 - radians)
            length_mm += (depth_mm - joint_mm) / math.cos(radians)
        return length_mm

    def _half_width_mm(self, depth_mm: float, angle_deg: float) -> float:
        radius_mm, angle = self.nose_radius_mm, math.radians(angle_deg)
        joint_mm = radius_mm * (1 - math.sin(angle))
        if depth_mm < joint_mm:
            return math.sqrt(depth_mm * (2 * radius_mm - depth_mm))
        return radius_mm * math.cos(angle) + (depth_mm - joint_mm) * math.tan(angle)

    def _half_area_mm2(self, depth_mm: float, angle_deg: float) -> float:
        radius_mm, angle = self.nose_radius_mm, math.radians(angle_deg)
        joint_mm = radius_mm * (1 - math.sin(angle))
        turned = math.acos(1 - min(depth_mm, joint_mm) / radius_mm)
        area_mm2 = radius_mm**2 / 2 * (turned - math.sin(turned) * math.cos(turned))
        below_mm = max(0.0, depth_mm - joint_mm)
        return area_mm2 + below_mm * (radius_mm * math.cos(angle) + below_mm / 2 * math.tan(angle))

    def _half_moment_mm3(self, depth_mm: float, angle_deg: float) -> float:
        radius_mm, angle = self.nose_radius_mm, math.radians(angle_deg)
        joint_mm = radius_mm * (1 - math.sin(angle))
        moment_mm3 = 0.0
        if radius_mm > 0:
            turned = math.acos(1 - min(depth_mm, joint_mm) / radius_mm)
            sine = math.sin(turned)
            moment_mm3 = radius_mm**3 * ((turned - sine * math.cos(turned)) / 2 - sine**3 / 3)
        below_mm = max(0.0, depth_mm - joint_mm)
        width_mm, slope = radius_mm * math.cos(angle), math.tan(angle)
        # The straight part, s = joint + x, its half width there + x·tan α.
        return moment_mm3 + below_mm * (
            joint_mm * width_mm
            + below_mm / 2 * (width_mm + joint_mm * slope)
            + below_mm**2 / 3 * slope
        )


def tooth_profile(*, groove: ThreadGroove, cutter: Cutter) -> ToothProfile:
    """The profile of the cutter in hand, its flanks in the order pressure, clearance.

    Raises
    ------
    MissingInputError
        If the cutter states neither a nose flat nor a nose radius.
    """
    if cutter.nose_flat_mm is None and cutter.nose_radius_mm is None:
        raise MissingInputError(
            "neither the nose flat nor the nose radius of the cutter is given",
            parameter="cutter_nose_flat",
            accepted="the flat at the tooth's nose, or its radius in cutter_nose_radius",
        )
    first_deg, second_deg = cutter_flank_angles_deg(groove=groove, cutter=cutter)
    return ToothProfile(
        nose_flat_mm=cutter.nose_flat_mm or 0.0,
        nose_radius_mm=0.0 if cutter.nose_flat_mm is not None else cutter.nose_radius_mm or 0.0,
        first_flank_angle_deg=first_deg,
        second_flank_angle_deg=second_deg,
    )


def removed_area_mm2(*, tooth: ToothProfile, from_depth_mm: float, to_depth_mm: float) -> float:
    """Section that a pass takes out of the groove, A(t2) − A(t1) [mm²].

    Notes
    -----
    Source: derivation.
    """
    return tooth.area_mm2(to_depth_mm) - tooth.area_mm2(from_depth_mm)


def removed_volume_mm3(
    *,
    tooth: ToothProfile,
    start_radius_mm: float,
    outward: int,
    from_depth_mm: float,
    to_depth_mm: float,
) -> float:
    """Volume that a pass takes out in one turn round the part [mm³].

    Parameters
    ----------
    start_radius_mm : float
        Radius of the blank or the hole [mm].
    outward : int
        +1 outside, −1 inside.

    Notes
    -----
    Source: derivation (Pappus): 2π·∫ r·width dr over the groove, to each depth.
    """

    def turned_mm3(depth_mm: float) -> float:
        tip_radius_mm = start_radius_mm - outward * depth_mm
        return (
            2
            * math.pi
            * (tip_radius_mm * tooth.area_mm2(depth_mm) + outward * tooth.moment_mm3(depth_mm))
        )

    return turned_mm3(to_depth_mm) - turned_mm3(from_depth_mm)
