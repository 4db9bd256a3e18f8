"""Records of GO and NOT GO gauges, whatever their standard."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright_service.calc.measurement.acceptance import Band

GaugeKind = Literal["plug", "ring"]
GaugeStandard = Literal["ISO 1502", "ASME B1.2", "ASME B1.16M"]


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeSize:
    """One diameter of a gauge [mm]."""

    max_mm: float | None
    """Largest size of a new gauge; null where the gauge tolerance is not carried."""
    min_mm: float | None
    """Smallest size of a new gauge; null where the gauge tolerance is not carried."""
    nominal_mm: float
    """Size that the gauge tolerance is laid about or from."""
    wear_mm: float | None
    """Size at which a worn gauge is withdrawn; null where it is not carried."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadGauge:
    """A GO or a NOT GO gauge."""

    profile: Literal["full", "truncated"]
    """full for GO, which proves size and form together; truncated for NOT GO."""
    pitch_diameter: GaugeSize
    """Pitch diameter of the gauge, new and worn."""
    major_diameter: GaugeSize | None
    """Major diameter of a GO plug; null for other gauges or where it is not carried."""
    turns_allowed: float | None
    """How far a NOT GO gauge may enter; ``None`` for a GO gauge, which must go the whole way."""
    rule: str
    """What a good part does with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeLimits:
    """The gauges for one thread."""

    standard: GaugeStandard
    """Standard that the gauges follow."""
    gauge: GaugeKind
    """plug for an inside thread, ring for an outside one."""
    go: ThreadGauge
    """The GO gauge, which must go."""
    not_go: ThreadGauge
    """The NOT GO gauge, which must hold."""
    check_plug: GaugeSize | None
    """Plug that a new GO ring is checked with; null where it is not carried."""
    accepted_pitch_diameter: Band
    """Parts that every new gauge made to these limits passes, so that gauges never dispute them;
    null where the gauge tolerance is not carried."""
    lead_tolerance_mm: float | None
    """Tolerance on the lead of the gauge; null where it is not carried."""
    half_angle_tolerance_arcmin: float | None
    """Tolerance on the half angles of the gauge; null where it is not carried."""
    not_carried: tuple[str, ...]
    """What the standard states and this service does not, with the reason."""
    basis: str
    """Whether sizes and tolerances were read in print or are from memory."""


def go_rule(kind: GaugeKind) -> str:
    """What a good part does with a GO gauge, in words.

    Notes
    -----
    Source: common practice.
    """
    way = "in" if kind == "plug" else "on"
    return (
        f"The GO {kind} must go {way} by hand over the whole thread; it proves the size together "
        "with the errors of lead and flank angle."
    )


def not_go_rule(kind: GaugeKind, turns: float) -> str:
    """What a good part does with a NOT GO gauge, in words.

    Notes
    -----
    Source: memory; a gauge text says one and a half to three turns, by the customer's rule.
    """
    return f"The NOT GO {kind} may enter up to {turns:g} turns and must then hold."
