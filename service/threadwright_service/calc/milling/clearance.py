"""Room for the cutter: heights of the path, shoulder, blind bottom, neck, shank, holder, hole."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.milling.cutter import Cutter
from threadwright_service.calc.milling.groove import ThreadGroove
from threadwright_service.calc.milling.swept_groove import swept_groove_of
from threadwright_service.calc.trail import Formula, Trail

NECK_CLEARANCE_MM: Final = 0.1
AXIAL_CLEARANCE_MM: Final = 0.1
RECOMMENDED_SHARE_RATIO: Final = 0.65

SHOULDER_NEED: Final = Formula(
    "from the end of the full thread to a shoulder, at least",
    "s_min",
    "run + rise + W + land + c",
    "run rise W land c",
    unit="mm",
    source="derivation",
)
BOTTOM_HEIGHT: Final = Formula(
    "lowest height of the middle of the nose on the helix",
    "z_low",
    "-(l + run)",
    "l run",
    unit="mm",
    source="derivation",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Heights:
    """Heights of the middle of the nose (of the lowest row) on the helix; z = 0 at the face.

    ``rise_mm`` is what the entry or exit arc goes below ``bottom_mm``; ``below_mm`` how far the
    cutter reaches below the middle of its nose at the blank's diameter, land included.
    ``usable_length_mm`` is full all round. ``shoulder_distance_min_mm`` is what the whole thread
    length needs from its end to a shoulder; ``shoulder_gap_mm`` what is left between the lowest
    point of the cutter and the shoulder, ``None`` where there is none.
    """

    top_mm: float
    bottom_mm: float
    rise_mm: float
    below_mm: float
    usable_length_mm: float
    shoulder_distance_min_mm: float
    shoulder_gap_mm: float | None


def run_out_allowance_mm(*, groove: ThreadGroove, cutter: Cutter) -> float:
    """How far below the thread's end the helix must go for full thread all round [mm].

    With one row of teeth the lowest groove of a section lies up to a pitch above the end of the
    helix, whatever the number of starts, since each start ends at the same height: half a pitch.
    A full-length cutter's lowest row alone makes the lowest groove, up to a lead above.

    Notes
    -----
    Source: derivation.
    """
    if cutter.profile == "full":
        return groove.lead_mm - groove.pitch_mm / 2
    return groove.pitch_mm / 2


def depth_below_blank_mm(
    *, groove: ThreadGroove, root_diameter_mm: float, blank_diameter_mm: float
) -> float:
    """Radial depth of a pass below the blank or hole [mm].

    Raises
    ------
    InfeasibleError
        If the pass does not reach the blank.

    Notes
    -----
    Source: derivation.
    """
    depth_mm = groove.outward * (blank_diameter_mm - root_diameter_mm) / 2
    if depth_mm <= 0:
        outside = groove.side == "external"
        raise InfeasibleError(
            f"the {'blank' if outside else 'hole'} of {blank_diameter_mm:.4g} mm leaves nothing to "
            f"cut at a tip diameter of {root_diameter_mm:.4g} mm",
            parameter="blank_diameter" if outside else "hole_diameter",
            value=blank_diameter_mm,
            accepted=f"{'more' if outside else 'less'} than {root_diameter_mm:.4g} mm",
        )
    return depth_mm


def tooth_half_width_mm(*, groove: ThreadGroove, cutter: Cutter, depth_mm: float) -> float:
    """Half width of the tooth at a depth below its tip, of its wider side [mm].

    Notes
    -----
    Source: derivation. Which flank points to the shoulder is not known, so the wider one counts.
    """
    flanks = swept_groove_of(groove=groove, cutter=cutter).flanks
    return max(
        flank.apex_mm - flank.slope_ratio * (cutter.radius_mm - depth_mm) for flank in flanks
    )


def heights_of(
    *,
    groove: ThreadGroove,
    cutter: Cutter,
    depth_mm: float,
    thread_length_mm: float,
    rise_mm: float,
    shoulder_distance_mm: float | None = None,
    land_mm: float | None = None,
    lead_in_mm: float | None = None,
    trail: Trail | None = None,
) -> Heights:
    """Heights of the helix so that the thread is full over its length, or as far as there is room.

    Parameters
    ----------
    depth_mm : float
        Full depth below the blank [mm].
    rise_mm : float
        What an arc adds below the helix [mm].
    shoulder_distance_mm : float or None
        From the end of the full thread to the shoulder or the hole's bottom [mm].
    land_mm : float or None
        Length of the cutter below its lowest flank [mm]; 0 is assumed.
    lead_in_mm : float or None
        Height of the start above the face [mm]; half a pitch, or the half width of the tooth at
        the blank if that is more, is assumed.

    Raises
    ------
    InfeasibleError
        If the shoulder leaves no room for any thread.

    Notes
    -----
    Source: derivation.
    """
    run_mm = run_out_allowance_mm(groove=groove, cutter=cutter)
    tooth_mm = tooth_half_width_mm(groove=groove, cutter=cutter, depth_mm=depth_mm)
    if land_mm is None:
        land_mm = 0.0
        if trail is not None and shoulder_distance_mm is not None:
            trail.assume(
                "cutter_land",
                0.0,
                "none given; the cutter is taken to end at the lower edge of its teeth",
                unit="mm",
            )
    top_mm = _top_mm(groove, tooth_mm, lead_in_mm, trail)
    need_mm = SHOULDER_NEED(trail, run_mm, rise_mm, tooth_mm, land_mm, AXIAL_CLEARANCE_MM)
    bottom_mm = BOTTOM_HEIGHT(trail, thread_length_mm, run_mm)
    gap_mm = None
    if shoulder_distance_mm is not None:
        shoulder_mm = -(thread_length_mm + shoulder_distance_mm)
        lowest_mm = shoulder_mm + need_mm - run_mm
        if lowest_mm > bottom_mm + 1e-9:
            bottom_mm = lowest_mm
            _shoulder_close(thread_length_mm, shoulder_distance_mm, need_mm, trail)
        gap_mm = bottom_mm - rise_mm - tooth_mm - land_mm - shoulder_mm
    usable_mm = -bottom_mm - run_mm
    if usable_mm <= 0:
        raise InfeasibleError(
            "the shoulder leaves no room for the cutter below the face: no full thread is left",
            parameter="shoulder_distance",
            value=shoulder_distance_mm,
            accepted=f"at least {need_mm:.4g} mm for the whole thread length",
        )
    return Heights(
        top_mm=top_mm,
        bottom_mm=bottom_mm,
        rise_mm=rise_mm,
        below_mm=tooth_mm + land_mm,
        usable_length_mm=usable_mm,
        shoulder_distance_min_mm=need_mm,
        shoulder_gap_mm=gap_mm,
    )


def _top_mm(
    groove: ThreadGroove, tooth_mm: float, lead_in_mm: float | None, trail: Trail | None
) -> float:
    """Height of the helix's upper end [mm]; notes a start inside the work."""
    if lead_in_mm is None:
        return max(groove.pitch_mm / 2, tooth_mm)
    if lead_in_mm < max(groove.pitch_mm / 2, tooth_mm) - 1e-9 and trail is not None:
        trail.caution(
            "start-in-the-work",
            f"the helix begins {lead_in_mm:.3f} mm above the face, where the tooth is already in "
            "the work: the first turn is cut short there and the arc leaves its mark",
        )
    return lead_in_mm


