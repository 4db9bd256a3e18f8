"""How a tooth meets the curved work: engagement, chip thickness, the smallest sensible chip.

All of it holds on a circular path of the cutter's centre and goes over into the straight cut as
the path's radius grows. The chip is as thick as the feed of the *centre* makes it, not the feed
on the surface.
"""

from __future__ import annotations

import math
from typing import Final

from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.threads.thread import Side
from threadwright_service.calc.trail import Formula, Trail

ENGAGEMENT: Final = Formula(
    "angle from the finished wall to where the tooth enters or leaves",
    "phi_s",
    "degrees(acos(1 - abs(Ra**2 - Rf**2) / (2 * e * rc)))",
    "Ra Rf e rc",
    unit="deg",
    source="derivation",
)
CHIP_MAX: Final = Formula(
    "largest chip thickness at the nose",
    "h_max",
    "f * sin(radians(min(phi_s, 90)))",
    "f phi_s",
    unit="mm",
    source="derivation",
)
CHIP_MEAN: Final = Formula(
    "chip thickness at the nose, mean over the arc",
    "h_m",
    "f * (1 - cos(radians(phi_s))) / radians(phi_s)",
    "f phi_s",
    unit="mm",
    source="derivation",
)
CHIP_FLANK: Final = Formula(
    "largest chip thickness on a flank, across its edge",
    "h_f",
    "h_max * sin(radians(a))",
    "h_max a",
    unit="mm",
    source="derivation",
)
EQUIVALENT_WIDTH: Final = Formula(
    "width of the straight cut with the same engagement",
    "a_eq",
    "abs(Ra**2 - Rf**2) / (2 * e)",
    "Ra Rf e",
    unit="mm",
    source="derivation",
)
CENTRE_FEED: Final = Formula(
    "feed a tooth of the cutter's centre",
    "f_c",
    "f_e * e / Rf",
    "f_e e Rf",
    unit="mm",
    source="derivation",
)
RUNOUT_STEP: Final = Formula(
    "largest radial step from one tooth to the next",
    "s",
    "TIR * sin(pi / z)",
    "TIR z",
    unit="mm",
    source="derivation",
)


def outward_of(side: Side) -> int:
    """+1 for a thread outside (the cutter's centre lies beyond the wall), −1 for one inside."""
    return 1 if side == "external" else -1


def centre_radius_mm(*, side: Side, made_radius_mm: float, cutter_radius_mm: float) -> float:
    """Radius of the cutter-centre path for the surface that the tip makes, e [mm].

    Raises
    ------
    InfeasibleError
        If the cutter is as large as the bore or larger: its centre has no circle to go round.
    """
    radius_mm = made_radius_mm + outward_of(side) * cutter_radius_mm
    if radius_mm <= 0:
        raise InfeasibleError(
            f"a cutter of {2 * cutter_radius_mm:g} mm cannot go round inside a diameter of "
            f"{2 * made_radius_mm:g} mm",
            parameter="cutter_diameter",
            value=2 * cutter_radius_mm,
            accepted=f"below {2 * made_radius_mm:g} mm",
        )
    return radius_mm


def engagement_angle_deg(
    *,
    before_radius_mm: float,
    made_radius_mm: float,
    centre_radius_mm: float,
    cutter_radius_mm: float,
    trail: Trail | None = None,
) -> float:
    r"""Engagement angle on the curved work, exact.

    .. math:: 1 - \cos\varphi_s = |R_a^2 - R_f^2| / (2 e r_c)

    Parameters
    ----------
    before_radius_mm : float
        Radius of the surface before the pass, Ra [mm].
    made_radius_mm : float
        Radius of the surface that the pass makes, Rf [mm].
    centre_radius_mm : float
        Radius of the cutter-centre path, e [mm]: Rf + rc outside, Rf − rc inside.
    cutter_radius_mm : float
        Radius at the cutting edge, rc [mm].

    Returns
    -------
    float
        From the wall's normal to the edge of the cut, φs [deg], 0 to 180.

    Raises
    ------
    OutOfRangeError
        If the cut is deeper than the cutter can sweep (φs would pass 180°).

    Notes
    -----
    Source: derivation. The law of cosines in the triangle of work axis, cutter axis and edge,
    taken at the surface before the pass, less the same at the finished wall.

    Examples
    --------
    A wall of 9 mm radius, 0.3 mm taken, cutter 6 mm: outside, then inside.

    >>> round(engagement_angle_deg(
    ...     before_radius_mm=9.3, made_radius_mm=9, centre_radius_mm=12, cutter_radius_mm=3), 2)
    22.52
    >>> round(engagement_angle_deg(
    ...     before_radius_mm=8.7, made_radius_mm=9, centre_radius_mm=6, cutter_radius_mm=3), 2)
    31.52
    """
    versine = abs(before_radius_mm**2 - made_radius_mm**2) / (
        2 * centre_radius_mm * cutter_radius_mm
    )
    if versine > 2:
        raise OutOfRangeError(
            f"taking {abs(before_radius_mm - made_radius_mm):g} mm is deeper than a cutter of "
            f"{2 * cutter_radius_mm:g} mm can sweep here",
            parameter="cutter_diameter",
            value=2 * cutter_radius_mm,
            accepted="a larger cutter, or a smaller depth of one pass",
        )
    return ENGAGEMENT(trail, before_radius_mm, made_radius_mm, centre_radius_mm, cutter_radius_mm)


