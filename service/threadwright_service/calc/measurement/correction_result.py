"""What a size correction answers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.measurement.acceptance import Verdict
from threadwright_service.calc.measurement.pre_control import PreControl, Zone

Action = Literal["correct", "leave", "stop"]
RecutAdvice = Literal["not-needed", "wise", "unwise", "impossible"]

SIGN: Final = (
    "radius_correction is added to the cutter radius (or its wear) in the control; negative means "
    "that the control takes the cutter as smaller and its path moves into the metal, outside and "
    "inside alike. It is already halved: enter diameter_correction where the control holds a "
    "diameter."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredPart:
    """One measured part. ``excess_mm`` is the metal left on it above the target."""

    number: int
    pitch_diameter_mm: float
    excess_mm: float
    zone: Zone
    verdict: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """The pitch diameter aimed at, and the band that the mean size may move in [mm]."""

    pitch_diameter_mm: float
    aim_ratio: float
    rule: str
    guard_band_mm: float
    standard_deviation_mm: float | None
    usable_max_mm: float | None
    usable_min_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Recut:
    """Whether another cut on the last part is wise."""

    advice: RecutAdvice
    radius_correction_mm: float | None
    smallest_mm: float
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DriftTold:
    """The drift as it is told: in pitch diameter for each part, whether or not it is acted on."""

    parts: int
    estimate_mm: float | None
    uncertainty_mm: float | None
    is_significant: bool
    standard_deviation_mm: float | None
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeCorrection:
    """The next correction of the cutter radius, and what it rests on.

    ``excess_mm`` is the metal left on the pitch diameter that the next part would have without a
    correction; above 0 more must come off. ``radius_correction_mm`` takes it away;
    ``radius_correction_now_mm`` is the same if the correction is to be made now and 0 if the
    process is to be left alone. ``drift_per_part_mm`` is ``None`` where ``drift.reason`` says why.
    ``verdict`` is that of the last part.
    """

    pitch_diameter_mm: tuple[float, ...]
    excess_mm: float | None
    excess_uncertainty_mm: float | None
    gain_ratio: float
    radius_correction_mm: float | None
    diameter_correction_mm: float | None
    action: Action
    action_reason: str
    radius_correction_now_mm: float
    diameter_correction_now_mm: float
    expected_pitch_diameter_mm: float | None
    drift_per_part_mm: float | None
    drift_per_part_uncertainty_mm: float | None
    next_correction_after_parts: int | None
    next_correction_reason: str
    measure_every_parts: int | None
    verdict: Verdict
    recut: Recut | None
    target: Target
    drift: DriftTold | None
    pre_control: PreControl
    is_qualified: bool
    parts: tuple[MeasuredPart, ...]
    procedure: tuple[str, ...]
    sign: str = SIGN
