"""Spring passes: what each still takes off when the neck has sprung back, and when to stop.

A cutting pass leaves the wall where the bent cutter made it. The same path once more meets only
that sliver, bends less, and leaves less.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.milling.loads.force import DepthLoad
from threadwright_service.calc.milling.loads.peak import root

WORTH_MM: Final = 0.002
"""What a spring pass must take off the pitch diameter to be worth its time: below this a
measurement over wires does not see it."""
WORTH_RATIO: Final = 0.03
"""The same as a share of the tolerance of the pitch diameter."""
MOST_BY_DEFAULT: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Bend:
    """How far the wall is left proud, on the radius, after a pass [mm].

    ``high_mm`` and ``low_mm`` are bounds; ``expected_mm``, half way between them, is what the
    plan allows for.
    """

    high_mm: float
    low_mm: float

    @property
    def expected_mm(self) -> float:
        """Half way between the bounds [mm]."""
        return (self.high_mm + self.low_mm) / 2

    @property
    def half_spread_mm(self) -> float:
        """Half the distance of the bounds [mm]."""
        return (self.high_mm - self.low_mm) / 2


def after_spring_pass(
    *, load: DepthLoad, before: Bend, feed_edge_mm: float, compliance_um_per_n: float
) -> Bend:
    r"""What a spring pass leaves of the bend before it.

    .. math:: \delta_k = C \cdot F(\delta_{k-1})

    Parameters
    ----------
    load : DepthLoad
        The load at the finished depth.
    before : Bend
        What the pass before left.
    feed_edge_mm : float
        Feed a tooth on the surface that is made [mm].
    compliance_um_per_n : float
        Bending for each newton [µm/N].

    Returns
    -------
    Bend
        Upper bound: the bend at the largest force on the whole sliver. Lower bound: in balance,
        the bend at the force on the part of the sliver that the bent cutter still takes. Both at
        most what was there before.

    Notes
    -----
    Source: derivation. The chip of a spring pass is below the smallest sensible one, so the edge
    ploughs and the force is extrapolated; that is why the bounds are kept apart.
    """
    feed_mm = feed_edge_mm * load.cut.centre_feed_ratio(load.depth_mm)

    def bend_mm(sliver_mm: float) -> float:
        if sliver_mm <= 0:
            return 0.0
        angle_rad = load.engagement_rad(load.depth_mm - sliver_mm)
        force_n, _ = load.largest(load.wall_n(feed_mm), angle_rad)
        return compliance_um_per_n * force_n / 1000

    return Bend(
        high_mm=min(before.high_mm, bend_mm(before.high_mm)),
        low_mm=_balanced_mm(before.low_mm, bend_mm),
    )


def _balanced_mm(sliver_mm: float, bend_mm: Callable[[float], float]) -> float:
    """Bend at which the force on what is taken off the sliver bends the cutter by just that."""
    if sliver_mm <= 0:
        return 0.0
    return root(lambda bend: (bend_mm(sliver_mm - bend) - bend) / sliver_mm, 0.0, sliver_mm)


def is_worth_it(*, before: Bend, after: Bend, tolerance_mm: float) -> bool:
    """Whether a spring pass takes enough off the pitch diameter to be worth its time.

    Notes
    -----
    Source: common practice; 2 µm or 3 % of the tolerance, whichever is more.
    """
    taken_mm = 2 * (before.expected_mm - after.expected_mm)
    return taken_mm > max(WORTH_MM, WORTH_RATIO * tolerance_mm)
