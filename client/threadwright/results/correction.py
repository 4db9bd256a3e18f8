"""Result of a size correction."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright.quantities import Length
from threadwright.record import Record
from threadwright.results.answer import Range, Result


@dataclass(frozen=True, slots=True, kw_only=True)
class Recut(Record):
    """Whether another cut on the last part is wise."""

    advice: Literal["not-needed", "wise", "unwise", "impossible"]
    radius_correction: Length | None
    """What that cut would need; ``None`` if none is to be made."""
    smallest: Length
    """Smallest correction of the radius that cuts a chip on the flank."""
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Target(Record):
    """The pitch diameter aimed at, and the band that the mean size may move in."""

    pitch_diameter: Length
    aim: float
    """Its place in the tolerance: 0 smallest, 1 largest pitch diameter."""
    rule: str
    """Why this size."""
    guard_band: Length
    """Kept from each limit for the uncertainty of measuring."""
    standard_deviation: Length | None
    """Spread from part to part that is reckoned with; ``None`` while it is not known."""
    usable_max: Length | None
    """Largest mean size; ``None`` if the spread leaves no band."""
    usable_min: Length | None
    """Smallest mean size; ``None`` if the spread leaves no band."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drift(Record):
    """The drift of the pitch diameter as the series gives it, acted on or not."""

    parts: int
    """Parts that it rests on."""
    estimate: Length | None
    """Slope for each part; ``None`` with too few parts."""
    uncertainty: Length | None
    """Half of its 95 % interval."""
    is_significant: bool
    """Whether the interval leaves out 0; only then is the slope acted on."""
    standard_deviation: Length | None
    """Spread of the parts about the line."""
    reason: str
    """Why no drift is stated; empty if one is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PreControl(Record):
    """The zones of a tolerance as sizes."""

    green: Range
    """Middle half of the tolerance."""
    yellow_high: Range
    """Quarter below the upper limit."""
    yellow_low: Range
    """Quarter above the lower limit."""
    limits: Range
    """What lies outside is red."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredPart(Record):
    """One measured part."""

    number: int
    """Running number."""
    pitch_diameter: Length
    excess: Length
    """Metal left on it above the target; below 0 where metal is missing."""
    zone: Literal["green", "yellow-low", "yellow-high", "red-low", "red-high"]
    """Zone of pre-control."""
    verdict: Literal["accept", "reject", "undecided"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SizesAsReadings(Record):
    """The sizes that matter at the machine, as the instrument reads them."""

    method: str
    wire_diameter: Length
    target: Length
    """Reading at the target."""
    expected: Length | None
    """Reading expected after the correction."""
    max: Length
    """Reading at the largest pitch diameter."""
    min: Length
    """Reading at the smallest pitch diameter."""
    green_max: Length
    """Upper line of the green zone."""
    green_min: Length
    """Lower line of the green zone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeCorrection(Result):
    """The next correction of the cutter radius, and what it rests on."""

    pitch_diameter: tuple[Length, ...]
    """Pitch diameters measured, in order."""
    excess: Length | None
    """Metal left on above the target, on the pitch diameter, that the next part would have without
    a correction; below 0 where metal would be missing.
    """
    excess_uncertainty: Length | None
    """Its uncertainty (k = 2), measurement and spread together; ``None`` if that is not known."""
    gain: float
    """How much less the last correction moved the size than was commanded; 1 if as commanded."""
    radius_correction: Length | None
    """What to add to the radius offset to bring the next part onto the target; negative moves the
    path into the metal.
    """
    diameter_correction: Length | None
    """The same for a control that holds a diameter."""
    action: Literal["correct", "leave", "stop"]
    """Whether to make the correction now, to leave the process alone, or to stop and look."""
    action_reason: str
    radius_correction_now: Length
    """The correction if it is to be made now, else 0: what a macro may enter unseen."""
    diameter_correction_now: Length
    expected_pitch_diameter: Length | None
    """Of the next part after radius_correction."""
    drift_per_part: Length | None
    """Change of the pitch diameter for each part; ``None`` where drift.reason says why."""
    drift_per_part_uncertainty: Length | None
    """Half of the 95 % interval of a drift found in the series."""
    next_correction_after_parts: int | None
    """Parts that can be made before the next correction; ``None`` where the reason says why."""
    next_correction_reason: str
    measure_every_parts: int | None
    """A sixth of that, at least 1."""
    verdict: Literal["accept", "reject", "undecided"]
    """Of the last part."""
    recut: Recut | None
    target: Target
    drift: Drift | None
    pre_control: PreControl
    is_qualified: bool
    """Whether the last five parts at this setting are in the green."""
    parts: tuple[MeasuredPart, ...]
    readings: SizesAsReadings | None
    """``None`` where pitch diameters were given."""
    procedure: tuple[str, ...]
    """What to do step by step, where only gauges are on hand."""
    sign: str
    """What the sign means."""
