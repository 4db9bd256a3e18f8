"""How fast a single-point tool runs along the work: a lead in each turn of the spindle."""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.trail import Trail

FAST_MM_PER_MIN: Final = 3000.0
"""Above it run-up and stop want room and a look at the machine (common practice)."""


def caution_fast(feed_mm_per_min: float, trail: Trail) -> None:
    """Say that the tool runs along the work so fast that it needs room before and behind."""
    if feed_mm_per_min > FAST_MM_PER_MIN:
        trail.caution(
            "runs-along-fast",
            f"The tool runs along the work at {feed_mm_per_min:.0f} mm/min: it must reach that "
            "before the thread and stop behind it. Lower the spindle speed where run-up or run-out "
            "is short.",
        )
