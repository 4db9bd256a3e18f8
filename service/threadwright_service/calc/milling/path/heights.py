"""Heights of the path: lead-in, run-out, shoulder; how much full thread they leave."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import ThreadGroove
from threadwright_service.calc.milling.geometry.swept_groove import swept_groove_of
from threadwright_service.calc.trail import Formula, Trail

AXIAL_CLEARANCE_MM: Final = 0.1

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
    lead_in_mm : float or None
        Height of the start above the face [mm]; half a pitch, or the half width of the tooth at
        the blank if that is more, is assumed. A full-length cutter has none: it begins at its
        depth.

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
    land_mm = cutter.land_mm
    if land_mm is None:
        land_mm = 0.0
        if trail is not None and shoulder_distance_mm is not None:
            trail.assume(
                "cutter_land",
                0.0,
                "none given; the cutter is taken to end at the lower edge of its teeth",
                unit="mm",
            )
    top_mm = _top_mm(groove, cutter, tooth_mm, lead_in_mm, trail)
    need_mm = SHOULDER_NEED(trail, run_mm, rise_mm, tooth_mm, land_mm, AXIAL_CLEARANCE_MM)
    bottom_mm = BOTTOM_HEIGHT(trail, thread_length_mm, run_mm)
    gap_mm = None
    if shoulder_distance_mm is not None:
        _shoulder_far(thread_length_mm, shoulder_distance_mm, trail)
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
    groove: ThreadGroove,
    cutter: Cutter,
    tooth_mm: float,
    lead_in_mm: float | None,
    trail: Trail | None,
) -> float:
    """Height of the helix's upper end [mm]; notes a start inside the work."""
    clear_mm = max(groove.pitch_mm / 2, tooth_mm)
    if lead_in_mm is None:
        if trail is not None and cutter.profile == "single":
            trail.assume(
                "lead_in",
                clear_mm,
                "none given; half a pitch, or what the tooth needs to stand clear of the face",
                unit="mm",
            )
        return clear_mm
    if cutter.profile == "full":
        raise OutOfRangeError(
            "a full-length cutter begins at its depth and has no lead-in above the face",
            parameter="lead_in",
            value=lead_in_mm,
            accepted="left out, or a cutter_profile of single",
        )
    if lead_in_mm < clear_mm - 1e-9 and trail is not None:
        trail.caution(
            "start-in-the-work",
            f"the helix begins {lead_in_mm:.3f} mm above the face, where the tooth is already in "
            "the work: the first turn is cut short there and the arc leaves its mark",
        )
    return lead_in_mm


def _shoulder_far(
    thread_length_mm: float, shoulder_distance_mm: float, trail: Trail | None
) -> None:
    """Ask whether a distance as long as the thread was not taken from the face."""
    if trail is None or shoulder_distance_mm < thread_length_mm:
        return
    trail.caution(
        "shoulder-far",
        "the distance to the shoulder or the hole's bottom counts from the end of the thread: it "
        f"is taken to lie {thread_length_mm + shoulder_distance_mm:.4g} mm below the face. If "
        f"{shoulder_distance_mm:.4g} mm was measured from the face, the cutter would strike it",
    )


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
