"""How many helices make a thread, and how many turns each of them has."""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import ThreadGroove
from threadwright_service.calc.milling.path.heights import Heights
from threadwright_service.calc.trail import Formula, Trail

OVERLAP_DEG: Final = 20.0

TURNS: Final = Formula(
    "turns of the helix",
    "n",
    "(z_top - z_low) / L",
    "z_top z_low L",
    unit="",
    source="derivation",
)


def helices_of(*, groove: ThreadGroove, cutter: Cutter) -> int:
    """The starts with one row of teeth; one with rows over the length, which make all at once."""
    return 1 if cutter.profile == "full" else max(1, round(groove.lead_mm / groove.pitch_mm))


def turns_ratio_of(
    *,
    groove: ThreadGroove,
    cutter: Cutter,
    heights: Heights,
    overlap_deg: float | None = None,
    trail: Trail | None = None,
) -> float:
    """Turns of a helix: over the whole length with one row of teeth, one and a little with many.

    Parameters
    ----------
    groove, cutter, heights
        The groove, what cuts it, and between which heights.
    overlap_deg : float or None
        What a full-length cutter goes on after one turn; 20° if ``None``.
    trail : Trail, optional
        Takes assumption, cautions and working.

    Raises
    ------
    OutOfRangeError
        If an overlap is given for one row of teeth.

    Notes
    -----
    Source: derivation; 20° is common practice.
    """
    if cutter.profile == "full":
        return _turns_of_full_length(groove, heights, overlap_deg, trail)
    return _turns_of_one_row(groove, heights, overlap_deg, trail)


def _turns_of_one_row(
    groove: ThreadGroove, heights: Heights, overlap_deg: float | None, trail: Trail | None
) -> float:
    """Turns of one row of teeth: over the whole length."""
    if overlap_deg is not None:
        raise OutOfRangeError(
            "overlap_deg is for a full-length cutter; one row of teeth goes over the whole length",
            parameter="overlap_deg",
            value=overlap_deg,
            accepted="left out, or a cutter_profile of full",
        )
    turns_ratio = TURNS(trail, heights.top_mm, heights.bottom_mm, groove.lead_mm)
    if trail is not None:
        trail.caution(
            "partial-first-turn",
            "the groove runs out through the face, so the first turn is cut short to a thin edge: "
            "a chamfer down to the root leaves none, else take the partial turn off",
        )
    return turns_ratio


def _turns_of_full_length(
    groove: ThreadGroove, heights: Heights, overlap_deg: float | None, trail: Trail | None
) -> float:
    """Turns of a full-length cutter: one and the overlap."""
    if overlap_deg is None:
        overlap_deg = OVERLAP_DEG
        if trail is not None:
            trail.assume(
                "overlap_deg", overlap_deg, "none given; 10 to 30° are common practice", unit="deg"
            )
    if trail is not None:
        span_mm = heights.usable_length_mm + groove.lead_mm - groove.pitch_mm
        trail.caution(
            "cutter-length",
            f"the teeth of the full-length cutter must span at least {span_mm:.3f} mm from the "
            "lowest to the highest row; its length is not known here",
        )
    return 1 + overlap_deg / 360
