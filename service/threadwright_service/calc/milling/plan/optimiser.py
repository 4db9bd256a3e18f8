"""The fastest division of a thread's depth inside the limits: passes, depths, feed.

The number of passes is the smallest that the limits ask for, unless more were faster.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import Final

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.milling.infeed.division import (
    Division,
    Given,
    could_be_faster,
    divide,
    judged,
)
from threadwright_service.calc.milling.loads.load import mean_power_kw
from threadwright_service.calc.milling.loads.thread_cut import ThreadCut
from threadwright_service.calc.milling.plan.limits import (
    LimitName,
    PassLimits,
    centre_feed_max_mm_per_min,
    practice_passes,
)

MORE_PASSES: Final = 8
"""How many passes above the least are looked at."""
MOST_PASSES: Final = 100
"""As many as may be asked for; more are no plan but a mistake in a number."""

PassTime = Callable[[float, float], float]
"""Time of a pass [s] from its depth [mm] and the feed a tooth on the surface made [mm]."""


def fastest(
    *,
    cut: ThreadCut,
    depth_mm: float,
    limits: PassLimits,
    given: Given,
    pass_time_s: PassTime,
) -> Division:
    """The division of the depth that takes the shortest time inside the limits.

    Parameters
    ----------
    cut : ThreadCut
        Work, tooth, material.
    depth_mm : float
        Whole radial depth below the blank [mm].
    limits : PassLimits
        Limits of the job.
    given : Given
        What the caller fixed; it is kept even where it breaks a limit.
    pass_time_s : callable
        Time of a pass from its depth and feed.

    Returns
    -------
    Division
        If nothing keeps all limits, the one that keeps all but the smallest chip: with fewer
        passes the chip would be thicker, but more would hang on one pass than practice dares. A
        given feed that breaks a limit at any number of passes gets the number that practice takes.

    Raises
    ------
    OutOfRangeError
        If the depth of a pass asks for more passes than :data:`MOST_PASSES`.

    Notes
    -----
    Source: derivation, see the module's text.
    """
    limits = _with_speed_for_feed(cut, depth_mm, limits, given)
    least = _least_passes(depth_mm, limits, given)
    if given.first_pass_share_ratio is not None and given.first_pass_share_ratio < 1:
        least = max(least, 2)
    best = _of_counts(cut, depth_mm, limits, given, pass_time_s, least)
    if best.chip_reached_ratio < 1 and given.feed_per_tooth_mm is None and not given.keeps_speed:
        best = _with_slower_spindle(cut, limits, best)
    return best if given.keeps_speed else _within_power(cut, limits, best)


def _least_passes(depth_mm: float, limits: PassLimits, given: Given) -> int:
    """The smallest number of passes that is looked at, as long as a shop would cut so many.

    Raises
    ------
    OutOfRangeError
        If the depth of a pass asks for more than :data:`MOST_PASSES`.
    """
    least = practice_passes(depth_mm=depth_mm, depth_of_a_pass_mm=limits.depth_of_a_pass_mm)
    counted = given.passes is None and given.infeed != "list"
    if counted and least > MOST_PASSES:
        raise OutOfRangeError(
            f"passes of {limits.depth_of_a_pass_mm:.3g} mm would take {least} for a depth of "
            f"{depth_mm:.3f} mm",
            parameter="depth_of_a_pass",
            value=limits.depth_of_a_pass_mm,
            accepted=f"a depth of a pass that leaves at most {MOST_PASSES} passes: about "
            f"{depth_mm / MOST_PASSES:.2g} mm and more",
        )
    return least


def _with_speed_for_feed(
    cut: ThreadCut, depth_mm: float, limits: PassLimits, given: Given
) -> PassLimits:
    """A slower spindle, where the machine's feed cannot follow a given feed a tooth."""
    if given.feed_per_tooth_mm is None or given.keeps_speed:
        return limits
    centre_mm = given.feed_per_tooth_mm * cut.centre_feed_ratio(depth_mm)
    feed_mm_per_min = centre_feed_max_mm_per_min(cut=cut, depth_mm=depth_mm, limits=limits)
    return replace(
        limits,
        spindle_speed_rev_per_min=min(
            limits.spindle_speed_rev_per_min, feed_mm_per_min / (cut.teeth * centre_mm)
        ),
    )


def _of_counts(
    cut: ThreadCut,
    depth_mm: float,
    limits: PassLimits,
    given: Given,
    pass_time_s: PassTime,
    least: int,
) -> Division:
    """The fastest over the numbers of passes from the least that is asked for."""
    if given.passes is not None or given.infeed == "list":
        return divide(cut=cut, depth_mm=depth_mm, passes=given.passes, limits=limits, given=given)
    first = best = divide(cut=cut, depth_mm=depth_mm, passes=least, limits=limits, given=given)
    best_s = _time_s(best, pass_time_s)
    for passes in range(least + 1, least + MORE_PASSES + 1):
        if not could_be_faster(
            cut=cut, depth_mm=depth_mm, passes=passes, limits=limits, given=given, than=best
        ):
            if given.feed_per_tooth_mm is None or best.within_feed_limits:
                break
            continue
        more = divide(cut=cut, depth_mm=depth_mm, passes=passes, limits=limits, given=given)
        more_s = _time_s(more, pass_time_s)
        if (more.within_feed_limits, -more_s) > (best.within_feed_limits, -best_s):
            best, best_s = more, more_s
    return best if best.within_feed_limits else first


def _time_s(division: Division, pass_time_s: PassTime) -> float:
    return sum(pass_time_s(t, division.feed_per_tooth_mm) for t in division.depths_mm)


def _with_slower_spindle(cut: ThreadCut, limits: PassLimits, best: Division) -> Division:
    """A slower spindle, where the machine's feed keeps the chip too thin."""
    names: tuple[LimitName, ...] = ("feed-rate", "centripetal-acceleration")
    others = [
        allowed for each in best.feed_limits for name, allowed in each.items() if name not in names
    ]
    wanted_mm = min(*others, best.feed_per_tooth_mm / best.chip_reached_ratio)
    if wanted_mm <= best.feed_per_tooth_mm:
        return best
    slower = replace(
        limits,
        spindle_speed_rev_per_min=best.spindle_speed_rev_per_min
        * best.feed_per_tooth_mm
        / wanted_mm,
    )
    return judged(cut, best.depths_mm, slower, None)


def _within_power(cut: ThreadCut, limits: PassLimits, division: Division) -> Division:
    """A slower spindle where the power asks for it: time goes with 1/power at any feed."""
    if math.isinf(limits.power_max_kw):
        return division
    power_kw = max(
        mean_power_kw(
            cut=cut,
            from_depth_mm=before,
            to_depth_mm=after,
            feed_edge_mm=division.feed_per_tooth_mm,
            spindle_speed_rev_per_min=division.spindle_speed_rev_per_min,
        )
        for before, after in pairwise((0.0, *division.depths_mm))
    )
    if power_kw <= limits.power_max_kw:
        return division
    return replace(
        division,
        spindle_speed_rev_per_min=division.spindle_speed_rev_per_min
        * limits.power_max_kw
        / power_kw,
        power_limited=True,
    )
