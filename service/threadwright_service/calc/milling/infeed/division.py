"""The division of a thread's depth among a number of passes, and the largest feed it allows.

All cutting passes of a plan have one feed a tooth on the surface that they make. With a feed for
each pass the shortest time would always be one slow pass of nearly the whole depth, dressed up by
fast passes that take next to nothing.

For a number of passes the depths of equal peak force are tried first. Where they let the feed
reach its own limit nothing can be faster. Otherwise the largest feed is sought for which passes
that are each as thick as their limits allow, from the last one backwards, reach the blank: no
other division with as many passes allows a larger feed, because the load of a pass falls with
the depth at which it starts and with the depth at which it ends.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

from threadwright_service.calc.errors import InfeasibleError, MissingInputError
from threadwright_service.calc.milling.infeed.infeed import (
    Infeed,
    equal_area_mm,
    equal_depth_mm,
    falling_mm,
    listed_mm,
    with_skim_mm,
)
from threadwright_service.calc.milling.infeed.shared_depth import (
    SharedDepth,
    first_pass_excess,
    of_equal_level_mm,
    of_thickest_passes_mm,
)
from threadwright_service.calc.milling.loads.force import DepthLoad
from threadwright_service.calc.milling.loads.peak import root
from threadwright_service.calc.milling.loads.thread_cut import ThreadCut
from threadwright_service.calc.milling.plan.limits import (
    LimitName,
    PassLimits,
    centre_feed_max_mm_per_min,
    engagement_within_rad,
    feed_limits_mm,
    least_engagement_rad,
)

_GAIN: Final = 1.002
"""A division other than that of equal force must allow this much more feed to be taken."""
_ROUNDING: Final = 1e-6
_FINE: Final = 1e-5
_SHORTER: Final = 0.97
"""Passes of a plan differ in length by no more than this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What the caller fixed; ``None`` where the plan may choose."""

    passes: int | None = None
    feed_per_tooth_mm: float | None = None
    keeps_speed: bool = False
    """Whether the surface speed is the caller's."""
    infeed: Infeed = "equal-force"
    infeed_ratio: float | None = None
    infeed_depths_mm: Sequence[float] | None = None
    first_pass_share_ratio: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Division:
    """Depth after each cutting pass, and the feed a tooth of them all.

    ``feed_limits`` has for each pass the feed that each limit allows it. ``keeps_limits`` says
    whether every pass is inside all limits, smallest chip included.
    """

    depths_mm: tuple[float, ...]
    feed_per_tooth_mm: float
    spindle_speed_rev_per_min: float
    feed_limits: tuple[Mapping[LimitName, float], ...]
    chip_reached_ratio: float
    """Largest flank chip of the pass with the thinnest, over the smallest sensible chip."""
    within_feed_limits: bool
    keeps_limits: bool
    power_limited: bool

    @property
    def passes(self) -> int:
        """Number of cutting passes."""
        return len(self.depths_mm)

    def limited_by(self, index: int) -> tuple[LimitName, float]:
        """The limit nearest to a pass, and how far it goes towards it: 1 on the limit."""
        limits = self.feed_limits[index]
        name = min(limits, key=lambda limit: limits[limit])
        return name, self.feed_per_tooth_mm / limits[name]


def divide(
    *,
    cut: ThreadCut,
    depth_mm: float,
    passes: int | None,
    limits: PassLimits,
    given: Given,
    fine: float = _FINE,
) -> Division:
    """Divide a depth among a number of passes and give them the largest feed they allow.

    Parameters
    ----------
    cut, limits
        Work, tooth and material; limits of the job.
    depth_mm : float
        Whole radial depth below the blank [mm].
    passes : int or None
        Number of passes; ``None`` with a list of depths.
    given : Given
        What the caller fixed.
    fine : float
        How near, as a share, the level of the force or the feed is found.

    Raises
    ------
    InfeasibleError
        If a list of depths does not have the number of passes that is asked for.
    MissingInputError
        If falling infeed has no ratio, or infeed by list no list.

    Notes
    -----
    Source: derivation, see the module's text.
    """
    if given.infeed == "equal-force" and passes is not None:
        shared = SharedDepth(cut=cut, depth_mm=depth_mm, passes=passes, limits=limits)
        depths = _equal_force(shared, given, fine)
    else:
        depths = _scheduled(cut, depth_mm, passes, given)
    if given.first_pass_share_ratio is not None:
        depths = with_skim_mm(depths_mm=depths, first_pass_share_ratio=given.first_pass_share_ratio)
    return judged(cut, depths, limits, given.feed_per_tooth_mm)


def _scheduled(
    cut: ThreadCut, depth_mm: float, passes: int | None, given: Given
) -> tuple[float, ...]:
    """Depths that do not depend on the load."""
    if given.infeed == "list":
        depths = listed_mm(depths_mm=given.infeed_depths_mm or ())
        if passes is not None and passes != len(depths):
            raise InfeasibleError(
                f"{passes} passes are asked for and {len(depths)} depths are listed",
                parameter="passes",
                value=passes,
                accepted=f"{len(depths)}, or no number with a list",
            )
        return depths
    if passes is None:
        raise MissingInputError(
            f"{given.infeed} infeed needs the number of passes", parameter="passes", accepted="1 on"
        )
    if given.infeed == "equal-area":
        return equal_area_mm(depth_mm=depth_mm, passes=passes, tooth=cut.tooth)
    if given.infeed == "equal-depth":
        return equal_depth_mm(depth_mm=depth_mm, passes=passes)
    if given.infeed_ratio is None:
        raise MissingInputError(
            "falling infeed needs the share of each infeed of the one before",
            parameter="infeed_ratio",
            accepted="above 0 and at most 1",
        )
    return falling_mm(depth_mm=depth_mm, passes=passes, ratio=given.infeed_ratio)


