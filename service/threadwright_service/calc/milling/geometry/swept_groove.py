"""The groove that one cutter leaves at one radius of its path: widths, pitch radius, and back.

On straight flanks everything follows from the closed form of :mod:`..envelope` by Newton's
method; where the pitch line or a sample does not lie on the straight part, the exact general
maximum and a bracketing search take over. The search ends at
1e-12 mm, Newton's method at 1e-13 of the radius.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.envelope import (
    HalfProfile,
    Line,
    flat_nosed,
    half_width_mm,
    involute_mm,
    round_nosed,
    zero_between,
)
from threadwright_service.calc.milling.geometry.groove import ThreadGroove, cutter_flank_angles_deg

FLANK_END_RATIO: Final = 0.02
"""Share of the flank left out at each end: no mating thread is sharp there."""

_STEP_RATIO: Final = 1e-13
_ROUNDS: Final = 40


@dataclass(frozen=True, slots=True)
class StraightFlank:
    """The straight part of one half profile, with what the closed form needs.

    ``base_mm`` is K = p / slope; ``apex_mm`` the half width that the flank would have on the
    cutter's axis; ``outer_mm`` the cutter radius where the flank ends at the nose.
    """

    profile: HalfProfile
    slope_ratio: float
    base_mm: float
    apex_mm: float
    outer_mm: float


@dataclass(frozen=True, slots=True)
class SweptGroove:
    """A thread's groove and the two flanks of the cutter that is to make it."""

    groove: ThreadGroove
    cutter_radius_mm: float
    reach_mm: float
    """Lead for each radian, p [mm]."""
    flanks: tuple[StraightFlank, StraightFlank]

    def is_straight_at(self, radius_mm: float, centre_mm: float) -> bool:
        """Whether both flanks are made by the straight part of the profile here."""
        return all(_is_straight(flank, radius_mm, centre_mm) for flank in self.flanks)

    def half_widths_mm(self, radius_mm: float, centre_mm: float) -> tuple[float, float]:
        """Half widths of the groove, pressure and clearance side [mm]."""
        first, second = self.flanks
        return (
            self.half_width_mm(first, radius_mm, centre_mm),
            self.half_width_mm(second, radius_mm, centre_mm),
        )

    def width_mm(self, radius_mm: float, centre_mm: float) -> float:
        """Width of the groove at a radius of the thread [mm]."""
        first_mm, second_mm = self.half_widths_mm(radius_mm, centre_mm)
        return first_mm + second_mm

    def half_width_mm(self, flank: StraightFlank, radius_mm: float, centre_mm: float) -> float:
        """Half width of the groove on the side of one flank [mm]."""
        if _is_straight(flank, radius_mm, centre_mm):
            return self._straight_mm(flank, radius_mm, centre_mm)
        return half_width_mm(
            flank.profile,
            radius_mm=radius_mm,
            centre_radius_mm=centre_mm,
            reach_mm=self.reach_mm,
        )

    def flank_widths_mm(
        self, flank: StraightFlank, radii_mm: Sequence[float], centre_mm: float
    ) -> list[float]:
        """Half widths at many radii in order [mm].

        A flank that is straight at the first and the last is so between: the legs of the closed
        form's conditions grow with the radius.
        """
        ends_mm = radii_mm[0], radii_mm[-1]
        if not all(_is_straight(flank, end_mm, centre_mm) for end_mm in ends_mm):
            return [self.half_width_mm(flank, radius_mm, centre_mm) for radius_mm in radii_mm]
        base_mm, slope_ratio = flank.base_mm, flank.slope_ratio
        at_centre_mm = involute_mm(centre_mm, base_mm)
        return [
            flank.apex_mm - slope_ratio * abs(involute_mm(radius_mm, base_mm) - at_centre_mm)
            for radius_mm in radii_mm
        ]

    @staticmethod
    def _straight_mm(flank: StraightFlank, radius_mm: float, centre_mm: float) -> float:
        difference_mm = involute_mm(radius_mm, flank.base_mm) - involute_mm(
            centre_mm, flank.base_mm
        )
        return flank.apex_mm - flank.slope_ratio * abs(difference_mm)

    def pitch_radius_mm(self, centre_mm: float) -> float:
        """Radius at which the groove is half a pitch wide [mm].

        A groove that is still narrower at the crest is continued along its flanks, so that a
        shallow first pass has a pitch radius too.

        Raises
        ------
        InfeasibleError
            If the groove is nowhere half a pitch wide.
        """
        half_pitch_mm = self.groove.pitch_mm / 2
        start_mm = self.groove.pitch_diameter_mm / 2
        radius_mm = self._closed_radius_mm(centre_mm, start_mm)
        if radius_mm is not None and self.is_straight_at(radius_mm, centre_mm):
            return radius_mm
        root_mm = centre_mm - self.groove.outward * self.cutter_radius_mm
        crest_mm = self.groove.crest_diameter_mm / 2
        at_root_mm = root_mm + self.groove.outward * 1e-9 * self.groove.pitch_mm
        low_mm, high_mm = sorted((at_root_mm, crest_mm))
        widths_mm = [
            self.width_mm(end_mm, centre_mm) - half_pitch_mm for end_mm in (low_mm, high_mm)
        ]
        if widths_mm[0] * widths_mm[1] > 0 or low_mm <= 0:
            raise InfeasibleError(
                "the groove that this cutter makes is nowhere half a pitch wide between "
                f"{low_mm:.4g} mm and {high_mm:.4g} mm radius",
                parameter="cutter_diameter",
                value=2 * self.cutter_radius_mm,
                accepted="a cutter whose flanks reach the pitch line",
            )
        return zero_between(
            lambda place_mm: self.width_mm(place_mm, centre_mm) - half_pitch_mm, low_mm, high_mm
        )

    def _closed_radius_mm(self, centre_mm: float, start_mm: float) -> float | None:
        """The pitch radius by the closed form; ``None`` where it does not hold."""
        outward = self.groove.outward
        at_centre_mm = _slope_times_involute_mm(self.flanks, centre_mm)
        if at_centre_mm is None:
            return None
        apex_mm = sum(flank.apex_mm for flank in self.flanks)
        target_mm = at_centre_mm + outward * (self.groove.pitch_mm / 2 - apex_mm)
        radius_mm = _inverse_mm(self.flanks, target_mm, start_mm)
        return radius_mm if radius_mm and outward * (centre_mm - radius_mm) > 0 else None

    def centre_radius_mm(self, pitch_radius_mm: float) -> float:
        """Path radius at which the groove is half a pitch wide at a radius [mm].

        Raises
        ------
        InfeasibleError
            If the cutter is too large for the hole, or no path gives this pitch radius.
        """
        start_mm = self._nominal_centre_mm(pitch_radius_mm)
        centre_mm = self._closed_centre_mm(pitch_radius_mm, start_mm)
        if centre_mm is not None and self.is_straight_at(pitch_radius_mm, centre_mm):
            return centre_mm
        return self._searched_centre_mm(pitch_radius_mm, start_mm)

    def _nominal_centre_mm(self, pitch_radius_mm: float) -> float:
        """The path radius without the helix [mm]."""
        slopes = sum(flank.slope_ratio for flank in self.flanks)
        apex_mm = sum(flank.apex_mm for flank in self.flanks)
        offset_mm = (apex_mm - self.groove.pitch_mm / 2) / slopes
        return pitch_radius_mm + self.groove.outward * offset_mm

    def _closed_centre_mm(self, pitch_radius_mm: float, start_mm: float) -> float | None:
        """The path radius by the closed form; ``None`` where it does not hold."""
        outward = self.groove.outward
        at_radius_mm = _slope_times_involute_mm(self.flanks, pitch_radius_mm)
        if at_radius_mm is None:
            return None
        apex_mm = sum(flank.apex_mm for flank in self.flanks)
        target_mm = at_radius_mm - outward * (self.groove.pitch_mm / 2 - apex_mm)
        centre_mm = _inverse_mm(self.flanks, target_mm, start_mm)
        return centre_mm if centre_mm and outward * (centre_mm - pitch_radius_mm) > 0 else None

    def _searched_centre_mm(self, pitch_radius_mm: float, start_mm: float) -> float:
        """The path radius by bracketing the exact width [mm]."""
        outward, pitch_mm = self.groove.outward, self.groove.pitch_mm

        def narrowness_mm(centre_mm: float) -> float:
            width_mm = self.width_mm(pitch_radius_mm, centre_mm)
            return pitch_mm / 2 - max(width_mm, 0.0)

        # Not cut at all at the pitch line on one side, wider than half a pitch on the other.
        touching_mm = pitch_radius_mm + outward * self.cutter_radius_mm
        deep_mm = touching_mm - outward * 2 * pitch_mm
        low_mm, high_mm = sorted((touching_mm, max(deep_mm, 1e-6 * pitch_mm)))
        if start_mm <= 0 or low_mm <= 0:
            raise too_large_for_the_hole(self.groove, 2 * self.cutter_radius_mm)
        if narrowness_mm(low_mm) * narrowness_mm(high_mm) > 0:
            raise InfeasibleError(
                "no depth of this cutter makes the groove half a pitch wide on the pitch line",
                parameter="cutter_diameter",
                value=2 * self.cutter_radius_mm,
                accepted="a cutter of another diameter, nose or angle",
            )
        return zero_between(narrowness_mm, low_mm, high_mm)

    def contact_range_mm(self, root_diameter_mm: float) -> tuple[float, float]:
        """The radii between which a mating thread can touch the flank [mm].

        From the crest to the end of the mating thread, less :data:`FLANK_END_RATIO` of the flank
        at each end, and no deeper than the root.
        """
        groove = self.groove
        low_mm, high_mm = sorted((groove.crest_diameter_mm / 2, groove.contact_diameter_mm / 2))
        margin_mm = FLANK_END_RATIO * (high_mm - low_mm)
        low_mm, high_mm = low_mm + margin_mm, high_mm - margin_mm
        above_root_mm = root_diameter_mm / 2 + groove.outward * 1e-9 * groove.pitch_mm
        if groove.side == "external":
            return max(low_mm, above_root_mm), high_mm
        return low_mm, min(high_mm, above_root_mm)

    def functional_radius_mm(self, centre_mm: float, low_mm: float, high_mm: float) -> float:
        """Pitch radius of the perfect profile that just fits, between two radii [mm].

        The perfect profile has the form's own flank angles and may shift along the axis. Its
        contact is at an end of the range, where the straight flank ends, or where the flank
        is parallel to it: the straight part is convex and the part made by the nose concave.
        """
        outward = self.groove.outward
        tangents = tuple(math.tan(math.radians(a)) for a in self.groove.flank_angles_deg)
        contacts_mm = []
        for flank, tangent in zip(self.flanks, tangents, strict=True):
            places_mm = [low_mm, high_mm]
            places_mm += [
                place_mm
                for place_mm in (
                    straight_end_radius_mm(flank, centre_mm, outward),
                    _parallel_radius_mm(flank, tangent),
                )
                if place_mm is not None and low_mm < place_mm < high_mm
            ]
            contacts_mm.append(
                max(
                    outward * place_mm * tangent - self.half_width_mm(flank, place_mm, centre_mm)
                    for place_mm in places_mm
                )
            )
        return outward * (self.groove.pitch_mm / 2 + sum(contacts_mm)) / sum(tangents)


