"""Surface speed and spindle speed, feed of a tooth and feed rate, each from the other."""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.trail import Formula, Trail

SPINDLE_SPEED: Final = Formula(
    "spindle speed",
    "n",
    "1000 * vc / (pi * Dc)",
    "vc Dc",
    unit="rev/min",
    source="us-army-od-1645",
)
SURFACE_SPEED: Final = Formula(
    "surface speed", "vc", "pi * Dc * n / 1000", "Dc n", unit="m/min", source="us-army-od-1645"
)
FEED_RATE: Final = Formula(
    "feed rate", "vf", "n * z * fz", "n z fz", unit="mm/min", source="definition"
)
FEED_PER_TOOTH: Final = Formula(
    "feed of a tooth", "fz", "vf / (n * z)", "vf n z", unit="mm", source="definition"
)
EDGE_FEED: Final = Formula(
    "feed at the made diameter from that of the centre",
    "vf_edge",
    "vf_centre / q",
    "vf_centre q",
    unit="mm/min",
    source="derivation; q = e/Rf, both go round in the same time",
)
CENTRE_FEED: Final = Formula(
    "feed of the cutter's centre, which stands in the program",
    "vf_centre",
    "vf_edge * q",
    "vf_edge q",
    unit="mm/min",
    source="derivation; q = e/Rf, both go round in the same time",
)


def spindle_speed_rev_per_min(
    *, surface_speed_m_per_min: float, diameter_mm: float, trail: Trail | None = None
) -> float:
    """Spindle speed for a surface speed, n [rev/min].

    Parameters
    ----------
    surface_speed_m_per_min : float
        Surface speed, vc [m/min].
    diameter_mm : float
        Diameter that cuts fastest, Dc [mm]: of the cutter, or of the work in turning.

    Notes
    -----
    Source: us-army-od-1645. In inch units the same is n = 12 sfm/(pi D).

    Examples
    --------
    50 ft/min on 1.5 in (a milling problem of a trade course, 127 rev/min):

    >>> round(spindle_speed_rev_per_min(
    ...     surface_speed_m_per_min=50 * 0.3048, diameter_mm=1.5 * 25.4))
    127
    """
    return SPINDLE_SPEED(trail, surface_speed_m_per_min, diameter_mm)


def surface_speed_m_per_min(
    *, spindle_speed_rev_per_min: float, diameter_mm: float, trail: Trail | None = None
) -> float:
    """Surface speed of a spindle speed, vc [m/min].

    Parameters
    ----------
    spindle_speed_rev_per_min : float
        Spindle speed, n [rev/min].
    diameter_mm : float
        Diameter that cuts fastest, Dc [mm].

    Notes
    -----
    Source: us-army-od-1645; fundamentals-of-machining-processes p. 189.

    Examples
    --------
    A slot mill of 30 mm at 150 rev/min, printed 14.13 with pi cut to 3.14:

    >>> round(surface_speed_m_per_min(spindle_speed_rev_per_min=150, diameter_mm=30), 1)
    14.1
    """
    return SURFACE_SPEED(trail, diameter_mm, spindle_speed_rev_per_min)


def feed_rate_mm_per_min(
    *,
    spindle_speed_rev_per_min: float,
    teeth: int,
    feed_per_tooth_mm: float,
    trail: Trail | None = None,
) -> float:
    """Feed rate of a feed of each tooth, vf [mm/min].

    Notes
    -----
    Source: definition.
    """
    return FEED_RATE(trail, spindle_speed_rev_per_min, teeth, feed_per_tooth_mm)


def feed_per_tooth_mm(
    *,
    feed_rate_mm_per_min: float,
    spindle_speed_rev_per_min: float,
    teeth: int,
    trail: Trail | None = None,
) -> float:
    """Feed of each tooth of a feed rate, fz [mm].

    Notes
    -----
    Source: definition.

    Examples
    --------
    Common practice: 1,655 rev/min, 6 teeth, 3 in/min is about 0.0003 in.

    >>> round(feed_per_tooth_mm(
    ...     feed_rate_mm_per_min=3 * 25.4, spindle_speed_rev_per_min=1655, teeth=6) / 25.4, 4)
    0.0003
    """
    return FEED_PER_TOOTH(trail, feed_rate_mm_per_min, spindle_speed_rev_per_min, teeth)
