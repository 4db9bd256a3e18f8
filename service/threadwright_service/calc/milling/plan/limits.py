"""The limits that a pass is kept under, and how far a pass goes towards each of them."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import Cutter, Machine
from threadwright_service.calc.milling.loads.deflection import Stiffness
from threadwright_service.calc.milling.loads.force import Curve, DepthLoad
from threadwright_service.calc.milling.loads.peak import root
from threadwright_service.calc.milling.loads.thread_cut import ThreadCut
from threadwright_service.calc.milling.plan.cutting_limits import CuttingLimits
from threadwright_service.calc.tables import load
from threadwright_service.calc.trail import Formula, Trail
from threadwright_service.calc.units import STANDARD_GRAVITY_M_PER_S2

LimitName = Literal[
    "feed-per-tooth",
    "chip-thickness",
    "deflection",
    "neck-strength",
    "feed-rate",
    "centripetal-acceleration",
]
"""Limits that a feed can break, in the order in which a tie is named."""

SPINDLE_SPEED: Final = Formula(
    "spindle speed for the surface speed",
    "n",
    "1000 * v_c / (pi * D_c)",
    "v_c D_c",
    unit="rev/min",
    source="derivation",
)
DEFLECTION_FORCE: Final = Formula(
    "force off the wall that bends the cutter by its share of the tolerance",
    "F_w",
    "1000 * share * T / (2 * C)",
    "share T C",
    unit="N",
    source="derivation",
)

DEFLECTION_SHARE: Final = 1 / 3
"""Bending of a cutting pass, on the pitch diameter, as a share of its tolerance."""
HARD_FROM_HB: Final = 440.0
LAST_DEPTH_HARD_MM: Final = 0.02
LAST_DEPTH_SOFT_MM: Final = 0.05
_STEP: Final = 0.05
PRACTICE_EXCESS_RATIO: Final = 0.125
"""Common practice is "about" a depth: a pass more is asked for from an eighth above it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PassLimits:
    """All limits of one job, resolved to what a pass is compared with.

    ``math.inf`` where nothing limits. ``depth_of_a_pass_mm`` holds for the mean of the passes.
    """

    spindle_speed_rev_per_min: float
    feed_per_tooth_max_mm: float
    chip_thickness_max_mm: float
    chip_thickness_min_mm: float
    wall_force_max_n: float
    neck_force_max_n: float
    feed_rate_max_mm_per_min: float
    centripetal_max_m_per_s2: float
    power_max_kw: float
    depth_of_a_pass_mm: float
    last_depth_min_mm: float


def practice_depth_mm(*, material: WorkMaterial) -> float:
    """Radial depth of one thread-milling pass by common practice, mean of the passes [mm].

    Notes
    -----
    Source: common practice, tables/depth_of_a_pass.
    """
    table = load(__package__, "tables/depth_of_a_pass")
    keys = {row["iso_513"] for row in table}
    group = material.iso_513 if material.iso_513 in keys else "any"
    for row in table:
        if row["iso_513"] == group and material.hardness_hb <= float(row["hardness_to_hb"]):
            return float(row["radial_depth_mm"])
    raise OutOfRangeError(
        f"no practice for a depth of pass at {material.hardness_hb:g} HB",
        parameter="hardness",
        value=material.hardness_hb,
        accepted="at most 2000 HB",
    )


def pass_limits(
    *,
    cutting: CuttingLimits,
    cutter: Cutter,
    machine: Machine,
    material: WorkMaterial,
    stiffness: Stiffness,
    pitch_diameter_tolerance_mm: float,
    deflection_share_ratio: float | None = None,
    surface_speed_m_per_min: float | None = None,
    depth_of_a_pass_mm: float | None = None,
    last_pass_depth_min_mm: float | None = None,
    trail: Trail | None = None,
) -> PassLimits:
    """Resolve the limits of a job.

    Parameters
    ----------
    depth_of_a_pass_mm : float, optional
        Mean radial depth of a pass that the caller allows [mm]; common practice if not given.
    last_pass_depth_min_mm : float, optional
        Least radial depth of the last cut [mm]; common practice if not given.
    surface_speed_m_per_min : float, optional
        Speed that the caller gives; it wins over the condition's, within the spindle's range.

    Notes
    -----
    Source: derivation; the shares and depths are common practice and noted where they are used.
    """
    if deflection_share_ratio is None:
        deflection_share_ratio = DEFLECTION_SHARE
        if trail is not None:
            trail.assume(
                "deflection_share",
                DEFLECTION_SHARE,
                "none given; a third of the tolerance for a cutting pass, of which the depth "
                "allows for the expected part and a spring pass takes off most of the rest",
            )
    if depth_of_a_pass_mm is None:
        depth_of_a_pass_mm = _usual_depth_mm(material, trail)
    if last_pass_depth_min_mm is None:
        last_pass_depth_min_mm = _usual_last_depth_mm(material, trail)
    acceleration = machine.acceleration_g
    return PassLimits(
        spindle_speed_rev_per_min=_spindle_speed(
            cutting, cutter, machine, surface_speed_m_per_min, trail
        ),
        feed_per_tooth_max_mm=cutting.feed_per_tooth_max_mm,
        chip_thickness_max_mm=cutting.chip_thickness_allowed_mm,
        chip_thickness_min_mm=cutting.chip_thickness_min_mm,
        wall_force_max_n=DEFLECTION_FORCE(
            trail,
            deflection_share_ratio,
            pitch_diameter_tolerance_mm,
            stiffness.compliance_um_per_n,
        ),
        neck_force_max_n=stiffness.neck_force_max_n,
        feed_rate_max_mm_per_min=machine.feed_rate_max_mm_per_min or math.inf,
        centripetal_max_m_per_s2=math.inf
        if acceleration is None
        else acceleration * STANDARD_GRAVITY_M_PER_S2,
        power_max_kw=machine.spindle_power_kw or math.inf,
        depth_of_a_pass_mm=depth_of_a_pass_mm,
        last_depth_min_mm=last_pass_depth_min_mm,
    )


