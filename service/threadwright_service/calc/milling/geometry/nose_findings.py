"""What the nose in hand leaves at root, flank and crest, as cautions."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import ThreadGroove
from threadwright_service.calc.milling.geometry.nose_fit import narrowest_flat_mm, root_limits
from threadwright_service.calc.milling.geometry.swept_groove import (
    SweptGroove,
    straight_end_radius_mm,
    swept_groove_of,
)
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Caution

SAME_RADIUS_MM: Final = 0.0005
"""Radii that print alike to a micrometre are one: Whitworth forms state a single radius."""


def root_findings(
    thread: ThreadLimits,
    groove: ThreadGroove,
    cutter: Cutter,
    root_diameter_mm: float,
    flat_mm: float,
) -> Iterator[Caution]:
    """The root against its limits; a flat below the least one is outside wherever it aims."""
    name, span = "minor" if groove.side == "external" else "major", root_limits(thread=thread)
    if span.max is not None and root_diameter_mm > span.max:
        over_mm, limit_mm, side = root_diameter_mm - span.max, span.max, "largest"
    elif span.min is not None and root_diameter_mm < span.min:
        over_mm, limit_mm, side = span.min - root_diameter_mm, span.min, "smallest"
    else:
        return
    remedy = "aim elsewhere in the tolerance or take another nose"
    least_flat_mm = narrowest_flat_mm(thread, groove, cutter)
    if flat_mm < least_flat_mm:
        wanted_mm = math.ceil(least_flat_mm * 100) / 100
        remedy = (
            f"no other aim mends that, but a nose flat of {wanted_mm:g} mm or more, or several "
            "cuts beside each other at each depth"
        )
    yield Caution(
        code="root-outside-limits",
        detail=f"at the pitch diameter aimed at, this nose makes a {name} diameter of "
        f"{root_diameter_mm:.4f} mm, {over_mm:.4f} mm beyond the {side} that "
        f"{thread.designation} allows ({limit_mm:.4f} mm): {remedy}",
    )


def radius_findings(thread: ThreadLimits, cutter: Cutter) -> Iterator[Caution]:
    """The nose against the standard's root radius."""
    least_mm, largest_mm = thread.root_radius.min, thread.root_radius.max
    radius_mm = cutter.nose_radius_mm or 0.0
    if least_mm is not None and radius_mm < least_mm - SAME_RADIUS_MM:
        what = f"a nose radius of {radius_mm:.3f} mm" if radius_mm else "a flat nose"
        yield Caution(
            code="root-radius",
            detail=f"{thread.designation} asks for a root radius of at least {least_mm:.3f} mm; "
            f"{what} leaves a sharper root",
        )
    if largest_mm is not None and radius_mm > largest_mm + SAME_RADIUS_MM:
        yield Caution(
            code="root-radius",
            detail=f"{thread.designation} allows a root radius of at most {largest_mm:.3f} mm; the "
            f"nose has {radius_mm:.3f} mm",
        )


def cut_crest_findings(
    thread: ThreadLimits, swept: SweptGroove, centre_mm: float, blank_diameter_mm: float | None
) -> Iterator[Caution]:
    """Whether neighbouring grooves meet at the crest that the blank or hole leaves."""
    groove = swept.groove

    def width_mm(diameter_mm: float) -> float:
        return groove.pitch_mm - swept.width_mm(diameter_mm / 2, centre_mm)

    nearer = min if groove.side == "external" else max
    crest_mm = groove.crest_diameter_mm
    if blank_diameter_mm is not None:
        crest_mm = nearer(crest_mm, blank_diameter_mm)
    if width_mm(crest_mm) > 0:
        return
    yield Caution(
        code="crest-cut-away",
        detail="neighbouring grooves meet at the crest, so the crest diameter is reduced: the "
        "groove is too wide there for the pitch",
    )
    limits = thread.limits
    name, last_mm = (
        ("smallest major", limits.major_diameter.min)
        if groove.side == "external"
        else ("largest minor", limits.minor_diameter.max)
    )
    if last_mm is not None and width_mm(last_mm) <= 0:
        yield Caution(
            code="crest-outside-limits",
            detail=f"neighbouring grooves meet before the {name} diameter ({last_mm:.4f} mm)",
        )


def flank_findings(
    swept: SweptGroove, centre_mm: float, root_diameter_mm: float
) -> Iterator[Caution]:
    """The flank from crest to root."""
    outward = swept.groove.outward
    low_mm, high_mm = swept.contact_range_mm(root_diameter_mm)
    deepest_mm = low_mm if outward > 0 else high_mm
    ends_mm = [straight_end_radius_mm(flank, centre_mm, outward) for flank in swept.flanks]
    crest_radius_mm = swept.groove.crest_diameter_mm / 2
    short_mm = max(
        outward * ((crest_radius_mm if end_mm is None else end_mm) - deepest_mm)
        for end_mm in ends_mm
    )
    if short_mm > 0:
        yield Caution(
            code="flank-not-straight",
            detail=f"the nose's end leaves the flank {short_mm:.3f} mm short of where the "
            "mating crest begins: a smaller cutter or a narrower nose makes it straight",
        )


def crest_findings(thread: ThreadLimits, blank_diameter_mm: float | None) -> Iterator[Caution]:
    """The blank or hole against the limits of the crest; a thread mill does not make it."""
    if blank_diameter_mm is None:
        return
    external = thread.side == "external"
    span = thread.limits.major_diameter if external else thread.limits.minor_diameter
    what, name = ("blank", "major") if external else ("hole", "minor")
    for limit_mm, is_outside, side in (
        (span.max, span.max is not None and blank_diameter_mm > span.max, "above the largest"),
        (span.min, span.min is not None and blank_diameter_mm < span.min, "below the smallest"),
    ):
        if is_outside:
            yield Caution(
                code="crest-outside-limits",
                detail=f"the {what} of {blank_diameter_mm:.4f} mm is {side} {name} diameter "
                f"({limit_mm:.4f} mm); threading does not change it",
            )


def angle_findings(groove: ThreadGroove, cutter: Cutter) -> Iterator[Caution]:
    """A cutter whose angle is off the form's."""
    off_deg = cutter.included_angle_deg - sum(groove.flank_angles_deg)
    if abs(off_deg) < 1e-9:
        return
    functional_mm = angle_functional_mm(groove=groove, cutter=cutter)
    yield Caution(
        code="cutter-angle",
        detail=f"the cutter's included angle is {off_deg:+.3f}° off the form's: the functional "
        f"pitch diameter is {functional_mm:+.4f} mm off the simple one, which no depth "
        "corrects; the depth itself allows for the angle",
    )


def angle_functional_mm(*, groove: ThreadGroove, cutter: Cutter) -> float:
    """What the cutter's angle alone adds to the functional over the simple pitch diameter [mm].

    Outside positive, inside negative: the mating thread finds less room either way.

    Notes
    -----
    Source: derivation: the perfect profile touches at crest or root, without any helix.
    """
    ring = swept_groove_of(groove=replace(groove, lead_mm=0.0), cutter=cutter)
    centre_mm = ring.centre_radius_mm(groove.pitch_diameter_mm / 2)
    root_mm = 2 * (centre_mm - groove.outward * cutter.radius_mm)
    low_mm, high_mm = ring.contact_range_mm(root_mm)
    return 2 * ring.functional_radius_mm(centre_mm, low_mm, high_mm) - groove.pitch_diameter_mm
