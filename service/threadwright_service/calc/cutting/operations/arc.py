"""How a mill's tooth meets a straight or a circular wall, the same for all milling operations."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from threadwright_service.calc.cutting.operations.load import Cut, required
from threadwright_service.calc.errors import MissingInputError, OutOfRangeError
from threadwright_service.calc.milling.loads.engagement import (
    centre_radius_mm,
    engagement_angle_deg,
    outward_of,
)
from threadwright_service.calc.trail import Formula, Trail

STRAIGHT_ENGAGEMENT: Final = Formula(
    "angle over which a tooth is in a straight cut",
    "phi_s",
    "degrees(acos(1 - 2 * ae / Dc))",
    "ae Dc",
    unit="deg",
    source="derivation",
)
CENTRE_RATIO: Final = Formula(
    "feed of the centre over feed at the made diameter",
    "q",
    "e / Rf",
    "e Rf",
    unit="1",
    source="derivation; both go round in the same time",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """Engagement of a tooth, straight or circular."""

    engagement_deg: float
    centre_feed_ratio: float

    @property
    def sine_ratio(self) -> float:
        """Largest chip over feed of the centre; 1 from a quarter turn on."""
        return math.sin(math.radians(min(self.engagement_deg, 90.0)))


def straight_arc(*, radial_width_mm: float, diameter_mm: float, trail: Trail | None = None) -> Arc:
    """Engagement along a straight wall.

    Parameters
    ----------
    radial_width_mm : float
        Radial width, ae [mm], up to the cutter's diameter.
    diameter_mm : float
        Cutting diameter, Dc [mm].

    Raises
    ------
    OutOfRangeError
        If the width exceeds the diameter.

    Notes
    -----
    Source: derivation; 1 − cos φs = ae/rc.
    """
    if radial_width_mm > diameter_mm:
        raise OutOfRangeError(
            f"a radial width of {radial_width_mm:g} mm is more than the cutter's diameter of "
            f"{diameter_mm:g} mm",
            parameter="radial_width",
            value=radial_width_mm,
            accepted=f"up to {diameter_mm:g} mm",
        )
    return Arc(
        engagement_deg=STRAIGHT_ENGAGEMENT(trail, radial_width_mm, diameter_mm),
        centre_feed_ratio=1.0,
    )


def arc_of(cut: Cut, *, diameter_mm: float | None = None, trail: Trail | None = None) -> Arc:
    """Engagement of a case: circular if it has a side, else straight.

    Parameters
    ----------
    cut : Cut
        Tool, engagement, material.
    diameter_mm : float, optional
        Effective cutting diameter if not the tool's.

    Raises
    ------
    MissingInputError
        If the radial width, or on a circle the made diameter, is missing.
    OutOfRangeError, InfeasibleError
        If the cut does not fit the cutter or the hole.

    Notes
    -----
    Source: derivation; see :mod:`threadwright_service.calc.milling.loads.engagement`.
    """
    engagement = cut.engagement
    diameter_mm = cut.tool.diameter_mm if diameter_mm is None else diameter_mm
    width_mm = required(
        engagement.radial_width_mm,
        "radial_width",
        "the radial width of the cut is missing; the chip follows from it",
    )
    if engagement.side is None:
        if engagement.made_diameter_mm is not None:
            raise MissingInputError(
                "a made diameter is given, but not whether it is outside or inside",
                parameter="side",
                accepted="external or internal",
            )
        return straight_arc(radial_width_mm=width_mm, diameter_mm=diameter_mm, trail=trail)
    made_mm = required(
        engagement.made_diameter_mm,
        "made_diameter",
        "the diameter that the cut makes is missing; the centre's feed follows from it",
    )
    before_mm = made_mm / 2 + outward_of(engagement.side) * width_mm
    if before_mm <= 0:
        raise OutOfRangeError(
            f"a layer of {width_mm:g} mm is thicker than the hole's radius",
            parameter="radial_width",
            value=width_mm,
            accepted=f"below {made_mm / 2:g} mm",
        )
    centre_mm = centre_radius_mm(
        side=engagement.side, made_radius_mm=made_mm / 2, cutter_radius_mm=diameter_mm / 2
    )
    return Arc(
        engagement_deg=engagement_angle_deg(
            before_radius_mm=before_mm,
            made_radius_mm=made_mm / 2,
            centre_radius_mm=centre_mm,
            cutter_radius_mm=diameter_mm / 2,
            trail=trail,
        ),
        centre_feed_ratio=CENTRE_RATIO(trail, centre_mm, made_mm / 2),
    )


def mean_of_revolution_n(
    *, scale_n_per_mm: float, feed_mm: float, exponent_ratio: float, arc: Arc, teeth: int
) -> float:
    """Tangential force of all teeth, mean over a revolution [N].

    Parameters
    ----------
    scale_n_per_mm : float
        kc1.1 times the edge's width [N/mm^(1−m)].
    feed_mm : float
        Feed of the centre for each tooth [mm].
    exponent_ratio : float
        m of the specific force.
    arc : Arc
        Engagement.
    teeth : int
        Number of teeth.

    Notes
    -----
    Source: derivation; the integral of kc·b·(f sin φ)^(1−m) over the arc by Simpson's rule in
    the square root of the angle, where the integrand is smooth.
    """
    power = 1 - exponent_ratio
    end = math.sqrt(math.radians(arc.engagement_deg))
    steps = 32
    total = 0.0
    for index in range(steps + 1):
        root = end * index / steps
        weight = 1 if index in (0, steps) else 4 if index % 2 else 2
        total += weight * 2 * root * max(0.0, math.sin(root * root)) ** power
    integral = total * end / steps / 3
    return float(scale_n_per_mm * feed_mm**power * integral * teeth / (2 * math.pi))


def largest_of_teeth(*, arc: Arc, teeth: int, exponent_ratio: float, lag_deg: float = 0.0) -> float:
    """Largest force of the teeth in the cut together, over that of a straight edge at its peak.

    Parameters
    ----------
    arc : Arc
        Engagement.
    teeth : int
        Number of teeth.
    exponent_ratio : float
        m of the specific force.
    lag_deg : float
        How far the upper end of a helical edge lags behind its lower end [deg]; 0 for a straight
        one. The edge is then spread over the arc and only a part of it cuts at once.

    Notes
    -----
    Source: derivation. The force of an element of edge goes with (sin φ)^(1−m); the sum over all
    elements and teeth is searched on a fine grid of the cutter's angle.
    """
    power = 1 - exponent_ratio
    count = 180
    step = arc.engagement_deg / count
    sines = [math.sin(math.radians(index * step)) ** power for index in range(count)]
    sines.append(max(0.0, math.sin(math.radians(arc.engagement_deg))) ** power)
    running = [0.0]
    for left, right in pairwise(sines):
        running.append(running[-1] + (left + right) / 2 * step)
    # Where the edge lags by whole tooth pitches, each of them holds the whole arc of some tooth,
    # always: only the rest of the lag makes the force swing.
    pitch_deg = 360.0 / teeth
    whole, rest_deg = divmod(lag_deg, pitch_deg)

    def at(values: list[float], angle_deg: float) -> float:
        place = min(max(angle_deg / step, 0.0), float(count))
        index = min(int(place), count - 1)
        return values[index] + (place - index) * (values[index + 1] - values[index])

    def of_one(angle_deg: float) -> float:
        if lag_deg == 0:
            return at(sines, angle_deg) if 0 <= angle_deg <= arc.engagement_deg else 0.0
        return (at(running, angle_deg) - at(running, angle_deg - rest_deg)) / lag_deg

    steady = whole * running[-1] / lag_deg if lag_deg else 0.0
    span_deg = arc.engagement_deg + rest_deg
    if arc.engagement_deg <= 90 and span_deg <= pitch_deg:
        # One tooth alone, and the chip thickens all along: it is largest as its lower end leaves.
        return float((steady + of_one(arc.engagement_deg)) / arc.sine_ratio**power)
    # The leading tooth anywhere in the cut, and those that follow it by the tooth pitch.
    best = 0.0
    for index in range(count + 1):
        lead_deg = span_deg * index / count
        followers = int(lead_deg / pitch_deg) + 1
        best = max(best, sum(of_one(lead_deg - tooth * pitch_deg) for tooth in range(followers)))
    return float((steady + best) / arc.sine_ratio**power)