def _usual_depth_mm(material: WorkMaterial, trail: Trail | None) -> float:
    depth_mm = practice_depth_mm(material=material)
    if trail is not None:
        trail.assume(
            "depth_of_a_pass",
            depth_mm,
            f"none given; mean radial depth of a pass at {material.hardness_hb:.0f} HB by common "
            "practice; it sets the smallest number of passes",
            unit="mm",
        )
    return depth_mm


def _usual_last_depth_mm(material: WorkMaterial, trail: Trail | None) -> float:
    depth_mm = LAST_DEPTH_HARD_MM if material.hardness_hb >= HARD_FROM_HB else LAST_DEPTH_SOFT_MM
    if trail is not None:
        trail.assume(
            "last_pass_depth_min",
            depth_mm,
            "none given; the least that an edge cuts and does not rub at "
            f"{material.hardness_hb:.0f} HB (common practice)",
            unit="mm",
        )
    return depth_mm


def _spindle_speed(
    cutting: CuttingLimits,
    cutter: Cutter,
    machine: Machine,
    given_m_per_min: float | None,
    trail: Trail | None,
) -> float:
    speed_m_per_min = given_m_per_min or cutting.surface_speed_m_per_min
    wanted = SPINDLE_SPEED(trail, speed_m_per_min, cutter.diameter_mm)
    highest = machine.spindle_speed_max_rev_per_min
    if highest is None or wanted <= highest:
        return wanted
    if trail is not None:
        trail.caution(
            "spindle-speed-limited",
            f"{speed_m_per_min:.0f} m/min asks for {wanted:.0f} rev/min; the spindle gives "
            f"{highest:.0f}",
        )
    return highest


def practice_passes(*, depth_mm: float, depth_of_a_pass_mm: float) -> int:
    """Smallest number of passes that common practice takes for a depth.

    Examples
    --------
    A depth of 0.03025 in in passes of about 0.010 in: three.

    >>> practice_passes(depth_mm=0.03025 * 25.4, depth_of_a_pass_mm=0.254)
    3
    """
    return max(1, math.ceil(depth_mm / (depth_of_a_pass_mm * (1 + PRACTICE_EXCESS_RATIO))))


def centre_feed_max_mm_per_min(*, cut: ThreadCut, depth_mm: float, limits: PassLimits) -> float:
    """Largest feed of the cutter's centre that the machine gives at a depth [mm/min].

    Notes
    -----
    Source: derivation; feed rate, and v² ≤ a·e on the circle.
    """
    centripetal_mm_per_min = 60 * math.sqrt(
        1000 * limits.centripetal_max_m_per_s2 * cut.centre_radius_mm(depth_mm)
    )
    return min(limits.feed_rate_max_mm_per_min, centripetal_mm_per_min)


