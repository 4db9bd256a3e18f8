"""Room for the cutter: neck, shank, holder, hole and blind bottom."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.milling.geometry.cone import CYLINDER, Cone
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import ThreadGroove
from threadwright_service.calc.milling.path.heights import (
    AXIAL_CLEARANCE_MM,
    Heights,
    depth_below_blank_mm,
)
from threadwright_service.calc.trail import Trail

NECK_CLEARANCE_MM: Final = 0.1
RECOMMENDED_SHARE_RATIO: Final = 0.65
DRILL_POINT_DEG: Final = 118.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BlindHole:
    """What a blind hole must be drilled to."""

    full_depth_mm: float
    """To the end of the full diameter."""
    point_depth_mm: float
    """To the tip of the drill's point."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearances:
    """Room that is left, and the largest cutter for the hole; ``None`` where it does not apply."""

    neck_clearance_mm: float
    """Radial, between neck and crest at full depth."""
    neck_length_min_mm: float | None
    """Neck that keeps a shank, which would touch the crest, above the face; null
    where none would."""
    stick_out_min_mm: float
    """Least that keeps the holder above the face."""
    entry_clearance_mm: float | None
    """Radial, between the teeth and the hole on the way in; null outside."""
    largest_cutter_diameter_mm: float | None
    """Largest that goes into the hole with room all round; null outside."""
    recommended_cutter_diameter_mm: float | None
    """About two thirds of the thread, if the hole lets it in; null outside."""
    shoulder_distance_min_mm: float
    """From the end of the full thread to a shoulder or bottom, for the whole thread length."""
    blind_hole: BlindHole | None
    """What a blind hole must be drilled to; null outside."""


def check_clearances(
    *,
    groove: ThreadGroove,
    cutter: Cutter,
    root_diameter_mm: float,
    blank_diameter_mm: float,
    heights: Heights,
    thread_length_mm: float | None = None,
    drill_point_angle_deg: float | None = None,
    cone: Cone = CYLINDER,
    trail: Trail | None = None,
) -> Clearances:
    """Refuse a cutter that collides or does not reach; note one that is larger than is wise.

    Parameters
    ----------
    root_diameter_mm : float
        The final tip diameter [mm].
    blank_diameter_mm : float
        Blank outside, hole inside [mm].
    thread_length_mm, drill_point_angle_deg : float, optional
        For the depth of a blind hole, inside [mm], [deg]; 118° is assumed.
    cone : Cone
        Of the thread; a hole that narrows with it must let the cutter in down to the end.

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
        hole_mm = 2 * min(
            blank_diameter_mm / 2, cone.radius_mm(blank_diameter_mm / 2, heights.bottom_mm)
        )
        largest_mm = largest_cutter_diameter_mm(hole_diameter_mm=hole_mm)
        entry_mm = (hole_mm - cutter.diameter_mm) / 2
        recommended_mm = min(largest_mm, RECOMMENDED_SHARE_RATIO * groove.contact_diameter_mm)
        _check_hole(cutter, hole_mm, largest_mm, recommended_mm, trail)
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
        shoulder_distance_min_mm=heights.shoulder_distance_min_mm,
        blind_hole=_blind_hole(
            groove, blank_diameter_mm, heights, thread_length_mm, drill_point_angle_deg, trail
        ),
    )


def _blind_hole(
    groove: ThreadGroove,
    hole_diameter_mm: float,
    heights: Heights,
    thread_length_mm: float | None,
    point_angle_deg: float | None,
    trail: Trail | None,
) -> BlindHole | None:
    if groove.side == "external":
        if point_angle_deg is not None:
            raise OutOfRangeError(
                "drill_point_angle_deg is given for an external thread",
                parameter="drill_point_angle_deg",
                value=point_angle_deg,
                accepted="left out, or an internal thread",
            )
        return None
    if thread_length_mm is None:
        return None
    if point_angle_deg is None:
        point_angle_deg = DRILL_POINT_DEG
        if trail is not None:
            trail.assume(
                "drill_point_angle_deg",
                point_angle_deg,
                "none given; the usual point of a twist drill (common practice)",
                unit="deg",
            )
    return blind_hole_depth(
        thread_length_mm=thread_length_mm,
        shoulder_distance_min_mm=heights.shoulder_distance_min_mm,
        drill_diameter_mm=hole_diameter_mm,
        point_angle_deg=point_angle_deg,
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