def swept_groove_of(*, groove: ThreadGroove, cutter: Cutter) -> SweptGroove:
    """The groove together with this cutter's two flanks.

    Notes
    -----
    Source: derivation.
    """
    reach_mm = groove.lead_mm / (2 * math.pi)
    first_deg, second_deg = cutter_flank_angles_deg(groove=groove, cutter=cutter)
    return SweptGroove(
        groove,
        cutter.radius_mm,
        reach_mm,
        (_flank(cutter, first_deg, reach_mm), _flank(cutter, second_deg, reach_mm)),
    )


def _flank(cutter: Cutter, angle_deg: float, reach_mm: float) -> StraightFlank:
    """One flank of a cutter with a flat or a rounded nose."""
    if cutter.nose_radius_mm:
        profile = round_nosed(
            radius_mm=cutter.radius_mm,
            nose_radius_mm=cutter.nose_radius_mm,
            flank_angle_deg=angle_deg,
        )
    else:
        profile = flat_nosed(
            radius_mm=cutter.radius_mm,
            nose_flat_mm=cutter.nose_flat_mm or 0.0,
            flank_angle_deg=angle_deg,
        )
    line = next(part for part in profile if isinstance(part, Line))
    return StraightFlank(
        profile,
        line.slope_ratio,
        reach_mm / line.slope_ratio,
        line.half_width_mm(0.0),
        line.outer_radius_mm,
    )