def equivalent_width_mm(
    *,
    before_radius_mm: float,
    made_radius_mm: float,
    centre_radius_mm: float,
    trail: Trail | None = None,
) -> float:
    """Width of the straight cut that has the same engagement angle, a_eq [mm].

    Notes
    -----
    Source: derivation, from the engagement angle with 1 − cos φs = a_eq/rc.
    """
    return EQUIVALENT_WIDTH(trail, before_radius_mm, made_radius_mm, centre_radius_mm)


def chip_thickness_max_mm(
    *, feed_centre_per_tooth_mm: float, engagement_deg: float, trail: Trail | None = None
) -> float:
    """Largest chip thickness at the nose [mm]; beyond 90° of engagement it is the feed itself.

    Notes
    -----
    Source: derivation; h(φ) = f sin φ with the feed of the cutter's centre.
    """
    return CHIP_MAX(trail, feed_centre_per_tooth_mm, engagement_deg)


def chip_thickness_mean_mm(
    *, feed_centre_per_tooth_mm: float, engagement_deg: float, trail: Trail | None = None
) -> float:
    """Chip thickness at the nose, mean over the arc [mm]; 0 where nothing is engaged.

    Notes
    -----
    Source: derivation; the integral of f sin φ over the arc, divided by the arc.
    """
    if engagement_deg == 0:
        return 0.0
    return CHIP_MEAN(trail, feed_centre_per_tooth_mm, engagement_deg)


def chip_thickness_flank_mm(
    *, chip_thickness_max_mm: float, flank_angle_deg: float, trail: Trail | None = None
) -> float:
    """Largest chip thickness on a flank, measured across its edge [mm].

    Notes
    -----
    Source: derivation; the feed's part along the normal of an edge that stands at the flank
    angle to the radius.
    """
    return CHIP_FLANK(trail, chip_thickness_max_mm, flank_angle_deg)


def helix_chip_share_ratio(
    *, lead_mm: float, centre_radius_mm: float, flank_angle_deg: float
) -> float:
    """What the rise of the path adds to one flank's chip and takes from the other's.

    It is a share of the feed of the centre: the flank that faces the rise cuts
    f·(sin φ sin α + this), the other f·(sin φ sin α − this).

    Notes
    -----
    Source: derivation; the feed's axial part, lead/(2π e), along the flank's normal.
    """
    return lead_mm / (2 * math.pi * centre_radius_mm) * math.cos(math.radians(flank_angle_deg))


def chip_thickness_thin_flank_mm(
    *,
    feed_centre_per_tooth_mm: float,
    engagement_deg: float,
    flank_angle_deg: float,
    lead_mm: float,
    centre_radius_mm: float,
) -> float:
    """Largest chip on the flank that turns away from the rise [mm]; 0 where it does not cut.

    This is the thinnest of the largest chips: the place to test against the smallest sensible
    chip.

    Notes
    -----
    Source: derivation.
    """
    across_ratio = math.sin(math.radians(min(engagement_deg, 90.0))) * math.sin(
        math.radians(flank_angle_deg)
    ) - helix_chip_share_ratio(
        lead_mm=lead_mm, centre_radius_mm=centre_radius_mm, flank_angle_deg=flank_angle_deg
    )
    return feed_centre_per_tooth_mm * max(0.0, across_ratio)


def smallest_chip_mm(*, edge_radius_mm: float, share_ratio: float = 0.3) -> float:
    """Below this chip thickness the edge ploughs and does not cut [mm].

    Parameters
    ----------
    edge_radius_mm : float
        Radius of the cutting edge, 0.003 to 0.015 mm new.
    share_ratio : float
        Smallest chip as a share of the edge radius, 0.2 to 0.4.

    Notes
    -----
    Source: memory; subject of materials-15-2022-59.
    """
    return share_ratio * edge_radius_mm


def centre_feed_per_tooth_mm(
    *,
    feed_edge_per_tooth_mm: float,
    made_radius_mm: float,
    centre_radius_mm: float,
    trail: Trail | None = None,
) -> float:
    """Feed a tooth of the cutter's centre for a feed on the surface that the pass makes [mm].

    Notes
    -----
    Source: derivation; both go round the same angle in the same time.
    """
    return CENTRE_FEED(trail, feed_edge_per_tooth_mm, centre_radius_mm, made_radius_mm)


def runout_step_mm(*, runout_mm: float, teeth: int, trail: Trail | None = None) -> float:
    """Largest radial step from one tooth to the next [mm] for a total indicator reading.

    Notes
    -----
    Source: derivation; tip radii rc + (TIR/2)·cos, neighbours 2π/z apart. 0 for one tooth.
    """
    return 0.0 if teeth == 1 else RUNOUT_STEP(trail, runout_mm, teeth)


def chip_with_runout_mm(*, chip_thickness_mm: float, step_mm: float, teeth: int) -> float:
    """Chip of the tooth that stands out most [mm].

    It takes its own chip and the step, and never more than what all teeth together would.

    Notes
    -----
    Source: derivation.
    """
    return min(chip_thickness_mm + step_mm, teeth * chip_thickness_mm)


def highest_tooth_mm(*, runout_mm: float, teeth: int) -> tuple[float, float]:
    """How far the tooth that makes the wall stands out [mm]: least and most, by how it is clamped.

    Notes
    -----
    Source: derivation; the eccentricity is half the total indicator reading, and the nearest
    tooth is at most half a tooth pitch away from its direction.
    """
    most_mm = runout_mm / 2
    return (most_mm * math.cos(math.pi / teeth) if teeth > 1 else -most_mm), most_mm
