"""Whether to correct now or to leave the process alone, and for how many parts it will last."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.measurement.correction.correction_result import Action, Target
from threadwright_service.calc.measurement.correction.correction_series import (
    LARGEST_GAIN_RATIO,
    SMALLEST_GAIN_RATIO,
    Series,
)
from threadwright_service.calc.measurement.correction.correction_target import Band, margin_mm
from threadwright_service.calc.measurement.correction.drift import Drift
from threadwright_service.calc.measurement.correction.pre_control import PreControl, advice
from threadwright_service.calc.trail import Formula, Trail

RADIUS_CORRECTION: Final = Formula(
    "correction of the cutter radius",
    "dR",
    "-g*x/2",
    "g x",
    unit="mm",
    source="derivation, the radius acts twice on the diameter",
)
PARTS_UNTIL: Final = Formula(
    "parts until the mean size reaches the edge of its band",
    "N",
    "(x_e - x_n) / b",
    "x_e x_n b",
    unit="",
    source="derivation",
)

SMALLEST_STEP_MM: Final = 0.001
"""Least step that a control's offset commonly has."""
CHECKS_BETWEEN_CORRECTIONS: Final = 6
"""Checks in the time between two corrections (memory: the rule of pre-control)."""
_LONGEST: Final = 1_000_000
_ROUNDING: Final = 1e-6
"""Keeps a whole number of parts whole in binary arithmetic."""


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """All that a decision rests on. ``slope_mm`` is the drift in metal left on for each part."""

    band: Band
    series: Series
    gain_ratio: float
    drift: Drift
    slope_mm: float | None
    spread_mm: float | None
    uncertainty_mm: float | None
    guard_mm: float
    target: Target
    wear_start: bool
    zones: PreControl

    @property
    def target_left_mm(self) -> float:
        """Metal left above the middle of the tolerance at the target."""
        return self.band.metal_left_mm(self.target.pitch_diameter_mm)

    def left_without_correction_mm(self) -> float:
        """Metal left above the middle on the next part if nothing is done."""
        corrected = 2 * math.fsum(self.series.corrections_mm) / self.gain_ratio
        level = self.drift.level_mm + corrected
        if self.slope_mm is None:
            return level
        if self.drift.is_significant:
            return level + self.slope_mm
        # A drift known from elsewhere: bring the mean of the parts forward to the next one.
        numbers = self.series.numbers[-self.drift.parts :]
        following = numbers[-1] + 1
        return level + self.slope_mm * (following - math.fsum(numbers) / len(numbers))

    def usable_mm(self) -> tuple[float, float] | None:
        """The band in which the mean size may move, above the middle; ``None`` if there is none."""
        margin = margin_mm(self.band, self.guard_mm, self.spread_mm)
        if margin >= self.band.half_mm:
            return None
        return margin - self.band.half_mm, self.band.half_mm - margin


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What to do now, and how long it lasts."""

    action: Action
    reason: str
    excess_mm: float
    radius_correction_mm: float
    expected_left_mm: float
    """Metal left above the middle on the next part after the correction, made or not."""
    next_correction_after_parts: int | None
    next_correction_reason: str
    measure_every_parts: int | None


def decide(state: State, trail: Trail | None = None) -> Decision:
    """Decide on the next correction.

    Parameters
    ----------
    state : State
        What is known.
    trail : Trail, optional
        Takes the working.

    Notes
    -----
    Source: derivation; pre-control-articles for two consecutive parts.

    Examples
    --------
    M10x1.5-6g aimed at 8.9277 mm; 10.262 mm over wires instead of 10.2285 is 33.5 µm too much:

    >>> round(RADIUS_CORRECTION.function(1, 0.0335), 4)
    -0.0168
    """
    without = state.left_without_correction_mm()
    excess = without - state.target_left_mm
    command = min(max(state.gain_ratio, SMALLEST_GAIN_RATIO), LARGEST_GAIN_RATIO)
    correction = RADIUS_CORRECTION(trail, command, excess)
    action, reason = _action(state, without, excess)
    corrected = without + 2 * correction / state.gain_ratio
    parts, why = _parts_until(state, corrected if action == "correct" else without, trail)
    return Decision(
        action=action,
        reason=reason,
        excess_mm=excess,
        radius_correction_mm=correction,
        expected_left_mm=corrected,
        next_correction_after_parts=parts,
        next_correction_reason=why,
        measure_every_parts=None if parts is None else max(1, parts // CHECKS_BETWEEN_CORRECTIONS),
    )


def _action(state: State, without_mm: float, excess_mm: float) -> tuple[Action, str]:
    if len(state.series.numbers) == 1:
        least = state.uncertainty_mm or SMALLEST_STEP_MM
        if abs(excess_mm) > least:
            return "correct", "first part of this set-up or cutter"
        return "leave", "the first part cannot be told from the target"
    zones = [state.zones.zone(size) for size in state.series.sizes_mm]
    said = advice(zones[-state.series.parts_at_this_setting :])
    if state.wear_start and not zones[-1].startswith("red"):
        # A start near the limit lies in the yellow by intent; the band below decides alone.
        said = "continue"
    if said == "stop":
        return "stop", "two parts in opposite yellow zones: the spread is too large"
    if said == "adjust":
        return "correct", "two parts in the same yellow zone, or one in the red"
    usable = state.usable_mm()
    if usable is None:
        return "leave", "the spread fills the tolerance; single readings are not followed"
    low, high = usable
    # The target itself may lie on the edge of the band: half of the margin is let pass there.
    slack = (state.band.half_mm + low) / 2 if state.wear_start else 0.0
    slope = state.slope_mm or 0.0
    ahead = without_mm + slope * (_gap(state) - 1)
    over = max(ahead, without_mm) > high + (slack if slope < 0 else 0.0)
    under = min(ahead, without_mm) < low - (slack if slope >= 0 else 0.0)
    if over or under:
        return "correct", "the mean size leaves its band before the next check"
    return "leave", "the mean size keeps inside its band"


def _gap(state: State) -> int:
    """Parts from one check to the next, as it was last."""
    numbers = state.series.numbers
    return numbers[-1] - numbers[-2]


def _parts_until(state: State, left_mm: float, trail: Trail | None) -> tuple[int | None, str]:
    """Parts until the mean size reaches the edge that the drift walks to."""
    if state.slope_mm is None:
        return None, f"no drift is known: {state.drift.reason}"
    if state.slope_mm == 0:
        return None, "the drift given is 0"
    usable = state.usable_mm()
    if usable is None:
        return None, "the spread leaves no band for the size to walk through"
    edge = usable[1] if state.slope_mm > 0 else usable[0]
    parts = PARTS_UNTIL(trail, edge, left_mm, state.slope_mm)
    if parts > _LONGEST:
        return None, f"more than {_LONGEST:,} parts: the drift is as good as none"
    return max(0, math.floor(parts + _ROUNDING)), ""
