"""Straight cuts: a hole drilled, a bore or an outside diameter cut along the axis."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.times.lot.typical import or_typical
from threadwright_service.calc.times.motion.blocks import Block
from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.times.operations.milling_operations import STEPS
from threadwright_service.calc.times.operations.operation_time import OperationTime, of_blocks
from threadwright_service.calc.times.ranges import above_zero, count, not_negative
from threadwright_service.calc.trail import Formula, Trail

POINT_LENGTH: Final = Formula(
    "length of the drill's point",
    "l_p",
    "D / 2 / tan(radians(sigma / 2))",
    "D sigma",
    unit="mm",
    source="derivation",
)
LENGTH_OVER_FEED: Final = Formula(
    "machining time", "t", "L / v_f", "L v_f", unit="min", source="common practice"
)


def length_over_feed_min(*, length_mm: float, feed_mm_per_min: float) -> float:
    """Time of a cut without ramps: its length over its feed [min].

    Raises
    ------
    OutOfRangeError
        If a value is not above zero.

    Notes
    -----
    Source: common practice.

    Examples
    --------
    >>> length_over_feed_min(length_mm=300, feed_mm_per_min=120)
    2.5
    """
    above_zero("length_mm", length_mm)
    above_zero("feed_mm_per_min", feed_mm_per_min)
    return LENGTH_OVER_FEED.function(length_mm, feed_mm_per_min)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drilling:
    """A hole drilled in one stroke or in pecks that clear the chips.

    Parameters
    ----------
    diameter_mm, depth_mm : float
        Diameter and depth of the full diameter [mm]; the point goes deeper by its own length.
    feed_mm_per_min : float
        Feed [mm/min].
    point_angle_deg : float or None
        Point angle [°]; 180 is flat.
    peck_depth_mm : float or None
        Depth after which the drill comes out of the hole [mm]; ``None``: one stroke.
    holes : int
    dwell_s : float
        Dwell at the bottom [s].
    """

    diameter_mm: float
    depth_mm: float
    feed_mm_per_min: float
    point_angle_deg: float | None = None
    peck_depth_mm: float | None = None
    holes: int = 1
    dwell_s: float = 0.0
    clearance_mm: float | None = None
    name: str = "hole"
    tool: str = "drill"
    sized: bool = False

    def __post_init__(self) -> None:
        for name in ("diameter_mm", "depth_mm", "feed_mm_per_min"):
            above_zero(name, getattr(self, name))
        if self.peck_depth_mm is not None:
            above_zero("peck_depth_mm", self.peck_depth_mm)
        not_negative("dwell_s", self.dwell_s)
        count("holes", self.holes, least=1)
        if self.point_angle_deg is not None and not 0 < self.point_angle_deg <= 180:
            raise OutOfRangeError(
                f"point_angle_deg is {self.point_angle_deg}; a drill's point has up to 180°",
                parameter="point_angle_deg",
                value=self.point_angle_deg,
                accepted="above 0, up to 180",
            )

    def time(self, machine: MachineMotion, trail: Trail | None = None) -> OperationTime:
        """Times of the operation on a machine.

        Raises
        ------
        OutOfRangeError
            As the motion does.

        Notes
        -----
        Source: derivation. Every peck begins ``clearance`` above the depth reached.
        """
        clearance_mm = or_typical("clearance", self.clearance_mm, trail)
        point_angle_deg = or_typical("point_angle_deg", self.point_angle_deg, trail)
        depth_mm = self.depth_mm + POINT_LENGTH(trail, self.diameter_mm, point_angle_deg)
        peck_mm = self.peck_depth_mm or depth_mm
        pecks = math.ceil(depth_mm / peck_mm - 1e-9)
        blocks: list[Block] = []
        reached_mm = 0.0
        for peck in range(pecks):
            # The first stroke begins at the clear plane, the next ones that far above the bottom.
            if peck > 0:
                blocks.append(Block(length_mm=reached_mm, feed_mm_per_min=None, stops=True))
            bottom_mm = min((peck + 1) * peck_mm, depth_mm)
            stroke_mm = clearance_mm + bottom_mm - reached_mm
            blocks.append(
                Block(length_mm=stroke_mm, feed_mm_per_min=self.feed_mm_per_min, stops=True)
            )
            reached_mm = bottom_mm
            out_mm = clearance_mm + reached_mm
            blocks.append(Block(length_mm=out_mm, feed_mm_per_min=None, stops=True))
        return of_blocks(
            name=self.name,
            kind="drilling",
            tool=self.tool,
            blocks=blocks * self.holes,
            machine=machine,
            other_time_s=self.holes * self.dwell_s,
            sized=self.sized,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class StraightCutting:
    """A diameter turned or bored with one edge: cuts along the axis and rapid returns.

    Parameters
    ----------
    side : "external" or "internal"
    start_diameter_mm, diameter_mm : float
        Before and after [mm].
    length_mm : float
        Axial length [mm].
    radial_depth_mm : float
        Depth of a cut on the radius [mm].
    feed_mm_per_min : float
        Feed along the axis [mm/min]: feed for each turn times the spindle speed.
    approach_mm, overrun_mm : float or None
        Way at the feed before and after the length [mm].
    """

    side: Literal["external", "internal"]
    start_diameter_mm: float
    diameter_mm: float
    length_mm: float
    radial_depth_mm: float
    feed_mm_per_min: float
    approach_mm: float | None = None
    overrun_mm: float = 0.0
    name: str = "diameter"
    tool: str = "turning tool"
    sized: bool = False

    def __post_init__(self) -> None:
        for name in (
            "start_diameter_mm",
            "diameter_mm",
            "length_mm",
            "radial_depth_mm",
            "feed_mm_per_min",
        ):
            above_zero(name, getattr(self, name))
        if self.approach_mm is not None:
            not_negative("approach_mm", self.approach_mm)
        not_negative("overrun_mm", self.overrun_mm)
        grows = self.diameter_mm - self.start_diameter_mm
        if grows * (1 if self.side == "external" else -1) > 0:
            raise InfeasibleError(
                f"{self.name}: {self.start_diameter_mm:g} mm before and {self.diameter_mm:g} mm "
                "after leave nothing to cut",
                parameter="start_diameter_mm",
                value=self.start_diameter_mm,
                accepted="larger than the diameter outside, smaller inside",
            )

    def time(self, machine: MachineMotion, trail: Trail | None = None) -> OperationTime:
        """Times of the operation on a machine.

        Raises
        ------
        OutOfRangeError
            As the motion does.

        Notes
        -----
        Source: derivation.
        """
        depth_mm = abs(self.start_diameter_mm - self.diameter_mm) / 2
        cuts = int(STEPS(trail, depth_mm, self.radial_depth_mm)) if depth_mm > 0 else 0
        approach_mm = or_typical("clearance", self.approach_mm, trail)
        travel_mm = approach_mm + self.length_mm + self.overrun_mm
        cut = [
            Block(length_mm=travel_mm, feed_mm_per_min=self.feed_mm_per_min, stops=True),
            Block(length_mm=travel_mm, feed_mm_per_min=None, stops=True),
        ]
        return of_blocks(
            name=self.name,
            kind="straight-cutting",
            tool=self.tool,
            blocks=cut * cuts,
            machine=machine,
            sized=self.sized,
        )
