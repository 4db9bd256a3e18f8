"""The path of the cutter's centre: entry arc, helix, exit arc, for each pass, as neutral data.

Axes: z along the thread's axis, positive out of the part towards the spindle, 0 at the face
where the thread begins, so the thread lies from 0 to -length; x and y from the thread's axis.
Heights are those of the middle of the nose (of the lowest row of a full-length cutter).

All passes of a plan follow one :class:`PathSetting`: they join the helix at the same angle and
height, so that each finds the groove of the one before.

**Arcs.** The arc is tangent to the path's circle and rises evenly by ``L Re b / (2 pi e)`` over its
angle b: at the tangent point that is the helix's own slope, so the cutter leaves the flank
without a mark. (The pitch times the swept share of a turn is another slope, and gouges.)
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.milling.geometry.cone import CYLINDER, Cone
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import ThreadGroove
from threadwright_service.calc.milling.geometry.swept_groove import too_large_for_the_hole
from threadwright_service.calc.milling.path.direction import Direction, direction_of
from threadwright_service.calc.milling.path.direction import Milling as Milling
from threadwright_service.calc.milling.path.entry_arc import (
    INSIDE_ARC_DEG,
    OUTSIDE_ARC_DEG,
    check_inside_start,
    chosen_arc_radius_mm,
)
from threadwright_service.calc.milling.path.heights import Heights, depth_below_blank_mm, heights_of
from threadwright_service.calc.milling.path.path_elements import CentrePath, PathShape
from threadwright_service.calc.milling.path.turns import helices_of, turns_ratio_of
from threadwright_service.calc.threads.thread import Hand
from threadwright_service.calc.trail import Formula, Trail

HEIGHTS_FROM: Final = (
    "z is positive towards the spindle, 0 at the face where the thread begins; heights are those "
    "of the middle of the nose (lowest row)"
)
SAFE_HEIGHT_MM: Final = 2.0

RISE: Final = Formula(
    "rise along the entry arc",
    "delta_z",
    "L * R_e * radians(b) / (2 * pi * e)",
    "L R_e b e",
    unit="mm",
    source="derivation",
)
HELIX_LENGTH: Final = Formula(
    "length of the helix",
    "s",
    "n * sqrt((2 * pi * e)**2 + L**2)",
    "n e L",
    unit="mm",
    source="derivation",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PathSetting:
    """What all passes of a plan share.

    ``entry_arc_radius_mm`` is ``None`` inside where the arc begins on the bore's axis, so that it
    grows with each pass. ``helices`` is how many helices make the thread: the starts with one row
    of teeth, one with a full-length cutter, whose rows make all starts at once.
    """

    groove: ThreadGroove
    cutter: Cutter
    blank_diameter_mm: float
    direction: Direction
    heights: Heights
    helices: int
    turns_ratio: float
    entry_arc_radius_mm: float | None
    entry_arc_angle_deg: float
    axial_offsets_mm: tuple[float, ...] = (0.0,)
    cone: Cone = CYLINDER

    @property
    def runs(self) -> int:
        """How often the helix is travelled in one pass."""
        return self.helices * len(self.axial_offsets_mm)

    @property
    def highest_mm(self) -> float:
        """Upper end of the helix [mm]."""
        return self.heights.bottom_mm + self.turns_ratio * self.groove.lead_mm

    @property
    def start_height_mm(self) -> float:
        """Where the helix begins [mm]."""
        return self.highest_mm if self.direction.axial == "down" else self.heights.bottom_mm

    @property
    def end_height_mm(self) -> float:
        """Where the helix ends [mm]."""
        return self.heights.bottom_mm if self.direction.axial == "down" else self.highest_mm

    @property
    def safe_height_mm(self) -> float:
        """Height at which the cutter moves across, clear of the face [mm]."""
        above_face_mm = self.heights.below_mm + SAFE_HEIGHT_MM
        highest_mm = self.highest_mm + max(self.axial_offsets_mm)
        return max(highest_mm + self.heights.rise_mm, above_face_mm)

    def ends_mm(self, centre_radius_mm: float) -> tuple[float, float]:
        """The path's radius where the helix begins and where it ends [mm]."""
        return (
            self.cone.radius_mm(centre_radius_mm, self.start_height_mm),
            self.cone.radius_mm(centre_radius_mm, self.end_height_mm),
        )

    def arc_radius_mm(self, centre_radius_mm: float) -> float:
        """Radius of the arcs of a path [mm].

        Inside, where they are half of the path's radius, those of its smaller end.
        """
        if self.entry_arc_radius_mm is not None:
            return self.entry_arc_radius_mm
        return min(self.ends_mm(centre_radius_mm)) / 2

    def path(self, *, root_diameter_mm: float, trail: Trail | None = None) -> CentrePath:
        """The path of the pass whose tip makes this diameter.

        Raises
        ------
        InfeasibleError
            If the cutter has no room inside, or the arc begins in the hole's wall.
        """
        groove = self.groove
        centre_mm = centre_radius_mm(
            groove=groove, cutter=self.cutter, root_diameter_mm=root_diameter_mm
        )
        ends_mm = self.ends_mm(centre_mm)
        arc_mm = self.arc_radius_mm(centre_mm)
        if groove.side == "internal":
            self._check_inside(centre_mm, arc_mm)
        elif min(ends_mm) <= self.cutter.radius_mm:
            raise self._beyond_the_apex()
        rise_mm = RISE(trail, groove.lead_mm, arc_mm, self.entry_arc_angle_deg, centre_mm)
        helix_mm = HELIX_LENGTH(trail, self.turns_ratio, sum(ends_mm) / 2, groove.lead_mm)
        arc_length_mm = math.hypot(arc_mm * math.radians(self.entry_arc_angle_deg), rise_mm)
        return CentrePath(
            cutter_centre_radius_mm=centre_mm,
            start_radius_mm=ends_mm[0],
            end_radius_mm=ends_mm[1],
            travel=self.direction.travel,
            axial=self.direction.axial,
            spindle=self.direction.spindle,
            travel_word=self.direction.travel_word,
            spindle_word=self.direction.spindle_word,
            starts_at=self.direction.starts_at,
            starts=self.helices,
            turns_ratio=self.turns_ratio,
            start_height_mm=self.start_height_mm,
            end_height_mm=self.end_height_mm,
            entry_arc_radius_mm=arc_mm,
            entry_arc_angle_deg=self.entry_arc_angle_deg,
            entry_rise_mm=rise_mm,
            helix_length_mm=helix_mm * self.runs,
            path_length_mm=(helix_mm + 2 * arc_length_mm) * self.runs,
            heights_from=HEIGHTS_FROM,
            axial_offsets_mm=self.axial_offsets_mm,
            elements=self._shape(centre_mm, arc_mm, rise_mm).elements(),
        )

    def _beyond_the_apex(self) -> InfeasibleError:
        """The refusal of a helix that begins where the cone has come to nothing."""
        highest_mm = self.heights.top_mm
        return InfeasibleError(
            f"{highest_mm:.4g} mm above the face the thread's cone has come to nothing",
            parameter="lead_in",
            value=highest_mm,
            accepted="left out, or a few pitches",
        )

    def _check_inside(self, centre_mm: float, arc_mm: float) -> None:
        """Refuse a path that has no room in the hole, which may narrow towards its end."""
        for height_mm in (self.start_height_mm, self.end_height_mm):
            radius_mm = self.cone.radius_mm(centre_mm, height_mm)
            if radius_mm <= 0:
                raise too_large_for_the_hole(self.groove, self.cutter.diameter_mm)
            hole_mm = min(0.0, radius_mm - centre_mm) + self.blank_diameter_mm / 2
            check_inside_start(
                cutter=self.cutter,
                centre_radius_mm=radius_mm,
                arc_radius_mm=arc_mm,
                hole_diameter_mm=2 * hole_mm,
            )

    def _shape(self, centre_mm: float, arc_mm: float, rise_mm: float) -> PathShape:
        """The measures of the moves of one pass."""
        return PathShape(
            outward=self.groove.outward,
            direction=self.direction,
            helices=self.helices,
            turns_ratio=self.turns_ratio,
            start_height_mm=self.start_height_mm,
            end_height_mm=self.end_height_mm,
            safe_height_mm=self.safe_height_mm,
            centre_radius_mm=centre_mm,
            arc_radius_mm=arc_mm,
            arc_angle_deg=self.entry_arc_angle_deg,
            rise_mm=rise_mm,
            axial_offsets_mm=self.axial_offsets_mm,
            cone=self.cone,
        )


