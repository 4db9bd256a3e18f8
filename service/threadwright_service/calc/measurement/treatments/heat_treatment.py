"""Threads that are hardened after cutting: growth, and limits to cut to before it.

A uniform growth changes the pitch diameter and the lead alike. The lead error that it makes acts
on the functional size whatever its sign, so a part that shrinks can still refuse its GO gauge.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import InfeasibleError, MissingInputError, OutOfRangeError
from threadwright_service.calc.measurement.acceptance import Band
from threadwright_service.calc.measurement.plausible_size import check_pitch_diameter
from threadwright_service.calc.measurement.treatments.functional_size import (
    accumulated_pitch_error_mm,
    pitch_effect_mm,
)
from threadwright_service.calc.measurement.wires.groove import Groove, groove_of
from threadwright_service.calc.threads.thread import Span, ThreadLimits
from threadwright_service.calc.trail import Formula, Trail

GROWTH_MAX_RATIO: Final = 0.02
"""Two per cent: far above what hardening does, so a percentage given as a number is caught."""

GROWN: Final = Formula(
    "pitch diameter after the treatment", "E1", "E * (1 + e)", "E e", unit="mm", source="derivation"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BeforeHeatTreatment:
    """Limits to cut to so that the hardened thread keeps its limits and its GO gauge."""

    growth_min_ratio: float
    """Smallest growth over size; negative where the part shrinks."""
    growth_max_ratio: float
    """Largest growth over size; negative where the part shrinks."""
    length_of_engagement_mm: float
    """Length over which the lead error of the growth adds up."""
    pitch_effect_mm: float
    """What the lead error of the larger growth costs on the pitch diameter."""
    pitch_diameter: Band
    """Limits before the treatment, with the lead error taken off on the GO side."""
    major_diameter: Band
    """Limits of the major diameter before the treatment."""
    minor_diameter: Band
    """Limits of the minor diameter before the treatment."""
    pitch_diameter_tolerance_mm: float | None
    """What is left of the tolerance before the treatment; null without both limits."""
    basis: str
    """What the limits and their change by the growth rest on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatTreatmentChange:
    """What a growth does to one thread."""

    pitch_diameter_mm: float
    pitch_diameter_change_mm: float
    pitch_error_mm: float
    pitch_effect_mm: float
    functional_change_mm: float
    """Change of the size at which the thread acts, positive if it grows."""


def heat_treatment_change(
    *,
    thread: ThreadLimits,
    pitch_diameter_mm: float,
    growth_ratio: float,
    length_of_engagement_mm: float,
    trail: Trail | None = None,
) -> HeatTreatmentChange:
    """Change of simple and functional pitch diameter by a uniform growth.

    Parameters
    ----------
    thread : ThreadLimits
        The thread; in either unit.
    pitch_diameter_mm : float
        Pitch diameter before [mm]; above 0.
    growth_ratio : float
        Growth over size, e; negative if the part shrinks; -0.02 to 0.02.
    length_of_engagement_mm : float
        Length over which the lead error adds up [mm]; above 0.
    trail : Trail, optional
        Takes the working.

    Raises
    ------
    OutOfRangeError
        Outside these ranges.

    Notes
    -----
    Source: derivation.
    """
    _check_growth(growth_ratio)
    check_pitch_diameter(pitch_diameter_mm)
    groove = groove_of(thread)
    error = accumulated_pitch_error_mm(
        relative_error_ratio=growth_ratio, length_of_engagement_mm=length_of_engagement_mm
    )
    effect = pitch_effect_mm(groove=groove, pitch_error_mm=error, trail=trail)
    after = GROWN(trail, pitch_diameter_mm, growth_ratio)
    outward = 1.0 if groove.side == "external" else -1.0
    return HeatTreatmentChange(
        pitch_diameter_mm=after,
        pitch_diameter_change_mm=after - pitch_diameter_mm,
        pitch_error_mm=error,
        pitch_effect_mm=effect,
        functional_change_mm=after - pitch_diameter_mm + outward * effect,
    )


