"""Records of GO and NOT GO gauges, whatever their standard."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright_service.calc.measurement.acceptance import Band

GaugeKind = Literal["plug", "ring"]
GaugeStandard = Literal["ISO 1502", "ASME B1.2", "ASME B1.16M"]


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeSize:
    """One diameter of a gauge [mm].

    ``max_mm`` and ``min_mm`` are those of a new gauge, ``nominal_mm`` what its tolerance is laid
    about or from, ``wear_mm`` the size at which it is withdrawn; ``None`` where it is not carried.
    """

    max_mm: float | None
    min_mm: float | None
    nominal_mm: float
    wear_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadGauge:
    """A GO or a NOT GO gauge."""

    profile: Literal["full", "truncated"]
    pitch_diameter: GaugeSize
    major_diameter: GaugeSize | None
    turns_allowed: float | None
    """How far a NOT GO gauge may enter; ``None`` for a GO gauge, which must go the whole way."""
    rule: str
    """What a good part does with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeLimits:
    """The gauges for one thread.

    ``accepted_pitch_diameter`` is the range of parts that every new gauge made to these limits
    passes: the part of the tolerance that gauges never dispute.
    """

    standard: GaugeStandard
    gauge: GaugeKind
    go: ThreadGauge
    not_go: ThreadGauge
    check_plug: GaugeSize | None
    """Plug that a new GO ring is checked with, where it is carried."""
    accepted_pitch_diameter: Band
    lead_tolerance_mm: float | None
    half_angle_tolerance_arcmin: float | None
    not_carried: tuple[str, ...]
    """What the standard states and this service does not, with the reason."""
    basis: str


def go_rule(kind: GaugeKind) -> str:
    """What a good part does with a GO gauge, in words.

    Notes
    -----
    Source: common practice.
    """
    return (
        f"The GO {kind} must go on by hand over the whole thread; it proves the size together "
        "with the errors of lead and flank angle."
    )


def not_go_rule(kind: GaugeKind, turns: float) -> str:
    """What a good part does with a NOT GO gauge, in words.

    Notes
    -----
    Source: memory; a gauge text says one and a half to three turns, by the customer's rule.
    """
    return f"The NOT GO {kind} may enter up to {turns:g} turns and must then hold."