def centre_radius_mm(*, groove: ThreadGroove, cutter: Cutter, root_diameter_mm: float) -> float:
    """Radius of the path of the cutter's centre [mm].

    Raises
    ------
    InfeasibleError
        If the cutter is larger than the hole.

    Notes
    -----
    Source: derivation.
    """
    centre_mm = root_diameter_mm / 2 + groove.outward * cutter.radius_mm
    if centre_mm <= 0:
        raise too_large_for_the_hole(groove, cutter.diameter_mm)
    return centre_mm


def path_setting(
    *,
    groove: ThreadGroove,
    hand: Hand,
    milling: Milling,
    cutter: Cutter,
    root_diameter_mm: float,
    blank_diameter_mm: float,
    thread_length_mm: float,
    shoulder_distance_mm: float | None = None,
    entry_arc_radius_mm: float | None = None,
    overlap_deg: float | None = None,
    lead_in_mm: float | None = None,
    axial_offsets_mm: tuple[float, ...] = (0.0,),
    cone: Cone = CYLINDER,
    cutter_hand: Hand = "right",
    trail: Trail | None = None,
) -> PathSetting:
    """What all passes share: direction, heights, number of turns, arcs.

    Parameters
    ----------
    root_diameter_mm : float
        The diameter that the tip makes in the last pass [mm].
    blank_diameter_mm : float
        Blank (outside) or hole (inside) before threading [mm].
    thread_length_mm : float
        Length of full thread from the face [mm].
    shoulder_distance_mm : float or None
        From the end of the full thread to the shoulder or the hole's bottom [mm]; ``None`` if
        there is neither.
    entry_arc_radius_mm : float or None
        Radius of the arcs. If ``None``: inside the semicircle from the bore's axis; outside the
        90° arc that lifts the teeth 1 mm clear of the blank, rounded up to half a millimetre.
    overlap_deg : float or None
        What a full-length cutter goes on after one turn; 20° if ``None``.
    lead_in_mm : float or None
        See :func:`..clearance.heights_of`.
    axial_offsets_mm : tuple of float
        Where along the axis each pass is repeated [mm]; the cutter's nose is then taken as the
        flat of the groove that they make together.
    cone : Cone
        How the thread's diameters change along it; all diameters here are those of its plane.

    Raises
    ------
    InfeasibleError
        If the cutter has no room, the arc does not clear the work, or the shoulder leaves none.
    OutOfRangeError
        If a length is not positive, or lead-in or overlap is given for the other kind of cutter.

    Notes
    -----
    Source: derivation; half a millimetre steps, 1 mm and 20° are common practice.
    """
    _check_length(thread_length_mm)
    way = direction_of(side=groove.side, hand=hand, milling=milling, cutter_hand=cutter_hand)
    depth_mm = depth_below_blank_mm(
        groove=groove, root_diameter_mm=root_diameter_mm, blank_diameter_mm=blank_diameter_mm
    )
    centre_mm = centre_radius_mm(groove=groove, cutter=cutter, root_diameter_mm=root_diameter_mm)
    arc_mm = chosen_arc_radius_mm(
        groove=groove,
        centre_radius_mm=centre_mm,
        depth_mm=depth_mm,
        given_mm=entry_arc_radius_mm,
        trail=trail,
    )
    angle_deg = OUTSIDE_ARC_DEG if groove.side == "external" else INSIDE_ARC_DEG
    used_mm = centre_mm / 2 if arc_mm is None else arc_mm
    heights = heights_of(
        groove=groove,
        cutter=cutter,
        depth_mm=depth_mm,
        thread_length_mm=thread_length_mm,
        rise_mm=RISE.function(groove.lead_mm, used_mm, angle_deg, centre_mm),
        shoulder_distance_mm=shoulder_distance_mm,
        lead_in_mm=lead_in_mm,
        trail=trail,
    )
    return PathSetting(
        groove=groove,
        cutter=cutter,
        blank_diameter_mm=blank_diameter_mm,
        direction=way,
        heights=heights,
        helices=helices_of(groove=groove, cutter=cutter),
        turns_ratio=turns_ratio_of(
            groove=groove, cutter=cutter, heights=heights, overlap_deg=overlap_deg, trail=trail
        ),
        entry_arc_radius_mm=arc_mm,
        entry_arc_angle_deg=angle_deg,
        axial_offsets_mm=axial_offsets_mm,
        cone=cone,
    )


def _check_length(thread_length_mm: float) -> None:
    """Refuse a thread without length."""
    if thread_length_mm <= 0:
        raise OutOfRangeError(
            f"thread_length is {thread_length_mm:g} mm; a thread has a length",
            parameter="thread_length",
            value=thread_length_mm,
            accepted="more than 0",
        )
