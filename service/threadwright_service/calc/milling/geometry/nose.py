"""Which noses can cut a thread at all, and what the one in hand leaves at root and crest."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.depth import (
    equivalent_nose_flat_mm,
    nominal_root_diameter_mm,
)
from threadwright_service.calc.milling.geometry.envelope import involute_mm
from threadwright_service.calc.milling.geometry.groove import ThreadGroove, cutter_flank_angles_deg
from threadwright_service.calc.milling.geometry.swept_groove import (
    SweptGroove,
    straight_end_radius_mm,
    swept_groove_of,
)
from threadwright_service.calc.threads.thread import Span, ThreadLimits
from threadwright_service.calc.trail import Caution, Trail

_SAME_RADIUS_MM: Final = 0.0005
"""Radii that print alike to a micrometre are one: Whitworth forms state a single radius."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoseCheck:
    """Which noses can cut the thread, and what the one in hand leaves.

    The limits hold for this cutter's diameter and flank angles at the pitch diameter aimed at,
    over-cut included.
    """

    nose_flat_mm: float
    """The flat in hand, or the flat that a rounded nose counts for."""
    nose_flat_min_mm: float
    """Narrowest flat that keeps the root within its limits."""
    nose_flat_max_mm: float
    """Widest flat that keeps the root within its limits."""
    nose_radius_min_mm: float | None
    """Smallest radius of a rounded nose that keeps the root and its radius within their limits;
    null where no rounded nose does."""
    nose_radius_max_mm: float | None
    """Largest radius that does so and leaves the flank straight down to the mating crest; null
    where none does."""
    root_diameter_max_mm: float | None
    """Largest diameter that the tip may make; null where nothing bounds it."""
    root_diameter_min_mm: float | None
    """Smallest diameter that the tip may make; null where nothing bounds it."""
    crest_width_mm: float
    """What is left of the crest at the groove's crest diameter."""
    functional_diameter_mm: float
    """What a cutter's angle off the form's adds to the functional over the simple
    pitch diameter."""
    angle_pitch_diameter_mm: float
    """How far off the simple pitch diameter would be, were the depth taken from the
    form's angle."""
    findings: tuple[Caution, ...]
    """What root, crest and flank lack with this nose, as the cautions tell it too."""


def check_nose(
    *,
    thread: ThreadLimits,
    groove: ThreadGroove,
    cutter: Cutter,
    root_diameter_mm: float,
    blank_diameter_mm: float | None = None,
    trail: Trail | None = None,
) -> NoseCheck:
    """Judge the nose in hand against the standard's root and crest; findings become cautions.

    Parameters
    ----------
    thread : ThreadLimits
        The limits of size.
    groove : ThreadGroove
        The groove at the pitch diameter aimed at.
    root_diameter_mm : float
        The root that is programmed, over-cut allowed for [mm].
    blank_diameter_mm : float or None
        Diameter before threading, outside the blank, inside the hole [mm]; ``None`` leaves the
        crest unjudged.

    Raises
    ------
    InfeasibleError
        If the nose is so wide that no pitch diameter within its tolerance gives a root inside
        the standard's limits.

    Notes
    -----
    Source: derivation. The root must clear the mating thread: outside it is no larger than the
    standard's largest minor diameter, or the basic minor diameter less the allowance where there
    is no limit; inside no smaller than the least major diameter.
    """
    metric = thread.in_millimetres()
    swept = swept_groove_of(groove=groove, cutter=cutter)
    span = root_limits(thread=metric)
    narrow_mm, wide_mm = _flat_limits_mm(swept, span)
    flat_mm = equivalent_nose_flat_mm(groove=groove, cutter=cutter)
    refuse_wide_nose(thread=metric, groove=groove, cutter=cutter)
    least_flat_mm, _ = flats_of_any_aim_mm(metric, groove, cutter)
    count_ratio = equivalent_nose_flat_mm(
        groove=groove, cutter=replace(cutter, nose_flat_mm=None, nose_radius_mm=1.0)
    )
    sharpest_mm = max(narrow_mm / count_ratio, metric.root_radius.min or 0.0)
    roundest_mm = min(wide_mm / count_ratio, _tangent_limit_mm(groove, cutter))
    if metric.root_radius.max is not None:
        roundest_mm = min(roundest_mm, metric.root_radius.max)
    is_any_round = sharpest_mm <= roundest_mm + _SAME_RADIUS_MM
    centre_mm = root_diameter_mm / 2 + groove.outward * cutter.radius_mm
    crest_mm = groove.pitch_mm - swept.width_mm(groove.crest_diameter_mm / 2, centre_mm)
    findings = (
        *_root_findings(metric, groove, span, root_diameter_mm, flat_mm, least_flat_mm),
        *_radius_findings(metric, cutter),
        *_flank_findings(swept, centre_mm, root_diameter_mm, crest_mm),
        *_crest_findings(metric, blank_diameter_mm),
        *_angle_findings(groove, cutter),
    )
    if trail is not None:
        for finding in findings:
            trail.caution(finding.code, finding.detail)
    return NoseCheck(
        nose_flat_mm=flat_mm,
        nose_flat_min_mm=narrow_mm,
        nose_flat_max_mm=wide_mm,
        nose_radius_min_mm=sharpest_mm if is_any_round else None,
        nose_radius_max_mm=roundest_mm if is_any_round else None,
        root_diameter_max_mm=span.max,
        root_diameter_min_mm=span.min,
        crest_width_mm=crest_mm,
        functional_diameter_mm=angle_functional_mm(groove=groove, cutter=cutter),
        angle_pitch_diameter_mm=angle_pitch_diameter_mm(groove=groove, cutter=cutter),
        findings=findings,
    )


