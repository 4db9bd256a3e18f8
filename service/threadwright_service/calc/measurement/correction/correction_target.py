"""The size to aim at inside the tolerance, and the band in which the mean size may move."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.errors import (
    AmbiguousError,
    InfeasibleError,
    MissingInputError,
    OutOfRangeError,
)
from threadwright_service.calc.measurement.correction.correction_result import Target
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Formula, Trail

SPREADS: Final = 3.0
"""Standard deviations that the mean size keeps from the guarded limits."""

AIM: Final = Formula(
    "pitch diameter aimed at",
    "E_t",
    "E_min + a*(E_max - E_min)",
    "E_min E_max a",
    unit="mm",
    source="common practice",
)
MARGIN: Final = Formula(
    "distance of the mean size from a limit",
    "m",
    "g + z*s",
    "g z s",
    unit="mm",
    source="derivation, guard band and z standard deviations",
)
START: Final = Formula(
    "metal left at the start, from the middle of the tolerance",
    "x_0",
    "-d*(T/2 - m)",
    "d T m",
    unit="mm",
    source="derivation, start at the side that the drift walks away from",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Limits in metal left on, from the middle of the tolerance: the same outside and inside.

    ``outward`` is +1 for an external thread, on which more metal is a larger pitch diameter, and
    -1 for an internal one.
    """

    outward: float
    middle_mm: float
    half_mm: float
    max_mm: float
    min_mm: float

    def metal_left_mm(self, pitch_diameter_mm: float) -> float:
        """Metal above the middle of the tolerance."""
        return self.outward * (pitch_diameter_mm - self.middle_mm)

    def pitch_diameter_mm(self, metal_left_mm: float) -> float:
        """The pitch diameter with this metal left above the middle."""
        return self.middle_mm + self.outward * metal_left_mm


def band_of(thread: ThreadLimits) -> Band:
    """The tolerance of a thread in millimetres.

    Parameters
    ----------
    thread : ThreadLimits
        The thread, in millimetres; a taper thread in the plane in which its limits hold.

    Raises
    ------
    MissingInputError
        If the standard sets no pitch diameter limits.
    InfeasibleError
        If the limits leave no tolerance.

    Notes
    -----
    Source: derivation.
    """
    limits = thread.limits.pitch_diameter
    if limits.max is None or limits.min is None:
        raise MissingInputError(
            f"{thread.designation} has no two limits of the pitch diameter",
            parameter="tolerance_class",
            accepted="a class with limits",
        )
    if not limits.max > limits.min:
        raise InfeasibleError(
            f"the pitch diameter limits {limits.min:g} mm and {limits.max:g} mm leave no tolerance",
            parameter="tolerance_class",
        )
    return Band(
        outward=1.0 if thread.side == "external" else -1.0,
        middle_mm=(limits.max + limits.min) / 2,
        half_mm=(limits.max - limits.min) / 2,
        max_mm=limits.max,
        min_mm=limits.min,
    )


def guard_band_mm(band: Band, uncertainty_mm: float | None) -> float:
    """The guard band at each limit, g = U [mm].

    Raises
    ------
    OutOfRangeError
        If the uncertainty is not a finite number from 0.
    InfeasibleError
        If the two guard bands leave nothing between them.

    Notes
    -----
    Source: iso-14253-1, g = U with k = 2.
    """
    if uncertainty_mm is None:
        return 0.0
    if not (math.isfinite(uncertainty_mm) and uncertainty_mm >= 0):
        raise OutOfRangeError(
            f"the uncertainty is {uncertainty_mm:g} mm",
            parameter="uncertainty",
            value=uncertainty_mm,
            accepted="a finite number from 0",
        )
    if uncertainty_mm >= band.half_mm:
        raise InfeasibleError(
            f"an uncertainty of {uncertainty_mm:g} mm at each limit leaves nothing of the "
            f"tolerance of {2 * band.half_mm:.6g} mm",
            parameter="uncertainty",
            value=uncertainty_mm,
            accepted=f"below {band.half_mm:.6g} mm",
        )
    return uncertainty_mm