def before_heat_treatment(
    *,
    thread: ThreadLimits,
    growth_min_ratio: float,
    growth_max_ratio: float,
    length_of_engagement_mm: float | None = None,
    trail: Trail | None = None,
) -> BeforeHeatTreatment:
    """Limits before a treatment whose growth lies between two values.

    Parameters
    ----------
    thread : ThreadLimits
        The thread; in either unit. Its limits hold for the hardened part.
    growth_min_ratio, growth_max_ratio : float
        Smallest and largest growth over size, signed; -0.02 to 0.02. Measure a part before and
        after: typical values differ too much to be taken from a book.
    length_of_engagement_mm : float, optional
        Length over which the lead error adds up [mm]; that of the thread if it states one.
    trail : Trail, optional
        Takes cautions and working.

    Raises
    ------
    OutOfRangeError
        If a growth is outside its range, or the smallest is above the largest.
    MissingInputError
        If neither a length of engagement is given nor the thread states one.
    InfeasibleError
        If nothing is left of the tolerance.

    Notes
    -----
    Source: derivation. On the GO side the functional size counts, on the other the simple one.
    """
    _check_growths(growth_min_ratio, growth_max_ratio)
    own = thread.in_millimetres()
    length = _length_of_engagement_mm(own, length_of_engagement_mm)
    groove = groove_of(own)
    growths = (growth_min_ratio, growth_max_ratio)
    band = _pitch_diameter_before(own, groove, growths, length, trail)
    left = _tolerance_left_mm(band, growth_max_ratio)
    if trail is not None:
        trail.caution(
            "growth-measured",
            "Growth by heat treatment differs from batch to batch and along a part: measure one "
            "part before and after, and finish critical threads after hardening.",
        )
    return BeforeHeatTreatment(
        growth_min_ratio=growth_min_ratio,
        growth_max_ratio=growth_max_ratio,
        length_of_engagement_mm=length,
        pitch_effect_mm=max(_effect(groove, growth, length) for growth in growths),
        pitch_diameter=band,
        major_diameter=_scaled_back(own.limits.major_diameter, growths),
        minor_diameter=_scaled_back(own.limits.minor_diameter, growths),
        pitch_diameter_tolerance_mm=left,
        basis=f"limits: {thread.basis}; change by growth: derivation",
    )


def _pitch_diameter_before(
    own: ThreadLimits,
    groove: Groove,
    growths: tuple[float, float],
    length: float,
    trail: Trail | None,
) -> Band:
    """The band that every growth between the two carries into the limits.

    Each bound is monotone in the growth on either side of zero and tightest at one of the ends.
    """
    limits = own.limits.pitch_diameter
    plain = _scaled_back(limits, growths)
    if own.side == "external":
        high = None
        if limits.max is not None:
            high = min(
                (limits.max - _effect(groove, growth, length)) / (1 + growth) for growth in growths
            )
        band = Band(max_mm=high, min_mm=plain.min_mm)
    else:
        low = None
        if limits.min is not None:
            low = max(
                (limits.min + _effect(groove, growth, length)) / (1 + growth) for growth in growths
            )
        band = Band(max_mm=plain.max_mm, min_mm=low)
    if trail is not None:
        for name, symbol, value in (
            ("largest pitch diameter before the treatment", "E_max_pre", band.max_mm),
            ("smallest pitch diameter before the treatment", "E_min_pre", band.min_mm),
        ):
            if value is not None:
                trail.step(
                    name,
                    symbol,
                    "(E_limit -/+ f_P on the GO side) / (1 + e), the tighter of both growths",
                    {"e_min": growths[0], "e_max": growths[1], "Le": length},
                    value,
                    "mm",
                    "derivation",
                )
    return band


def _tolerance_left_mm(before: Band, growth_max: float) -> float | None:
    """Width of the band to cut to; ``None`` where it has one end or none."""
    if before.max_mm is None or before.min_mm is None:
        return None
    left = before.max_mm - before.min_mm
    if left < 0:
        raise InfeasibleError(
            f"the growth leaves nothing of the pitch diameter's tolerance ({-left:.4f} mm too "
            "little)",
            parameter="growth_max",
            value=growth_max,
            accepted="a growth with less spread, a shorter engagement, a corrected lead, or a "
            "wider class",
        )
    return left


def _effect(groove: Groove, growth: float, length: float) -> float:
    return pitch_effect_mm(groove=groove, pitch_error_mm=growth * length)


def _scaled_back(limits: Span, growths: tuple[float, float]) -> Band:
    return Band(
        max_mm=None if limits.max is None else limits.max / (1 + growths[1]),
        min_mm=None if limits.min is None else limits.min / (1 + growths[0]),
    )


def _length_of_engagement_mm(own: ThreadLimits, given_mm: float | None) -> float:
    """The given length of engagement, else the thread's own."""
    length = own.length_of_engagement if given_mm is None else given_mm
    if length is None:
        raise MissingInputError(
            "a growth makes a lead error that adds up over the engagement; its length is needed",
            parameter="length_of_engagement",
            accepted="the length of engagement, in the request's unit",
        )
    if not length > 0:
        raise OutOfRangeError(
            f"the length of engagement is {length:g} mm",
            parameter="length_of_engagement",
            value=length,
            accepted="a length above 0",
        )
    return length


def _check_growths(smallest: float, largest: float) -> None:
    _check_growth(smallest)
    _check_growth(largest)
    if smallest > largest:
        raise OutOfRangeError(
            f"the smallest growth, {smallest:g}, is above the largest, {largest:g}",
            parameter="growth_min",
            value=smallest,
            accepted="not above the largest growth",
        )


def _check_growth(growth: float) -> None:
    if not abs(growth) <= GROWTH_MAX_RATIO:
        raise OutOfRangeError(
            f"the growth is {growth:g} of the size; growth by heat treatment is a small share, "
            "0.0005 for 0.05 %",
            parameter="growth",
            value=growth,
            accepted=f"-{GROWTH_MAX_RATIO:g} to {GROWTH_MAX_RATIO:g}",
        )
