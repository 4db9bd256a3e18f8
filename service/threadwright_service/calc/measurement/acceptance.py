"""Whether a measured size is inside its limits, as far as the measurement can say."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.threads.thread import Span
from threadwright_service.calc.trail import Formula, Trail

Verdict = Literal["accept", "reject", "undecided"]
AcceptanceRule = Literal["guard-band", "simple"]

SIMPLE_ACCEPTANCE_RATIO: Final = 4.0
"""Tolerance over 2 U from which plain comparison with the limits is allowed."""

WHOLE_UNCERTAINTY: Final = 1.0
"""Width of the guard band over U by ISO 14253-1."""

_NOTHING_MM: Final = 1e-9
"""Far below any reading: keeps a size on a limit inside it after conversions."""

GUARD_BAND: Final = Formula(
    "guard band", "g", "s * U", "s U", unit="mm", source="iso-14253-1, g = U with k = 2"
)
RATIO: Final = Formula(
    "tolerance over the uncertainty interval",
    "N",
    "(E_max - E_min) / (2*U)",
    "E_max E_min U",
    unit="",
    source="asme-b89-7-3-1, N:1 decision rule",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Largest and smallest accepted size [mm]; ``None`` where nothing bounds it."""

    max_mm: float | None
    """Upper end; null where nothing bounds it."""
    min_mm: float | None
    """Lower end; null where nothing bounds it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance:
    """How a pitch diameter is judged."""

    rule: AcceptanceRule
    """guard-band keeps the uncertainty away from both limits; simple compares with the limits."""
    uncertainty_mm: float | None
    """Expanded uncertainty of the pitch diameter; null if it is not known."""
    guard_band_mm: float
    """Kept from each limit; 0 with the simple rule or without an uncertainty."""
    tolerance_to_uncertainty_ratio: float | None
    """Tolerance over twice the uncertainty; null unless both are known."""
    pitch_diameter: Band
    """Measured pitch diameters that are accepted; both ends null if none is."""
    zone_is_empty: bool
    """Whether the uncertainty leaves no size that could be accepted."""


def acceptance(
    *,
    limits: Span,
    uncertainty_mm: float | None,
    rule: AcceptanceRule = "guard-band",
    guard_band_ratio: float = WHOLE_UNCERTAINTY,
    trail: Trail | None = None,
) -> Acceptance:
    """The zone in which a measured pitch diameter is accepted.

    Parameters
    ----------
    limits : Span
        Limits of the pitch diameter [mm].
    uncertainty_mm : float or None
        Expanded uncertainty of the pitch diameter, U (k = 2) [mm]; ``None`` if it is not known.
    rule : {"guard-band", "simple"}
        ``guard-band``: accepted inside the limits less g, rejected outside them by more than g,
        undecided between. ``simple``: the limits themselves, allowed when the tolerance is at
        least four times 2 U.
    guard_band_ratio : float
        g over U, 0 to 1.5; 1 by ISO 14253-1.
    trail : Trail, optional
        Takes the working and what the uncertainty's absence was taken for.

    Raises
    ------
    OutOfRangeError
        If the uncertainty is negative or the ratio outside 0 to 1.5.
    InfeasibleError
        If simple acceptance is asked for with too large an uncertainty.

    Notes
    -----
    Source: asme-b89-7-3-1 for N (the 4 from memory); iso-14253-1 for the guard band.

    Examples
    --------
    M10x1.5-6g, U = 5 µm: 13 to 1, accepted from 8.8667 to 8.9887 mm.

    >>> found = acceptance(limits=Span(max=8.9937, min=8.8617), uncertainty_mm=0.005)
    >>> round(found.tolerance_to_uncertainty_ratio, 1)
    13.2
    >>> round(found.pitch_diameter.min_mm, 4), round(found.pitch_diameter.max_mm, 4)
    (8.8667, 8.9887)
    """
    if uncertainty_mm is not None and not uncertainty_mm >= 0:
        raise OutOfRangeError(
            f"the uncertainty is {uncertainty_mm:g} mm",
            parameter="uncertainty",
            value=uncertainty_mm,
            accepted="0 or more",
        )
    if not 0 <= guard_band_ratio <= 1.5:
        raise OutOfRangeError(
            f"the guard band is {guard_band_ratio:g} times the uncertainty",
            parameter="guard_band_share",
            value=guard_band_ratio,
            accepted="0 to 1.5",
        )
    known = uncertainty_mm or 0.0
    ratio = None
    if known and limits.max is not None and limits.min is not None:
        ratio = RATIO(trail, limits.max, limits.min, known)
    if rule == "simple":
        if ratio is not None and ratio < SIMPLE_ACCEPTANCE_RATIO:
            raise InfeasibleError(
                f"the tolerance is only {ratio:.1f} times the uncertainty interval; simple "
                f"acceptance needs {SIMPLE_ACCEPTANCE_RATIO:g} to 1",
                parameter="acceptance_rule",
                value=rule,
                accepted="guard-band, or a smaller uncertainty",
            )
        guard = 0.0
    else:
        guard = GUARD_BAND(trail, guard_band_ratio, known)
    high = None if limits.max is None else limits.max - guard
    low = None if limits.min is None else limits.min + guard
    empty = high is not None and low is not None and high < low
    return Acceptance(
        rule=rule,
        uncertainty_mm=uncertainty_mm,
        guard_band_mm=guard,
        tolerance_to_uncertainty_ratio=ratio,
        pitch_diameter=Band(max_mm=None if empty else high, min_mm=None if empty else low),
        zone_is_empty=empty,
    )


def verdict(*, pitch_diameter_mm: float, limits: Span, judged: Acceptance) -> Verdict:
    """Whether a measured pitch diameter is inside its limits, as far as it can be said.

    Parameters
    ----------
    pitch_diameter_mm : float
        Measured pitch diameter [mm].
    limits : Span
        Limits of the pitch diameter [mm].
    judged : Acceptance
        As :func:`acceptance` gives it.

    Notes
    -----
    Source: iso-14253-1 (read in outline).
    """
    guard, size = judged.guard_band_mm, pitch_diameter_mm
    over = -math.inf if limits.max is None else size - limits.max - _NOTHING_MM
    under = -math.inf if limits.min is None else limits.min - size - _NOTHING_MM
    outside = max(over, under)
    if outside > guard:
        return "reject"
    return "undecided" if outside > -guard else "accept"


def acceptance_of_limits(
    *,
    limits: Span,
    uncertainty_mm: float | None,
    rule: AcceptanceRule,
    guard_band_ratio: float | None,
    has_reading: bool,
    trail: Trail | None = None,
) -> Acceptance | None:
    """The zone of acceptance with what must be said about it; ``None`` without any limit.

    Parameters
    ----------
    limits, uncertainty_mm, rule
        As for :func:`acceptance`.
    guard_band_ratio : float or None
        As for :func:`acceptance`; ``None``: that of ISO 14253-1, which is noted as assumed.
    has_reading : bool
        Whether a size was measured, so that a missing uncertainty matters.
    trail : Trail, optional
        Takes assumption, cautions and working.

    Raises
    ------
    OutOfRangeError, InfeasibleError
        As :func:`acceptance`.

    Notes
    -----
    Source: as :func:`acceptance`.
    """
    if limits.max is None and limits.min is None:
        return None
    judged = acceptance(
        limits=limits,
        uncertainty_mm=uncertainty_mm,
        rule=rule,
        guard_band_ratio=WHOLE_UNCERTAINTY if guard_band_ratio is None else guard_band_ratio,
        trail=trail,
    )
    if trail is not None:
        if guard_band_ratio is None and rule == "guard-band" and uncertainty_mm:
            trail.assume(
                "guard_band_share",
                WHOLE_UNCERTAINTY,
                "none given; ISO 14253-1 takes the whole uncertainty",
            )
        if uncertainty_mm is None and has_reading:
            trail.assume("uncertainty", 0.0, "none given; the reading is taken as exact", unit="mm")
            trail.caution(
                "uncertainty-unknown",
                "No measuring uncertainty was given: near a limit the verdict is not proof.",
            )
        ratio = judged.tolerance_to_uncertainty_ratio
        if ratio is not None and ratio < SIMPLE_ACCEPTANCE_RATIO:
            trail.caution(
                "uncertainty-large",
                f"The tolerance is only {ratio:.1f} times the uncertainty interval; "
                f"{SIMPLE_ACCEPTANCE_RATIO:g} to 1 or more is usual.",
            )
    return judged