def margin_mm(
    band: Band, guard_mm: float, spread_mm: float | None, trail: Trail | None = None
) -> float:
    """Distance that the mean size keeps from each limit [mm].

    Parameters
    ----------
    band : Band
        The tolerance.
    guard_mm : float
        Guard band.
    spread_mm : float or None
        Standard deviation from part to part; unknown, a quarter of the tolerance is kept.
    trail : Trail, optional
        Takes the working.

    Notes
    -----
    Source: derivation; the quarter is the line of pre-control (pre-control-articles).
    """
    if spread_mm is None:
        return max(band.half_mm / 2, guard_mm)
    return MARGIN(trail, guard_mm, SPREADS, spread_mm)


def target_of(
    *,
    band: Band,
    guard_mm: float,
    spread_mm: float | None,
    aim_ratio: float | None,
    wear_start: bool,
    drift_direction: Literal[-1, 1],
    trail: Trail | None = None,
) -> Target:
    """The size to aim at.

    Parameters
    ----------
    band : Band
        The tolerance.
    guard_mm : float
        Guard band at each limit.
    spread_mm : float or None
        Standard deviation from part to part, if known.
    aim_ratio : float or None
        Place in the tolerance, 0 (smallest pitch diameter) to 1; inside the guard bands.
    wear_start : bool
        Start at the side that the drift walks away from.
    drift_direction : -1 or 1
        1 if the metal left on grows from part to part, as with a cutter that wears.
    trail : Trail, optional
        Takes assumptions, cautions and working.

    Raises
    ------
    AmbiguousError
        If an aim is given together with ``wear_start``.
    OutOfRangeError
        If the aim is outside 0 to 1, or in a guard band.

    Notes
    -----
    Source: derivation; the middle by default is common practice.
    """
    margin = margin_mm(band, guard_mm, spread_mm, trail if wear_start else None)
    fits = margin < band.half_mm
    if not fits and trail is not None:
        trail.caution(
            "spread-too-large",
            f"Guard band and {SPREADS:g} standard deviations at each limit ({margin:.4g} mm) fill "
            f"the tolerance of {2 * band.half_mm:.4g} mm: parts will fall outside whatever the "
            "offset; mend the process first.",
        )
    if wear_start:
        if aim_ratio is not None:
            raise AmbiguousError(
                "pitch_diameter_aim and wear_start both say where to aim",
                parameter="pitch_diameter_aim",
                value=aim_ratio,
                accepted="one of the two",
            )
        left = START(trail, drift_direction, 2 * band.half_mm, margin) if fits else 0.0
        size = band.pitch_diameter_mm(left)
        rule = _wear_rule(fits, spread_mm, drift_direction)
    else:
        ratio = _ratio(band, guard_mm, aim_ratio, trail)
        size = AIM(trail, band.min_mm, band.max_mm, ratio)
        rule = f"{ratio:g} of the tolerance, counted from the smallest pitch diameter"
    return Target(
        pitch_diameter_mm=size,
        aim_ratio=(size - band.min_mm) / (2 * band.half_mm),
        rule=rule,
        guard_band_mm=guard_mm,
        standard_deviation_mm=spread_mm,
        usable_max_mm=band.max_mm - margin if fits else None,
        usable_min_mm=band.min_mm + margin if fits else None,
    )


def _ratio(band: Band, guard_mm: float, aim_ratio: float | None, trail: Trail | None) -> float:
    if aim_ratio is None:
        if trail is not None:
            trail.assume("pitch_diameter_aim", 0.5, "none given; the middle of the tolerance")
        return 0.5
    share = guard_mm / (2 * band.half_mm)
    if not share <= aim_ratio <= 1 - share:
        raise OutOfRangeError(
            f"an aim of {aim_ratio:g} is outside the tolerance"
            if not 0 <= aim_ratio <= 1
            else f"an aim of {aim_ratio:g} lies in the guard band of {guard_mm:g} mm",
            parameter="pitch_diameter_aim",
            value=aim_ratio,
            accepted=f"{share:.4g} to {1 - share:.4g}",
        )
    return aim_ratio


def _wear_rule(fits: bool, spread_mm: float | None, drift_direction: int) -> str:
    if not fits:
        return "the middle: the spread leaves no band to let the size walk through"
    side = "metal-poor" if drift_direction > 0 else "metal-rich"
    kept = (
        "a quarter of the tolerance, because the spread is not known yet"
        if spread_mm is None
        else f"the guard band and {SPREADS:g} standard deviations"
    )
    return f"start for wear: at the {side} limit less {kept}"