def _is_straight(flank: StraightFlank, radius_mm: float, centre_mm: float) -> bool:
    """Whether the straight part makes the flank here: the conditions of the closed form."""
    base_mm = flank.base_mm
    if min(radius_mm, centre_mm) <= base_mm:
        return False
    first_mm = math.sqrt(radius_mm * radius_mm - base_mm * base_mm)
    second_mm = math.sqrt(centre_mm * centre_mm - base_mm * base_mm)
    # Beyond the sum the value would rise again before the nose ends it.
    return abs(first_mm - second_mm) <= flank.outer_mm <= first_mm + second_mm


def straight_end_radius_mm(flank: StraightFlank, centre_mm: float, outward: int) -> float | None:
    """Radius of the thread where the straight flank ends towards the root [mm].

    From there to the root the nose's end makes a fillet. ``None`` where no flank is straight.

    Notes
    -----
    Source: derivation: there rho equals the cutter radius at which the flank meets the nose.
    """
    base_mm = flank.base_mm
    if centre_mm <= base_mm:
        return None
    leg_mm = math.sqrt(centre_mm**2 - base_mm**2) - outward * flank.outer_mm
    return math.hypot(base_mm, max(leg_mm, 0.0))


def _parallel_radius_mm(flank: StraightFlank, tangent: float) -> float | None:
    """Radius where the swept flank stands at the form's own angle [mm]; ``None`` if nowhere."""
    share = 1 - (tangent / flank.slope_ratio) ** 2
    return flank.base_mm / math.sqrt(share) if share > 0 else None


