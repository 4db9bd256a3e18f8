"""Which noses can cut a thread at all: what keeps the root within its limits, at which aim."""

from __future__ import annotations

import math
from dataclasses import replace

from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.depth import equivalent_nose_flat_mm
from threadwright_service.calc.milling.geometry.envelope import involute_mm
from threadwright_service.calc.milling.geometry.groove import ThreadGroove, cutter_flank_angles_deg
from threadwright_service.calc.milling.geometry.swept_groove import SweptGroove, swept_groove_of
from threadwright_service.calc.threads.thread import Span, ThreadLimits


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
    narrow_mm, wide_mm = flat_limits_mm(swept_groove_of(groove=groove, cutter=sharp), span)
    has_both = span.max is not None and span.min is not None
    return (narrow_mm + wide_mm) / 2 if has_both else wide_mm


def flat_limits_mm(swept: SweptGroove, span: Span) -> tuple[float, float]:
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


def narrowest_flat_mm(thread: ThreadLimits, groove: ThreadGroove, cutter: Cutter) -> float:
    """Narrowest flat with a root inside its limits, wherever the pitch diameter is aimed [mm].

    Notes
    -----
    Source: derivation; the pitch diameter where it leaves the most metal.
    """
    limits = thread.in_millimetres().limits.pitch_diameter
    most_metal_mm = limits.max if groove.side == "external" else limits.min
    return _flats_at_mm(thread, groove, cutter, most_metal_mm)[0]


def widest_flat_mm(thread: ThreadLimits, groove: ThreadGroove, cutter: Cutter) -> float:
    """Widest flat with a root inside its limits, wherever the pitch diameter is aimed [mm].

    Notes
    -----
    Source: derivation; the pitch diameter where it leaves the least metal.
    """
    limits = thread.in_millimetres().limits.pitch_diameter
    least_metal_mm = limits.min if groove.side == "external" else limits.max
    return _flats_at_mm(thread, groove, cutter, least_metal_mm)[1]


def _flats_at_mm(
    thread: ThreadLimits, groove: ThreadGroove, cutter: Cutter, pitch_diameter_mm: float | None
) -> tuple[float, float]:
    """As :func:`flat_limits_mm`, at a pitch diameter; at the groove's own without one."""
    if pitch_diameter_mm is not None:
        groove = replace(groove, pitch_diameter_mm=pitch_diameter_mm)
    return flat_limits_mm(swept_groove_of(groove=groove, cutter=cutter), root_limits(thread=thread))


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
    widest_mm = widest_flat_mm(thread, groove, cutter)
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


def largest_tangent_radius_mm(groove: ThreadGroove, cutter: Cutter) -> float:
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
