"""Result on gauges."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright.quantities import Length
from threadwright.record import Record
from threadwright.results.answer import Result, Span


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeSize(Record):
    """One diameter of a gauge."""

    max: Length | None
    min: Length | None
    nominal: Length
    wear: Length | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadGauge(Record):
    """A GO or a NOT GO gauge."""

    profile: Literal["full", "truncated"]
    pitch_diameter: GaugeSize
    major_diameter: GaugeSize | None
    turns_allowed: float | None
    """How far a NOT GO gauge may enter; ``None`` for a GO gauge, which must go the whole way."""
    rule: str
    """What a good part does with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeLimits(Result):
    """The gauges for one thread."""

    standard: Literal["ISO 1502", "ASME B1.2", "ASME B1.16M"]
    gauge: Literal["plug", "ring"]
    go: ThreadGauge
    not_go: ThreadGauge
    check_plug: GaugeSize | None
    """Plug that a new GO ring is checked with, where it is carried."""
    accepted_pitch_diameter: Span
    lead_tolerance: Length | None
    half_angle_tolerance_arcmin: float | None
    not_carried: tuple[str, ...]
    """What the standard states and this service does not, with the reason."""
    basis: str
