"""From a condition that runs back to surface speed and feed of a tooth."""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.cutting.case import CuttingTool, Running
from threadwright_service.calc.cutting.operations.load import OperationMechanics
from threadwright_service.calc.cutting.speed_and_feed import (
    EDGE_FEED,
    feed_per_tooth_mm,
    surface_speed_m_per_min,
)
from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.trail import Trail

LEAD_TOLERANCE_RATIO: Final = 0.001
"""How far a feed may be from lead times spindle speed before it is no thread."""


def running_speed_and_feed(
    *,
    running: Running,
    tool: CuttingTool,
    mechanics: OperationMechanics,
    trail: Trail | None = None,
) -> tuple[float, float]:
    """Surface speed [m/min] and feed of a tooth at the made diameter [mm] of what runs.

    Parameters
    ----------
    running : Running
        Spindle speed and programmed feed.
    tool : CuttingTool
        Diameter and number of teeth.
    mechanics : OperationMechanics
        Of the operation: the centre's feed is turned into that of the edge.
    trail : Trail, optional
        Takes working.

    Raises
    ------
    OutOfRangeError
        If a thread's feed is not its lead.

    Notes
    -----
    Source: us-army-od-1645 and definition.
    """
    speed, feed = running.spindle_speed_rev_per_min, running.feed_rate_mm_per_min
    if mechanics.feed_is_the_lead:
        lead_feed = mechanics.feed_per_revolution_mm(0.0) * speed
        if abs(feed / lead_feed - 1) > LEAD_TOLERANCE_RATIO:
            raise OutOfRangeError(
                f"a feed of {feed:g} mm/min at {speed:g} rev/min is not the thread's lead",
                parameter="feed_rate",
                value=feed,
                accepted=f"{lead_feed:.6g} mm/min",
            )
    vc = surface_speed_m_per_min(
        spindle_speed_rev_per_min=speed, diameter_mm=tool.diameter_mm, trail=trail
    )
    edge = EDGE_FEED(trail, feed, mechanics.centre_feed_ratio)
    return vc, feed_per_tooth_mm(
        feed_rate_mm_per_min=edge,
        spindle_speed_rev_per_min=speed,
        teeth=tool.teeth,
        trail=trail,
    )
