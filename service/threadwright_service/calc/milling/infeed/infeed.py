"""How the depth of a thread is divided among the passes of a thread mill.

All schedules are depths below the blank after each pass, rising, the last one the whole depth.
Equal area is right for turning, where the force goes with the section of the chip. In milling
both flanks stay in the cut over the whole depth, and equal area leaves the last passes with
twice the force of the first; equal peak force does not.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Final, Literal

from threadwright_service.calc.errors import (
    AmbiguousError,
    InfeasibleError,
    MissingInputError,
    OutOfRangeError,
)
from threadwright_service.calc.milling.geometry.section import ToothProfile
from threadwright_service.calc.milling.loads.force import Curve, DepthLoad
from threadwright_service.calc.milling.loads.peak import root
from threadwright_service.calc.milling.loads.thread_cut import ThreadCut
from threadwright_service.calc.trail import Formula, Trail

_GOES_WITH: Final = {
    "infeed_ratio": "with infeed falling",
    "infeed_depths": "with infeed list",
    "first_pass_share": "any infeed but list; in a list, a shallower first depth",
}
Infeed = Literal["equal-force", "equal-area", "equal-depth", "falling", "list"]

_ROUNDING: Final = 1e-9

EQUAL_AREA: Final = Formula(
    "depth after a pass of equal area, flat nose",
    "t_i",
    "(sqrt(w**2 + 2 * T * A * i / n) - w) / T",
    "w T A i n",
    unit="mm",
    source="derivation",
)
FALLING: Final = Formula(
    "depth after a pass, each infeed a share of the one before",
    "t_i",
    "h * (i / n if q == 1 else (1 - q**i) / (1 - q**n))",
    "h i n q",
    unit="mm",
    source="derivation",
)


def check_infeed_keys(
    *,
    infeed: Infeed,
    infeed_ratio: float | None,
    infeed_depths_mm: Sequence[float] | None,
    first_pass_share_ratio: float | None,
) -> None:
    """Refuse a value that the infeed asked for would leave out in silence.

    Raises
    ------
    AmbiguousError
        Naming the key that does not go with the infeed.
    """
    for key, value, fits in (
        ("infeed_ratio", infeed_ratio, infeed == "falling"),
        ("infeed_depths", infeed_depths_mm, infeed == "list"),
        ("first_pass_share", first_pass_share_ratio, infeed != "list"),
    ):
        if value is not None and not fits:
            raise AmbiguousError(
                f"{key} has no meaning for {infeed} infeed",
                parameter=key,
                value=value if isinstance(value, float) else list(value),
                accepted=_GOES_WITH[key],
            )


def equal_depth_mm(*, depth_mm: float, passes: int) -> tuple[float, ...]:
    """Depths of passes that each add the same [mm].

    Notes
    -----
    Source: common practice.
    """
    _checked(depth_mm, passes)
    return tuple(depth_mm * number / passes for number in range(1, passes + 1))


def equal_area_mm(
    *, depth_mm: float, passes: int, tooth: ToothProfile, trail: Trail | None = None
) -> tuple[float, ...]:
    """Depths of passes that each take the same section out of the groove [mm].

    Notes
    -----
    Source: derivation; t_i = h·√(i/n) for a sharp nose.

    Examples
    --------
    >>> sharp = ToothProfile(nose_flat_mm=0, nose_radius_mm=0,
    ...     first_flank_angle_deg=30, second_flank_angle_deg=30)
    >>> equal_area_mm(depth_mm=1.0, passes=4, tooth=sharp)
    (0.5, 0.7071, 0.8660, 1.0)
    """
    _checked(depth_mm, passes)
    whole_mm2 = tooth.area_mm2(depth_mm)
    slope = sum(math.tan(math.radians(angle)) for angle in tooth.flank_angles_deg)

    def reached_mm(number: int) -> float:
        if tooth.nose_radius_mm == 0:
            return EQUAL_AREA(trail, tooth.nose_flat_mm, slope, whole_mm2, number, passes)
        share = number / passes
        return root(lambda t: tooth.area_mm2(t) / whole_mm2 - share, 0.0, depth_mm)

    return (*(reached_mm(number) for number in range(1, passes)), depth_mm)


_LEAST_SET_MM: Final = 1e-4
"""No machine is set to less."""


def falling_mm(
    *, depth_mm: float, passes: int, ratio: float, trail: Trail | None = None
) -> tuple[float, ...]:
    """Depths of passes that each add ``ratio`` times what the one before added [mm].

    Raises
    ------
    OutOfRangeError
        If the ratio is not above 0 and at most 1, or so small that the last passes add nothing
        that a machine could be set to.

    Notes
    -----
    Source: derivation (geometric series).

    Examples
    --------
    >>> falling_mm(depth_mm=0.7, passes=3, ratio=0.5)
    (0.4, 0.6, 0.7)
    """
    _checked(depth_mm, passes)
    if not 0 < ratio <= 1:
        raise OutOfRangeError(
            f"infeed_ratio is {ratio:g}",
            parameter="infeed_ratio",
            value=ratio,
            accepted="above 0 and at most 1",
        )
    if depth_mm * ratio ** (passes - 1) < _LEAST_SET_MM:
        least = (_LEAST_SET_MM / depth_mm) ** (1 / (passes - 1))
        raise OutOfRangeError(
            f"infeed_ratio is {ratio:g}: the last of {passes} passes would add less than "
            f"{_LEAST_SET_MM:g} mm",
            parameter="infeed_ratio",
            value=ratio,
            accepted=f"about {least:.2g} to 1, or fewer passes",
        )
    return (
        *(FALLING(trail, depth_mm, number, passes, ratio) for number in range(1, passes)),
        depth_mm,
    )


def listed_mm(*, depths_mm: Sequence[float]) -> tuple[float, ...]:
    """Depths as the caller lists them, checked [mm].

    Raises
    ------
    MissingInputError
        If the list is empty.
    OutOfRangeError
        If a depth is not above the one before it.

    Notes
    -----
    Source: the caller.
    """
    if not depths_mm:
        raise MissingInputError(
            "infeed by list needs the depth after each pass",
            parameter="infeed_depths",
            accepted="one radial depth below the blank for each pass, rising",
        )
    for before_mm, after_mm in pairwise((0.0, *depths_mm)):
        if not after_mm > before_mm:
            raise OutOfRangeError(
                f"infeed_depths go from {before_mm:g} mm to {after_mm:g} mm",
                parameter="infeed_depths",
                value=list(depths_mm),
                accepted="depths below the blank after each pass, each larger than the one before",
            )
    return tuple(depths_mm)


def equal_force_mm(
    *, cut: ThreadCut, depth_mm: float, passes: int, feed_edge_mm: float = 0.01
) -> tuple[float, ...]:
    """Depths of passes with the same peak of the tangential force [mm].

    Solved for the geometry in hand, not by a power law. The division does not depend on the feed
    as long as run-out is nil.

    Parameters
    ----------
    feed_edge_mm : float
        Feed a tooth on the surface that is made, the same in all passes [mm].

    Notes
    -----
    Source: derivation.
    """
    _checked(depth_mm, passes)
    if passes == 1:
        return (depth_mm,)

    def curve_of(load: DepthLoad) -> Curve:
        return load.tangential_n(feed_edge_mm * cut.centre_feed_ratio(load.depth_mm))

    def divided_mm(level_n: float) -> tuple[float, ...]:
        return depths_within(
            cut=cut,
            depth_mm=depth_mm,
            passes=passes,
            engagement_rad=lambda load: load.engagement_within_rad(curve_of(load), level_n),
        )

    def excess(level_n: float) -> float:
        """By what share the first pass is above the level of the others."""
        first_mm = divided_mm(level_n)[0]
        if first_mm <= 0:
            return -1.0
        load = DepthLoad(cut, first_mm)
        return load.largest(curve_of(load), load.exit_angle_rad)[0] / level_n - 1

    alone = DepthLoad(cut, depth_mm)
    high_n, _ = alone.largest(curve_of(alone), alone.exit_angle_rad)
    low_n = high_n * passes**-0.6
    while excess(low_n) < 0:
        low_n /= 2
    return divided_mm(root(excess, low_n, high_n))


def depths_within(
    *,
    cut: ThreadCut,
    depth_mm: float,
    passes: int,
    engagement_rad: Callable[[DepthLoad], float],
) -> tuple[float, ...]:
    """Depth after each pass, from the last one backwards, each as thick as it may be [mm].

    Parameters
    ----------
    engagement_rad : callable
        Largest engagement of a pass that ends at a depth.

    Returns
    -------
    tuple of float
        The first pass takes what the others leave, whether it may or not. A depth of 0 or less
        says that fewer passes reach the blank.

    Notes
    -----
    Source: derivation. With one feed in all passes this reaches the furthest: the load of a pass
    that ends at a depth falls with the depth at which it starts, and so does the next one's.
    """
    depths = [depth_mm]
    while len(depths) < passes and depths[0] > 0:
        load = DepthLoad(cut, depths[0])
        start_mm = load.start_of_engagement_mm(engagement_rad(load))
        # What rounding leaves of the blank is no depth of a pass.
        depths.insert(0, start_mm if start_mm > _ROUNDING * depth_mm else min(start_mm, 0.0))
    return (0.0,) * (passes - len(depths)) + tuple(depths)


def with_skim_mm(
    *, depths_mm: tuple[float, ...], first_pass_share_ratio: float
) -> tuple[float, ...]:
    """The same schedule with a lighter first pass; the second takes what it leaves [mm].

    Raises
    ------
    OutOfRangeError
        If the share is not above 0 and at most 1.
    InfeasibleError
        If there is one pass only: it has to take the whole.

    Notes
    -----
    Source: common practice; 0.5 to 1 on a set-up that is not proved yet.
    """
    if not 0 < first_pass_share_ratio <= 1:
        raise OutOfRangeError(
            f"first_pass_share is {first_pass_share_ratio:g}",
            parameter="first_pass_share",
            value=first_pass_share_ratio,
            accepted="above 0 and at most 1",
        )
    if first_pass_share_ratio == 1:
        return depths_mm
    if len(depths_mm) == 1:
        raise InfeasibleError(
            "a plan of one pass has no room for a lighter first one",
            parameter="first_pass_share",
            value=first_pass_share_ratio,
            accepted="1, or two passes and more",
        )
    return (depths_mm[0] * first_pass_share_ratio, *depths_mm[1:])


def _checked(depth_mm: float, passes: int) -> None:
    if not depth_mm > 0:
        raise OutOfRangeError(
            f"the depth to divide is {depth_mm:g} mm",
            parameter="blank_diameter",
            value=depth_mm,
            accepted="a blank larger, or a hole smaller, than what the tip makes",
        )
    if passes < 1:
        raise OutOfRangeError(
            f"passes is {passes}", parameter="passes", value=passes, accepted="1 or more"
        )