def root_limits(*, thread: ThreadLimits) -> Span:
    """Limits of the diameter that the tip makes [mm]; ``None`` where there is none.

    Outside that is the minor, inside the major diameter. Where the standard sets no limit on the
    mating thread's side, the basic diameter stands in, outside less the allowance: the mating crest
    must clear. That is the largest minor diameter that ASME B1.1 and ISO 965 tables print.

    Notes
    -----
    Source: derivation.
    """
    metric = thread.in_millimetres()
    if metric.side == "external":
        minor = metric.limits.minor_diameter
        clear_mm = metric.basic.minor_diameter - metric.allowance
        largest_mm = clear_mm if minor.max is None else minor.max
        return Span(max=largest_mm, min=minor.min)
    major = metric.limits.major_diameter
    least_mm = metric.basic.major_diameter if major.min is None else major.min
    return Span(max=major.max, min=least_mm)


def groove_flat_mm(*, thread: ThreadLimits, groove: ThreadGroove, cutter: Cutter) -> float:
    """Flat of a groove that has its pitch diameter and a root inside the limits [mm].

    Parameters
    ----------
    cutter : Cutter
        For its diameter and angle; its nose does not count.

    Notes
    -----
    Source: derivation; the root in the middle of its limits, or on the one that the standard sets.
    """
    span = root_limits(thread=thread)
    sharp = replace(cutter, nose_flat_mm=0.0, nose_radius_mm=None)
    narrow_mm, wide_mm = _flat_limits_mm(swept_groove_of(groove=groove, cutter=sharp), span)
    has_both = span.max is not None and span.min is not None
    return (narrow_mm + wide_mm) / 2 if has_both else wide_mm


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


def angle_pitch_diameter_mm(*, groove: ThreadGroove, cutter: Cutter) -> float:
    """Error of the simple pitch diameter if the depth is taken from the form's angle [mm].

    Notes
    -----
    Source: derivation.
    """
    nominal = replace(cutter, included_angle_deg=sum(groove.flank_angles_deg))
    return nominal_root_diameter_mm(groove=groove, cutter=nominal) - nominal_root_diameter_mm(
        groove=groove, cutter=cutter
    )


def _flat_limits_mm(swept: SweptGroove, span: Span) -> tuple[float, float]:
    """Narrowest and widest flat that keep the root inside its limits [mm]."""
    deep_mm, shallow_mm = (
        (span.min, span.max) if swept.groove.side == "external" else (span.max, span.min)
    )
    narrow_mm = 0.0 if deep_mm is None else max(0.0, _flat_for_root_mm(swept, deep_mm))
    half_pitch_mm = swept.groove.pitch_mm / 2
    wide_mm = half_pitch_mm if shallow_mm is None else _flat_for_root_mm(swept, shallow_mm)
    return narrow_mm, max(0.0, min(half_pitch_mm, wide_mm))


def _flat_for_root_mm(swept: SweptGroove, root_diameter_mm: float) -> float:
    """The flat that reaches the pitch diameter at a given root, over-cut included [mm].

    On flanks that the helix leaves none of, the over-cut is left out.
    """
    groove = swept.groove
    radius_mm = groove.pitch_diameter_mm / 2
    centre_mm = root_diameter_mm / 2 + groove.outward * swept.cutter_radius_mm
    flat_mm = groove.pitch_mm / 2
    for flank in swept.flanks:
        base_mm = flank.base_mm if flank.base_mm < min(radius_mm, centre_mm) else 0.0
        reach_mm = abs(involute_mm(radius_mm, base_mm) - involute_mm(centre_mm, base_mm))
        flat_mm -= flank.slope_ratio * (swept.cutter_radius_mm - reach_mm)
    return flat_mm


def refuse_wide_nose(*, thread: ThreadLimits, groove: ThreadGroove, cutter: Cutter) -> None:
    """Refuse a nose that is too wide wherever in its tolerance the pitch diameter is aimed.

    Raises
    ------
    InfeasibleError
        Naming the nose flat or the nose radius.

    Notes
    -----
    Source: derivation.
    """
    thread = thread.in_millimetres()
    flat_mm = equivalent_nose_flat_mm(groove=groove, cutter=cutter)
    _, widest_mm = flats_of_any_aim_mm(thread, groove, cutter)
    if flat_mm <= widest_mm:
        return
    if cutter.nose_radius_mm:
        widest_mm *= cutter.nose_radius_mm / flat_mm
        parameter, value_mm = "cutter_nose_radius", cutter.nose_radius_mm
    else:
        parameter, value_mm = "cutter_nose_flat", flat_mm
    raise InfeasibleError(
        f"a nose of {value_mm:.4g} mm is too wide for {thread.designation}: before the pitch "
        "diameter is in its tolerance the root is already outside its limit",
        parameter=parameter,
        value=value_mm,
        accepted=f"at most {math.floor(widest_mm * 1e4) / 1e4:g} mm",
    )