def _slope_times_involute_mm(
    flanks: tuple[StraightFlank, StraightFlank], radius_mm: float
) -> float | None:
    """Sum of slope · F over the flanks [mm]; ``None`` where F is not defined."""
    if radius_mm <= max(flank.base_mm for flank in flanks):
        return None
    return sum(flank.slope_ratio * involute_mm(radius_mm, flank.base_mm) for flank in flanks)


def _inverse_mm(
    flanks: tuple[StraightFlank, StraightFlank], target_mm: float, start_mm: float
) -> float | None:
    """Where the sum of slope · F is a target [mm]; ``None`` if nowhere above both bases.

    The sum is convex and grows, so Newton's method nears the place from above after one step.
    """
    base_mm = max(flank.base_mm for flank in flanks)
    place_mm, step_mm, rounds = start_mm, math.inf, 0
    while place_mm > base_mm and abs(step_mm) > _STEP_RATIO * place_mm and rounds < _ROUNDS:
        value_mm, derivative = 0.0, 0.0
        for flank in flanks:
            leg_mm = math.sqrt(place_mm * place_mm - flank.base_mm * flank.base_mm)
            angle = math.acos(flank.base_mm / place_mm)
            value_mm += flank.slope_ratio * (leg_mm - flank.base_mm * angle)
            derivative += flank.slope_ratio * leg_mm / place_mm
        step_mm = (target_mm - value_mm) / derivative
        place_mm += step_mm
        rounds += 1
    return place_mm if place_mm > base_mm else None


def too_large_for_the_hole(groove: ThreadGroove, cutter_diameter_mm: float) -> InfeasibleError:
    """The refusal of a cutter that has no room inside.

    Notes
    -----
    Source: derivation.
    """
    largest_mm = groove.crest_diameter_mm
    return InfeasibleError(
        f"a cutter of {cutter_diameter_mm:.4g} mm does not go into a bore of {largest_mm:.4g} mm",
        parameter="cutter_diameter",
        value=cutter_diameter_mm,
        accepted=f"less than {largest_mm:.4g} mm",
    )
