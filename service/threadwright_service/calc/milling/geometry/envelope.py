"""The exact groove that a cutter of revolution leaves when its axis is swept along a helix.

The cutter's axis stays parallel to the thread's at the distance e and rises by the lead L in
one turn, p = L/(2 pi) for each radian. In the section through the thread's axis a point at the
radius r is taken off up to the half width::

    g(r) = max over d of  p d + W(rho),     rho**2 = r**2 + e**2 - 2 r e cos(d)

where W is the half width of the cutter at its own radius rho. Hand and direction of travel only
mirror d, so they do not enter. Each flank is a half profile of its own.

**Straight flanks.** With the slope t = tan(flank angle) and K = p/t the maximum stands at
cos(d) = (K² + sqrt((r² - K²)(e² - K²)))/(r e), which is the cosine of a difference of two angles:
d = ``|acos(K/e) - acos(K/r)|`` and rho = ``|sqrt(r² - K²) - sqrt(e² - K²)|``. Put in::

    g(r) = w/2 + rc t ± t (F(r) - F(e)),    F(x) = sqrt(x² - K²) - K acos(K/x)

plus outside, minus inside: the flank is a piece of an involute helicoid, and its slope
``t sqrt(1 - (K/r)²)`` does not depend on the cutter. No approximation is made, so no bound is
needed. It holds while r and e exceed K and rho stays on the straight part of the profile.

**Elsewhere** (the nose, corners, flanks steeper than the helix allows) the maximum is taken over
all points of the profile where it can stand: the stationary point of each straight part, its two
ends, and on an arc the stationary point, found by bracketing until it moves by less than
1e-12 mm.

Source of all of it: derivation, checked in the tests against a dense sampling of the definition.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

NOT_CUT_MM: Final = -math.inf
"""Half width at a radius that the cutter does not reach."""

_STEP_MM: Final = 1e-12
_SAMPLES: Final = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A straight part of a half profile.

    The half width is ``outer_half_width_mm`` at ``outer_radius_mm`` and grows by ``slope_ratio``,
    the tangent of the flank angle, for each millimetre towards the cutter's axis.
    """

    outer_radius_mm: float
    inner_radius_mm: float
    outer_half_width_mm: float
    slope_ratio: float

    def half_width_mm(self, cutter_radius_mm: float) -> float:
        """Half width at a radius of the cutter, W [mm]."""
        return self.outer_half_width_mm + self.slope_ratio * (
            self.outer_radius_mm - cutter_radius_mm
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """A rounded part of a half profile: convex, from a flank's tangent point to the tip.

    ``flank_angle_deg`` is that of the flank that it is tangent to; the tip is at
    ``centre_radius_mm + arc_radius_mm``, where the half width is ``centre_half_width_mm``.
    """

    centre_radius_mm: float
    centre_half_width_mm: float
    arc_radius_mm: float
    flank_angle_deg: float

    @property
    def outer_radius_mm(self) -> float:
        """The tip [mm]."""
        return self.centre_radius_mm + self.arc_radius_mm

    @property
    def inner_radius_mm(self) -> float:
        """The tangent point [mm]."""
        return self.centre_radius_mm + self.arc_radius_mm * math.sin(
            math.radians(self.flank_angle_deg)
        )

    def half_width_mm(self, cutter_radius_mm: float) -> float:
        """Half width at a radius of the cutter, W [mm]."""
        rise_mm = cutter_radius_mm - self.centre_radius_mm
        return self.centre_half_width_mm + math.sqrt(max(0.0, self.arc_radius_mm**2 - rise_mm**2))


HalfProfile = tuple[Line | Arc, ...]
"""From the tip inwards; each part begins where the one before ends."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutterProfile:
    """A cutter of revolution: its radius and the half profile of each flank.

    One row of teeth. A full-length cutter has the same row at every pitch and cuts the same
    section in one turn, since its rows' grooves lie side by side.
    """

    radius_mm: float
    pressure: HalfProfile
    clearance: HalfProfile


def flat_nosed(
    *, radius_mm: float, nose_flat_mm: float, flank_angle_deg: float, inner_radius_mm: float = 0.0
) -> HalfProfile:
    """Half profile of a straight flank that meets a flat nose at a sharp corner.

    Notes
    -----
    Source: derivation.
    """
    return (
        Line(
            outer_radius_mm=radius_mm,
            inner_radius_mm=inner_radius_mm,
            outer_half_width_mm=nose_flat_mm / 2,
            slope_ratio=math.tan(math.radians(flank_angle_deg)),
        ),
    )


def round_nosed(
    *, radius_mm: float, nose_radius_mm: float, flank_angle_deg: float, inner_radius_mm: float = 0.0
) -> HalfProfile:
    """Half profile of a straight flank that runs tangent into a rounded nose.

    Notes
    -----
    Source: derivation.
    """
    angle = math.radians(flank_angle_deg)
    arc = Arc(
        centre_radius_mm=radius_mm - nose_radius_mm,
        centre_half_width_mm=0.0,
        arc_radius_mm=nose_radius_mm,
        flank_angle_deg=flank_angle_deg,
    )
    flank = Line(
        outer_radius_mm=arc.inner_radius_mm,
        inner_radius_mm=inner_radius_mm,
        outer_half_width_mm=nose_radius_mm * math.cos(angle),
        slope_ratio=math.tan(angle),
    )
    return (arc, flank)


def involute_mm(radius_mm: float, base_mm: float) -> float:
    """``F(x) = sqrt(x² - K²) - K acos(K/x)`` for x ≥ K; its slope is ``sqrt(1 - (K/x)²)`` [mm].

    Notes
    -----
    Source: derivation.
    """
    return math.sqrt(radius_mm * radius_mm - base_mm * base_mm) - base_mm * math.acos(
        base_mm / radius_mm
    )


def half_width_mm(
    half_profile: HalfProfile, *, radius_mm: float, centre_radius_mm: float, reach_mm: float
) -> float:
    """Half width of the groove at a radius of the thread, exact for any half profile [mm].

    Parameters
    ----------
    half_profile : HalfProfile
        One flank of the cutter.
    radius_mm : float
        Radius of the thread, r > 0 [mm].
    centre_radius_mm : float
        Radius of the path of the cutter's axis, e > 0 [mm].
    reach_mm : float
        Lead for each radian, p = L/(2 pi) ≥ 0 [mm].

    Returns
    -------
    float
        g(r) from the middle of the nose's track [mm]; minus infinity where nothing is cut.

    Notes
    -----
    Source: derivation (see the module).
    """
    best_mm = NOT_CUT_MM
    for part in half_profile:
        found_mm = (
            _line_mm(part, radius_mm, centre_radius_mm, reach_mm)
            if isinstance(part, Line)
            else _arc_mm(part, radius_mm, centre_radius_mm, reach_mm)
        )
        best_mm = max(best_mm, found_mm)
    return best_mm


def _at_mm(
    part: Line | Arc, cutter_radius_mm: float, radius_mm: float, centre_mm: float, reach_mm: float
) -> float:
    """``p d + W`` where a circle of the cutter passes through the radius, else not cut [mm]."""
    if not abs(radius_mm - centre_mm) <= cutter_radius_mm <= radius_mm + centre_mm:
        return NOT_CUT_MM
    cosine = (radius_mm**2 + centre_mm**2 - cutter_radius_mm**2) / (2 * radius_mm * centre_mm)
    angle = math.acos(min(1.0, max(-1.0, cosine)))
    return reach_mm * angle + part.half_width_mm(cutter_radius_mm)


def _line_mm(line: Line, radius_mm: float, centre_mm: float, reach_mm: float) -> float:
    """The largest of the stationary point and the two ends of a straight part [mm]."""
    best_mm = max(
        _at_mm(line, line.outer_radius_mm, radius_mm, centre_mm, reach_mm),
        _at_mm(line, line.inner_radius_mm, radius_mm, centre_mm, reach_mm),
    )
    if line.outer_radius_mm > radius_mm + centre_mm > line.inner_radius_mm:
        # The circle through the far side of the thread's axis: the angle ends at half a turn.
        best_mm = max(best_mm, _at_mm(line, radius_mm + centre_mm, radius_mm, centre_mm, reach_mm))
    if line.slope_ratio <= 0:
        return best_mm
    base_mm = reach_mm / line.slope_ratio
    if min(radius_mm, centre_mm) <= base_mm:
        return best_mm
    stationary_mm = abs(math.sqrt(radius_mm**2 - base_mm**2) - math.sqrt(centre_mm**2 - base_mm**2))
    if line.inner_radius_mm <= stationary_mm <= line.outer_radius_mm:
        angle = abs(math.acos(base_mm / centre_mm) - math.acos(base_mm / radius_mm))
        best_mm = max(best_mm, reach_mm * angle + line.half_width_mm(stationary_mm))
    return best_mm


def _arc_mm(arc: Arc, radius_mm: float, centre_mm: float, reach_mm: float) -> float:
    """The largest value on a rounded part [mm]."""
    low_mm = max(arc.inner_radius_mm, abs(radius_mm - centre_mm))
    high_mm = min(arc.outer_radius_mm, radius_mm + centre_mm)
    if low_mm > high_mm:
        return NOT_CUT_MM

    def value_mm(tilt: float) -> float:
        cutter_mm = arc.centre_radius_mm + arc.arc_radius_mm * math.sin(tilt)
        cutter_mm = min(high_mm, max(low_mm, cutter_mm))
        return _at_mm(arc, cutter_mm, radius_mm, centre_mm, reach_mm)

    def rise(tilt: float) -> float:
        # Positive where the value still grows towards the tangent point, i.e. past the maximum.
        sine, cosine_of_tilt = math.sin(tilt), math.cos(tilt)
        cutter_mm = arc.centre_radius_mm + arc.arc_radius_mm * sine
        cosine = (radius_mm**2 + centre_mm**2 - cutter_mm**2) / (2 * radius_mm * centre_mm)
        chord_mm = radius_mm * centre_mm * math.sqrt(max(0.0, 1 - cosine * cosine))
        return sine * chord_mm - reach_mm * cutter_mm * cosine_of_tilt

    first, last = (
        math.asin(min(1.0, (bound_mm - arc.centre_radius_mm) / arc.arc_radius_mm))
        for bound_mm in (low_mm, high_mm)
    )
    best_mm = max(value_mm(first), value_mm(last))
    # The circle grows ever slower with d beyond this radius; there the maximum may not be single.
    inflection_mm = math.sqrt(abs(radius_mm**2 - centre_mm**2))
    pieces = 1 if high_mm <= inflection_mm else _SAMPLES
    for piece in range(pieces):
        near = first + (last - first) * piece / pieces
        far = first + (last - first) * (piece + 1) / pieces
        if rise(near) < 0 < rise(far):
            best_mm = max(best_mm, value_mm(zero_between(rise, near, far)))
    return best_mm


def zero_between(
    function: Callable[[float], float], low: float, high: float, *, step: float = _STEP_MM
) -> float:
    """Where a function that changes sign between two places is zero.

    Regula falsi with the Illinois rule, kept inside the bracket. It ends when the bracket, or
    two moves in a row, are smaller than ``step``.

    Notes
    -----
    Source: derivation; the rule is common practice in numerical work.
    """
    at_low, at_high = function(low), function(high)
    middle, kept, small_moves = low, 0, 0
    while high - low >= step and small_moves < 2:
        before = middle
        middle = (low * at_high - high * at_low) / (at_high - at_low)
        if not low < middle < high:
            middle = (low + high) / 2
        small_moves = small_moves + 1 if abs(middle - before) < step else 0
        at_middle = function(middle)
        if at_middle == 0:
            break
        if (at_middle > 0) == (at_high > 0):
            high, at_high = middle, at_middle
            at_low, kept = (at_low / 2 if kept < 0 else at_low), -1
        else:
            low, at_low = middle, at_middle
            at_high, kept = (at_high / 2 if kept > 0 else at_high), 1
    return middle