def flats_of_any_aim_mm(
    thread: ThreadLimits, groove: ThreadGroove, cutter: Cutter
) -> tuple[float, float]:
    """Narrowest and widest flat with a root inside its limits, at whatever aim is best for it [mm].

    Notes
    -----
    Source: derivation; the pitch diameter at one or the other end of its tolerance.
    """
    thread = thread.in_millimetres()
    span, limits = root_limits(thread=thread), thread.limits.pitch_diameter
    deepest_mm, shallowest_mm = limits.min, limits.max
    if groove.side == "internal":
        deepest_mm, shallowest_mm = shallowest_mm, deepest_mm

    def at(pitch_diameter_mm: float | None) -> tuple[float, float]:
        aimed_mm = groove.pitch_diameter_mm if pitch_diameter_mm is None else pitch_diameter_mm
        aimed = replace(groove, pitch_diameter_mm=aimed_mm)
        return _flat_limits_mm(swept_groove_of(groove=aimed, cutter=cutter), span)

    return at(shallowest_mm)[0], at(deepest_mm)[1]


def _tangent_limit_mm(groove: ThreadGroove, cutter: Cutter) -> float:
    """Largest nose radius that leaves the flank straight down to the mating crest [mm].

    A circle in a V with the flank angles a1 and a2 has its centre at
    ``r (1/cos a1 + 1/cos a2) / (tan a1 + tan a2)`` above the V's root and touches a flank
    ``r sin a`` below its centre.
    """
    angles = [
        math.radians(angle) for angle in cutter_flank_angles_deg(groove=groove, cutter=cutter)
    ]
    tangents = sum(math.tan(angle) for angle in angles)
    below_pitch_mm = groove.outward * (groove.pitch_diameter_mm - groove.contact_diameter_mm) / 2
    room_mm = groove.pitch_mm / (2 * tangents) - below_pitch_mm
    centre_ratio = sum(1 / math.cos(angle) for angle in angles) / tangents
    touch_ratio = max(centre_ratio - math.sin(angle) for angle in angles)
    return max(0.0, room_mm) / touch_ratio


def _root_findings(
    thread: ThreadLimits,
    groove: ThreadGroove,
    span: Span,
    root_diameter_mm: float,
    flat_mm: float,
    least_flat_mm: float,
) -> Iterator[Caution]:
    """The root against its limits; a flat below the least one is outside wherever it aims."""
    name = "minor" if groove.side == "external" else "major"
    if span.max is not None and root_diameter_mm > span.max:
        over_mm, limit_mm, side = root_diameter_mm - span.max, span.max, "largest"
    elif span.min is not None and root_diameter_mm < span.min:
        over_mm, limit_mm, side = span.min - root_diameter_mm, span.min, "smallest"
    else:
        return
    remedy = "aim elsewhere in the tolerance or take another nose"
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


def _radius_findings(thread: ThreadLimits, cutter: Cutter) -> Iterator[Caution]:
    """The nose against the standard's root radius."""
    least_mm, largest_mm = thread.root_radius.min, thread.root_radius.max
    radius_mm = cutter.nose_radius_mm or 0.0
    if least_mm is not None and radius_mm < least_mm - _SAME_RADIUS_MM:
        what = f"a nose radius of {radius_mm:.3f} mm" if radius_mm else "a flat nose"
        yield Caution(
            code="root-radius",
            detail=f"{thread.designation} asks for a root radius of at least {least_mm:.3f} mm; "
            f"{what} leaves a sharper root",
        )
    if largest_mm is not None and radius_mm > largest_mm + _SAME_RADIUS_MM:
        yield Caution(
            code="root-radius",
            detail=f"{thread.designation} allows a root radius of at most {largest_mm:.3f} mm; the "
            f"nose has {radius_mm:.3f} mm",
        )


def _flank_findings(
    swept: SweptGroove, centre_mm: float, root_diameter_mm: float, crest_mm: float
) -> Iterator[Caution]:
    """The flank from crest to root."""
    outward = swept.groove.outward
    if crest_mm <= 0:
        yield Caution(
            code="crest-cut-away",
            detail="neighbouring grooves meet at the crest, so the crest diameter is reduced: the "
            "groove is too wide there for the pitch",
        )
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


def _crest_findings(thread: ThreadLimits, blank_diameter_mm: float | None) -> Iterator[Caution]:
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


def _angle_findings(groove: ThreadGroove, cutter: Cutter) -> Iterator[Caution]:
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