def feed_limits_mm(
    *, load: DepthLoad, limits: PassLimits, from_depth_mm: float
) -> Mapping[LimitName, float]:
    """Largest feed a tooth, on the surface made, that each limit allows a pass [mm].

    Notes
    -----
    Source: derivation. A force goes with feed^(1 − m), so one look at it gives the feed; with
    run-out the chip has a part that does not follow the feed, and the look is repeated.
    """
    cut = load.cut
    ratio = cut.centre_feed_ratio(load.depth_mm)
    angle_rad = load.engagement_rad(from_depth_mm)
    chip_mm = max(
        limits.chip_thickness_max_mm - cut.runout_step_mm,
        limits.chip_thickness_max_mm / cut.teeth,
    )
    turning = cut.teeth * limits.spindle_speed_rev_per_min * ratio
    centripetal_mm_per_min = 60 * math.sqrt(
        1000 * limits.centripetal_max_m_per_s2 * load.centre_radius_mm
    )
    cap_mm = limits.feed_per_tooth_max_mm
    return {
        "feed-per-tooth": cap_mm,
        "chip-thickness": chip_mm / math.sin(min(angle_rad, math.pi / 2)) / ratio,
        "deflection": _feed_of_force_mm(
            load, load.wall_n, angle_rad, limits.wall_force_max_n, cap_mm, ratio
        ),
        "neck-strength": _feed_of_force_mm(
            load, load.tangential_n, angle_rad, tangential_max_n(cut, limits), cap_mm, ratio
        ),
        "feed-rate": limits.feed_rate_max_mm_per_min / turning,
        "centripetal-acceleration": centripetal_mm_per_min / turning,
    }


def tangential_max_n(cut: ThreadCut, limits: PassLimits) -> float:
    """Tangential force at which the resultant reaches the neck's strength [N].

    The radial force is at most its ratio of the tangential one, so this is on the safe side.
    """
    return limits.neck_force_max_n / math.hypot(1, cut.radial_to_tangential_ratio)


def _feed_of_force_mm(
    load: DepthLoad,
    curve_of: Callable[[float], Curve],
    angle_rad: float,
    limit_n: float,
    first_mm: float,
    ratio: float,
) -> float:
    """Feed at which the largest force of a pass reaches a limit [mm]."""
    power = load.cut.power_of_chip_ratio

    def over(log_feed: float) -> float:
        curve = curve_of(math.exp(log_feed) * ratio)
        return math.log(load.largest(curve, angle_rad)[0] / limit_n)

    first_n, _ = load.largest(curve_of(first_mm * ratio), angle_rad)
    if first_n <= 0:
        return math.inf  # a pass so thin that its force is none reaches no limit
    high, excess = math.log(first_mm), math.log(first_n / limit_n)
    if load.cut.runout_step_mm == 0 or excess <= 0:
        return math.exp(high - excess / power)
    # The step between teeth does not shrink with the feed, so the force falls more slowly.
    low = high
    while excess > 0:
        low -= max(2 * excess / power, _STEP)
        excess = over(low)
    return math.exp(root(over, low, high))


def engagement_within_rad(
    *, load: DepthLoad, limits: PassLimits, feed_edge_mm: float, up_to_rad: float = math.pi
) -> float:
    """Largest engagement of a pass at a depth that keeps chip and forces inside the limits [rad].

    Parameters
    ----------
    up_to_rad : float
        No more than this is wanted [rad].

    Notes
    -----
    Source: derivation.
    """
    cut = load.cut
    feed_mm = feed_edge_mm * cut.centre_feed_ratio(load.depth_mm)
    chip_mm = max(
        limits.chip_thickness_max_mm - cut.runout_step_mm,
        limits.chip_thickness_max_mm / cut.teeth,
    )
    angle_rad = min(up_to_rad, load.exit_angle_rad)
    if chip_mm < feed_mm:
        angle_rad = min(angle_rad, math.asin(chip_mm / feed_mm))
    level_n = tangential_max_n(cut, limits)
    if load.tangential_bound_n(feed_mm) > level_n:
        angle_rad = load.engagement_within_rad(load.tangential_n(feed_mm), level_n, angle_rad)
    if load.wall_bound_n(feed_mm) > limits.wall_force_max_n:
        wall_n = load.wall_n(feed_mm)
        angle_rad = load.engagement_within_rad(wall_n, limits.wall_force_max_n, angle_rad)
    return angle_rad


def least_engagement_rad(
    *, load: DepthLoad, limits: PassLimits, feed_edge_mm: float, last: bool
) -> float:
    """Smallest engagement of a pass at a depth that still cuts [rad].

    The chip across the flank must reach the smallest sensible chip, and the last pass must take
    a depth that the edge can feel.

    Notes
    -----
    Source: derivation; the last pass's depth is common practice.
    """
    cut = load.cut
    feed_mm = feed_edge_mm * cut.centre_feed_ratio(load.depth_mm)
    flank = math.sin(math.radians(min(cut.tooth.flank_angles_deg)))
    sine = limits.chip_thickness_min_mm / (feed_mm * flank) if flank > 0 else 2.0
    angle_rad = math.asin(sine) if sine < 1 else math.pi / 2
    if last:
        start_mm = max(0.0, load.depth_mm - limits.last_depth_min_mm)
        angle_rad = max(angle_rad, load.engagement_rad(start_mm))
    return min(angle_rad, load.exit_angle_rad)