def judged(
    cut: ThreadCut,
    depths: tuple[float, ...],
    limits: PassLimits,
    given_feed_mm: float | None,
) -> Division:
    """The largest feed that the depths allow, or the given one, and how the passes stand."""
    loads = [DepthLoad(cut, depth) for depth in depths]
    starts = (0.0, *depths[:-1])
    feed_limits = tuple(
        feed_limits_mm(load=load, limits=limits, from_depth_mm=start)
        for load, start in zip(loads, starts, strict=True)
    )
    allowed_mm = min(min(each.values()) for each in feed_limits)
    feed_mm = given_feed_mm if given_feed_mm is not None else allowed_mm
    flank = math.sin(math.radians(min(cut.tooth.flank_angles_deg)))
    chip_mm = (
        feed_mm
        * flank
        * min(
            cut.centre_feed_ratio(load.depth_mm)
            * math.sin(min(load.engagement_rad(start), math.pi / 2))
            for load, start in zip(loads, starts, strict=True)
        )
    )
    chip_ratio = chip_mm / limits.chip_thickness_min_mm
    within = feed_mm <= allowed_mm * (1 + _ROUNDING)
    return Division(
        depths_mm=depths,
        feed_per_tooth_mm=feed_mm,
        spindle_speed_rev_per_min=limits.spindle_speed_rev_per_min,
        feed_limits=feed_limits,
        chip_reached_ratio=chip_ratio,
        within_feed_limits=within,
        keeps_limits=within
        and chip_ratio >= 1 - _ROUNDING
        and depths[-1] - starts[-1] >= limits.last_depth_min_mm * (1 - _ROUNDING),
        power_limited=False,
    )


def _equal_force(shared: SharedDepth, given: Given, fine: float) -> tuple[float, ...]:
    """Depths of equal peak force, shifted where another limit would hold the feed down."""
    if shared.passes == 1:
        return (shared.depth_mm,)
    cut, limits = shared.cut, shared.limits
    cap_mm = feed_cap_mm(cut, shared.depth_mm, limits, given)
    even = of_equal_level_mm(shared, cap_mm, fine)
    division = judged(cut, even, limits, given.feed_per_tooth_mm)
    if division.within_feed_limits and division.feed_per_tooth_mm >= cap_mm * (1 - _ROUNDING):
        return even
    if given.feed_per_tooth_mm is None:
        return _at_largest_feed(shared, division, cap_mm, fine)
    if first_pass_excess(shared, cap_mm) > 0:
        return even
    return of_equal_level_mm(shared, cap_mm, fine, held_mm=even)


def _at_largest_feed(
    shared: SharedDepth, even: Division, high_mm: float, fine: float
) -> tuple[float, ...]:
    """Depths at the largest feed for which passes as thick as allowed reach the blank."""
    low_mm = even.feed_per_tooth_mm

    @cache
    def excess(feed_mm: float) -> float:
        return first_pass_excess(shared, feed_mm)

    if excess(high_mm) <= 0:
        return of_equal_level_mm(shared, high_mm, fine, held_mm=even.depths_mm)
    if high_mm <= low_mm * _GAIN or excess(low_mm * _GAIN) > 0:
        return even.depths_mm
    return of_thickest_passes_mm(shared, root(excess, low_mm * _GAIN, high_mm, fine))


def feed_cap_mm(cut: ThreadCut, depth_mm: float, limits: PassLimits, given: Given) -> float:
    """The given feed a tooth, or the largest that neither edge nor machine forbids [mm].

    The machine's limits are taken at the whole depth, where they are the tightest.
    """
    if given.feed_per_tooth_mm is not None:
        return given.feed_per_tooth_mm
    turning = cut.teeth * limits.spindle_speed_rev_per_min * cut.centre_feed_ratio(depth_mm)
    return min(
        limits.feed_per_tooth_max_mm,
        centre_feed_max_mm_per_min(cut=cut, depth_mm=depth_mm, limits=limits) / turning,
    )


def could_be_faster(
    *,
    cut: ThreadCut,
    depth_mm: float,
    passes: int,
    limits: PassLimits,
    given: Given,
    than: Division,
) -> bool:
    """Whether more passes than a division has could take less time: a quick look.

    They would need a feed larger in proportion; a little is allowed for passes that differ in
    length. With a given feed they can only be better by keeping the limits.

    Notes
    -----
    Source: derivation.
    """
    cap_mm = feed_cap_mm(cut, depth_mm, limits, given)
    needed_mm = cap_mm
    if given.feed_per_tooth_mm is None:
        needed_mm = than.feed_per_tooth_mm * passes / than.passes * _SHORTER
    elif than.within_feed_limits or not _can_cut(cut, depth_mm, limits, cap_mm):
        return False
    if needed_mm > cap_mm:
        return False
    if given.infeed != "equal-force":
        return True
    shared = SharedDepth(cut=cut, depth_mm=depth_mm, passes=passes, limits=limits)
    return first_pass_excess(shared, needed_mm) <= 0


def _can_cut(cut: ThreadCut, depth_mm: float, limits: PassLimits, feed_mm: float) -> bool:
    """Whether a last pass thick enough to cut can be inside the limits at a feed."""
    load = DepthLoad(cut, depth_mm)
    most = engagement_within_rad(load=load, limits=limits, feed_edge_mm=feed_mm)
    return most >= least_engagement_rad(
        load=load, limits=limits, feed_edge_mm=feed_mm, last=True
    ) * (1 - _ROUNDING)
