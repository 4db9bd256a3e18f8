"""What a size correction answers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.measurement.acceptance import Verdict
from threadwright_service.calc.measurement.correction.pre_control import PreControl, Zone

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
    """One measured part."""

    number: int
    """Running number."""
    pitch_diameter_mm: float
    """Pitch diameter as measured, or as the reading gives it."""
    excess_mm: float
    """Metal left on it above the target; below 0 where metal is missing."""
    zone: Zone
    """Zone of pre-control."""
    verdict: Verdict
    """accept, reject, or undecided within the guard band at a limit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """The pitch diameter aimed at, and the band that the mean size may move in."""

    pitch_diameter_mm: float
    """Pitch diameter aimed at."""
    aim_ratio: float
    """Its place in the tolerance: 0 smallest, 1 largest pitch diameter."""
    rule: str
    """Why this size."""
    guard_band_mm: float
    """Kept from each limit for the uncertainty of measuring."""
    standard_deviation_mm: float | None
    """Spread from part to part that is reckoned with; null while it is not known."""
    usable_max_mm: float | None
    """Largest mean size; null if the spread leaves no band."""
    usable_min_mm: float | None
    """Smallest mean size; null if the spread leaves no band."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recut:
    """Whether another cut on the last part is wise."""

    advice: RecutAdvice
    """Whether another cut is not needed, wise, unwise (it would rub) or impossible
    (metal is missing)."""
    radius_correction_mm: float | None
    """What that cut would need; null if none is to be made."""
    smallest_mm: float
    """Smallest correction of the radius that cuts a chip on the flank."""
    reason: str
    """Why this is advised."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DriftTold:
    """The drift of the pitch diameter as the series gives it, acted on or not."""

    parts: int
    """Parts that it rests on."""
    estimate_mm: float | None
    """Slope for each part; null with too few parts."""
    uncertainty_mm: float | None
    """Half of its 95 % interval; null with too few parts."""
    is_significant: bool
    """Whether the interval leaves out 0; only then is the slope acted on."""
    standard_deviation_mm: float | None
    """Spread of the parts about the line; null with too few parts."""
    reason: str
    """Why no drift is stated; empty if one is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SizesAsReadings:
    """The sizes that matter at the machine, as the instrument reads them."""

    method: str
    """Over three wires, two or one, or with balls."""
    wire_diameter_mm: float
    """Diameter of the wires, pins or balls."""
    target_mm: float
    """Reading at the target."""
    expected_mm: float | None
    """Reading expected after the correction."""
    max_mm: float
    """Reading at the largest pitch diameter."""
    min_mm: float
    """Reading at the smallest pitch diameter."""
    green_max_mm: float
    """Upper line of the green zone."""
    green_min_mm: float
    """Lower line of the green zone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeCorrection:
    """The next correction of the cutter radius, and what it rests on."""

    pitch_diameter_mm: tuple[float, ...]
    """Pitch diameters measured, in order."""
    excess_mm: float | None
    """Metal left on above the target, on the pitch diameter, that the next part would have without
    a correction; below 0 where metal would be missing, null where only gauges were tried."""
    excess_uncertainty_mm: float | None
    """Its uncertainty (k = 2), measurement and spread together; null if that is not known."""
    gain_ratio: float
    """How much less the last correction moved the size than was commanded; 1 if as commanded."""
    radius_correction_mm: float | None
    """What to add to the radius offset to bring the next part onto the target; negative moves the
    path into the metal."""
    diameter_correction_mm: float | None
    """The same for a control that holds a diameter."""
    action: Action
    """Whether to make the correction now, to leave the process alone, or to stop and look."""
    action_reason: str
    """Why that is advised."""
    radius_correction_now_mm: float
    """The correction if it is to be made now, else 0: what a macro may enter unseen."""
    diameter_correction_now_mm: float
    """The same for a control that holds a diameter: twice as much."""
    expected_pitch_diameter_mm: float | None
    """Of the next part after radius_correction; null where only gauges were tried."""
    drift_per_part_mm: float | None
    """Change of the pitch diameter for each part; null where drift.reason says why."""
    drift_per_part_uncertainty_mm: float | None
    """Half of the 95 % interval of a drift found in the series; null where none was."""
    next_correction_after_parts: int | None
    """Parts that can be made before the next correction; null where the reason says why."""
    next_correction_reason: str
    """Why that number is not stated; empty if it is."""
    measure_every_parts: int | None
    """A sixth of that, at least 1; null where that is."""
    verdict: Verdict
    """Of the last part: accept, reject, or undecided within the guard band at a limit."""
    recut: Recut | None
    """Whether another cut on the last part is wise; null where only gauges were tried."""
    target: Target
    drift: DriftTold | None
    """The drift of the pitch diameter, acted on or not; null where only gauges were tried."""
    pre_control: PreControl
    is_qualified: bool
    """Whether the last five parts at this setting are in the green."""
    parts: tuple[MeasuredPart, ...]
    readings: SizesAsReadings | None = None
    """Null where pitch diameters were given."""
    procedure: tuple[str, ...]
    """What to do step by step, where only gauges are on hand."""
    sign: str = SIGN
    """What the sign means."""