def _shoulder_close(
    thread_length_mm: float, shoulder_distance_mm: float, need_mm: float, trail: Trail | None
) -> None:
    """Say how much of the thread the shoulder takes."""
    if trail is None:
        return
    short_mm = need_mm - shoulder_distance_mm
    trail.caution(
        "shoulder-close",
        f"the shoulder is {shoulder_distance_mm:.3f} mm from the end of the thread; the cutter "
        f"needs {need_mm:.3f} mm: full thread ends {short_mm:.3f} mm early, at "
        f"{thread_length_mm - short_mm:.3f} mm",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearances:
    """Room that is left, and the largest cutter for the hole; ``None`` where it does not apply."""

    neck_clearance_mm: float
    """Radial, between neck and crest at full depth."""
    neck_length_min_mm: float | None
    """Neck that keeps a shank, which would touch the crest, above the face."""
    stick_out_min_mm: float
    entry_clearance_mm: float | None
    """Radial, between the teeth and the hole on the way in."""
    largest_cutter_diameter_mm: float | None
    recommended_cutter_diameter_mm: float | None


def check_clearances(
    *,
    groove: ThreadGroove,
    cutter: Cutter,
    root_diameter_mm: float,
    blank_diameter_mm: float,
    heights: Heights,
    trail: Trail | None = None,
) -> Clearances:
    """Refuse a cutter that collides or does not reach; note one that is larger than is wise.

    Parameters
    ----------
    root_diameter_mm : float
        The final tip diameter [mm].
    blank_diameter_mm : float
        Blank outside, hole inside [mm].

    Raises
    ------
    InfeasibleError
        ``cutter_diameter`` (hole too small, or teeth not deep enough for any neck),
        ``cutter_neck_diameter``, ``cutter_neck_length``, ``cutter_stick_out``.

    Notes
    -----
    Source: derivation; the recommended share of the thread's diameter is common practice.
    """
    depth_mm = depth_below_blank_mm(
        groove=groove, root_diameter_mm=root_diameter_mm, blank_diameter_mm=blank_diameter_mm
    )
    entry_mm = largest_mm = recommended_mm = None
    if groove.side == "internal":
        largest_mm = largest_cutter_diameter_mm(hole_diameter_mm=blank_diameter_mm)
        entry_mm = (blank_diameter_mm - cutter.diameter_mm) / 2
        recommended_mm = min(largest_mm, RECOMMENDED_SHARE_RATIO * groove.contact_diameter_mm)
        _check_hole(cutter, blank_diameter_mm, largest_mm, recommended_mm, trail)
    room_mm = cutter.radius_mm - depth_mm
    _check_neck(cutter, depth_mm, room_mm)
    lowest_mm = heights.bottom_mm - heights.rise_mm
    reach_mm = -lowest_mm + AXIAL_CLEARANCE_MM
    neck_length_mm = None
    if cutter.profile == "single" and cutter.shank_diameter_mm / 2 > room_mm - NECK_CLEARANCE_MM:
        neck_length_mm = reach_mm
        _check_length(
            cutter.neck_length_mm, reach_mm, "cutter_neck_length", "the shank runs into the crest"
        )
    _check_length(cutter.stick_out_mm, reach_mm, "cutter_stick_out", "the holder runs on the face")
    return Clearances(
        neck_clearance_mm=room_mm - cutter.neck_diameter_mm / 2,
        neck_length_min_mm=neck_length_mm,
        stick_out_min_mm=reach_mm,
        entry_clearance_mm=entry_mm,
        largest_cutter_diameter_mm=largest_mm,
        recommended_cutter_diameter_mm=recommended_mm,
    )


def largest_cutter_diameter_mm(*, hole_diameter_mm: float) -> float:
    """Largest cutter that goes into a hole with clearance all round [mm].

    Notes
    -----
    Source: derivation.
    """
    return hole_diameter_mm - 2 * NECK_CLEARANCE_MM


def _check_hole(
    cutter: Cutter,
    hole_diameter_mm: float,
    largest_mm: float,
    recommended_mm: float,
    trail: Trail | None,
) -> None:
    """The cutter against the hole."""
    if cutter.diameter_mm > largest_mm:
        raise InfeasibleError(
            f"a cutter of {cutter.diameter_mm:.4g} mm does not go into a hole of "
            f"{hole_diameter_mm:.4g} mm with {NECK_CLEARANCE_MM} mm clearance all round",
            parameter="cutter_diameter",
            value=cutter.diameter_mm,
            accepted=f"at most {largest_mm:.4g} mm",
        )
    if cutter.diameter_mm > recommended_mm and trail is not None:
        trail.caution(
            "cutter-large-for-the-hole",
            f"the cutter of {cutter.diameter_mm:.4g} mm is larger than {recommended_mm:.4g} mm, "
            "about two thirds of the thread: the flank's form suffers from over-cut, and chips "
            "find little room (common practice)",
        )


def _check_neck(cutter: Cutter, depth_mm: float, room_mm: float) -> None:
    """The neck against the crest at full depth."""
    allowed_mm = 2 * (room_mm - NECK_CLEARANCE_MM)
    if allowed_mm <= 0:
        raise InfeasibleError(
            f"a cutter of {cutter.diameter_mm:.4g} mm is too small to cut {depth_mm:.4g} mm deep: "
            "no neck has room",
            parameter="cutter_diameter",
            value=cutter.diameter_mm,
            accepted=f"more than {2 * (depth_mm + NECK_CLEARANCE_MM):.4g} mm",
        )
    if cutter.neck_diameter_mm > allowed_mm:
        raise InfeasibleError(
            f"a neck of {cutter.neck_diameter_mm:.4g} mm touches the crest when the teeth of "
            f"{cutter.diameter_mm:.4g} mm are {depth_mm:.4g} mm deep",
            parameter="cutter_neck_diameter",
            value=cutter.neck_diameter_mm,
            accepted=f"at most {math.floor(allowed_mm * 1e3) / 1e3:g} mm",
        )


def _check_length(length_mm: float, least_mm: float, parameter: str, why: str) -> None:
    """A length of the cutter against what the thread asks for."""
    if length_mm < least_mm:
        raise InfeasibleError(
            f"{parameter} of {length_mm:.4g} mm is too short: {why} before the thread's end",
            parameter=parameter,
            value=length_mm,
            accepted=f"at least {math.ceil(least_mm * 1e3) / 1e3:g} mm",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class BlindHole:
    """What a blind hole must be drilled to.

    ``full_depth_mm`` is to the end of the full diameter, ``point_depth_mm`` to the drill's point.
    """

    full_depth_mm: float
    point_depth_mm: float


def blind_hole_depth(
    *,
    thread_length_mm: float,
    shoulder_distance_min_mm: float,
    drill_diameter_mm: float,
    point_angle_deg: float,
) -> BlindHole:
    """Depth of a blind hole that leaves the cutter room below the thread.

    Notes
    -----
    Source: derivation; the point adds ``D/2 / tan(point angle / 2)``.
    """
    full_mm = thread_length_mm + shoulder_distance_min_mm
    point_mm = drill_diameter_mm / 2 / math.tan(math.radians(point_angle_deg / 2))
    return BlindHole(full_depth_mm=full_mm, point_depth_mm=full_mm + point_mm)
