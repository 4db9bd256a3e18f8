"""A depth shared out among passes at one feed: each as thick as allowed, or all of one force."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache
from typing import Final

from threadwright_service.calc.milling.infeed.infeed import depths_within, equal_force_mm
from threadwright_service.calc.milling.loads.force import DepthLoad
from threadwright_service.calc.milling.loads.peak import root
from threadwright_service.calc.milling.loads.thread_cut import ThreadCut
from threadwright_service.calc.milling.plan.limits import (
    PassLimits,
    engagement_within_rad,
    least_engagement_rad,
    tangential_max_n,
)

_WIDER: Final = 1.1


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedDepth:
    """A radial depth below the blank, how many passes share it, and the limits of each."""

    cut: ThreadCut
    depth_mm: float
    passes: int
    limits: PassLimits


def of_thickest_passes_mm(shared: SharedDepth, feed_mm: float) -> tuple[float, ...]:
    """Depths of passes that are each as thick as the limits allow at a feed [mm].

    The first one takes what the others leave, whether it may or not.

    Notes
    -----
    Source: derivation.
    """
    return depths_within(
        cut=shared.cut,
        depth_mm=shared.depth_mm,
        passes=shared.passes,
        engagement_rad=lambda load: engagement_within_rad(
            load=load, limits=shared.limits, feed_edge_mm=feed_mm
        ),
    )


def first_pass_excess(shared: SharedDepth, feed_mm: float) -> float:
    """By what share the first pass breaks a limit when the others are as thick as they may be.

    Notes
    -----
    Source: derivation.
    """
    first_mm = of_thickest_passes_mm(shared, feed_mm)[0]
    if first_mm <= 0:
        return -1.0
    cut, limits = shared.cut, shared.limits
    return _excess_of_first(cut, first_mm, limits, feed_mm, tangential_max_n(cut, limits))


def of_equal_level_mm(
    shared: SharedDepth, feed_mm: float, fine: float, held_mm: tuple[float, ...] = ()
) -> tuple[float, ...]:
    """Depths with the same, lowest peak of the tangential force at a feed [mm].

    Passes that would be too thin to cut are thickened.

    Parameters
    ----------
    shared : SharedDepth
        The depth, the number of passes and their limits.
    feed_mm : float
        Feed a tooth on the surface that is made [mm].
    fine : float
        How near, as a share, the level of the force is found.
    held_mm : tuple of float
        Such depths, from which every pass is to be kept inside chip and force limits as well [mm].

    Notes
    -----
    Source: derivation.
    """
    cut, depth_mm, passes = shared.cut, shared.depth_mm, shared.passes
    limits = shared.limits if held_mm else _without_load_limits(shared.limits)

    def divided(level_n: float) -> tuple[float, ...]:
        return depths_within(
            cut=cut,
            depth_mm=depth_mm,
            passes=passes,
            engagement_rad=lambda load: _engagement_rad(
                shared, load, feed_mm, level_n, within_limits=bool(held_mm)
            ),
        )

    @cache
    def excess(level_n: float) -> float:
        first_mm = divided(level_n)[0]
        return -1.0 if first_mm <= 0 else _excess_of_first(cut, first_mm, limits, feed_mm, level_n)

    if divided(0.0)[0] <= 0:
        # Passes of the least thickness already reach the blank: there are too many of them.
        return equal_force_mm(cut=cut, depth_mm=depth_mm, passes=passes, feed_edge_mm=feed_mm)
    if held_mm:
        # What the limits take off some passes the first one has to take: the level rises a little.
        low_n = high_n = _peak_n(cut, held_mm[0], feed_mm)
        while excess(high_n) > 0:
            low_n, high_n = high_n, _WIDER * high_n
    else:
        high_n = _peak_n(cut, depth_mm, feed_mm)
        low_n = high_n * passes**-0.6
    while excess(low_n) <= 0:
        low_n /= 2
    return divided(root(excess, low_n, high_n, fine))


def _engagement_rad(
    shared: SharedDepth, load: DepthLoad, feed_mm: float, level_n: float, *, within_limits: bool
) -> float:
    """Engagement of a pass whose force peaks at a level, or that is just thick enough to cut."""
    limits = shared.limits
    least = least_engagement_rad(
        load=load,
        limits=limits,
        feed_edge_mm=feed_mm,
        last=load.depth_mm == shared.depth_mm,
    )
    even = 0.0
    if level_n > 0:
        centre_mm = feed_mm * shared.cut.centre_feed_ratio(load.depth_mm)
        even = load.engagement_within_rad(load.tangential_n(centre_mm), level_n)
    wanted = max(even, least)
    if not within_limits:
        return wanted
    return engagement_within_rad(load=load, limits=limits, feed_edge_mm=feed_mm, up_to_rad=wanted)


def _excess_of_first(
    cut: ThreadCut, depth_mm: float, limits: PassLimits, feed_mm: float, level_n: float
) -> float:
    """By what share the first pass is above a level of the force, or above another limit."""
    load = DepthLoad(cut, depth_mm)
    centre_mm = feed_mm * cut.centre_feed_ratio(depth_mm)
    angle_rad = load.exit_angle_rad
    tangential_n, _ = load.largest(load.tangential_n(centre_mm), angle_rad)
    chip_mm = load.chip_mm(angle_rad, centre_mm)
    share = max(tangential_n / level_n, chip_mm / limits.chip_thickness_max_mm)
    if load.wall_bound_n(centre_mm) > share * limits.wall_force_max_n:
        wall_n, _ = load.largest(load.wall_n(centre_mm), angle_rad)
        share = max(share, wall_n / limits.wall_force_max_n)
    return share - 1


def _peak_n(cut: ThreadCut, depth_mm: float, feed_mm: float) -> float:
    """Largest tangential force of a pass from the blank to a depth [N]."""
    load = DepthLoad(cut, depth_mm)
    curve = load.tangential_n(feed_mm * cut.centre_feed_ratio(depth_mm))
    return load.largest(curve, load.exit_angle_rad)[0]


def _without_load_limits(limits: PassLimits) -> PassLimits:
    return replace(limits, wall_force_max_n=math.inf, chip_thickness_max_mm=math.inf)
