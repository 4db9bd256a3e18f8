"""Coated threads: what a coating does to the diameters, and limits to cut to before it.

A coating of thickness ``t`` on every surface moves each flank by ``t`` square to itself, so the
pitch diameter by much more than ``2 t``: 4 t at 60 degrees, 8 t at 29 degrees.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.measurement.acceptance import Band
from threadwright_service.calc.measurement.treatments.iso_4042 import (
    LengthOfCoating,
    length_group,
    thickness_that_fits_um,
)
from threadwright_service.calc.threads.thread import Span, ThreadForm, ThreadLimits
from threadwright_service.calc.trail import Formula, Trail

FLANK_FACTOR: Final = Formula(
    "change of the pitch diameter for each unit of coating thickness",
    "k",
    "2 * (1/cos(radians(A1)) + 1/cos(radians(A2))) / (tan(radians(A1)) + tan(radians(A2)))",
    "A1 A2",
    unit="",
    source="plating-article, 4 t at 60 degrees; derivation, 2 / sin A for symmetric flanks",
)
OUTSIDE_MAX: Final = Formula(
    "largest pitch diameter before coating", "E_max_pre", "E_max - k * t_max", "E_max k t_max",
    unit="mm", source="derivation",
)  # fmt: skip
OUTSIDE_MIN: Final = Formula(
    "smallest pitch diameter before coating", "E_min_pre", "E_min - k * t_min", "E_min k t_min",
    unit="mm", source="derivation",
)  # fmt: skip
INSIDE_MAX: Final = Formula(
    "largest pitch diameter before coating", "E_max_pre", "E_max + k * t_min", "E_max k t_min",
    unit="mm", source="derivation",
)  # fmt: skip
INSIDE_MIN: Final = Formula(
    "smallest pitch diameter before coating", "E_min_pre", "E_min + k * t_max", "E_min k t_max",
    unit="mm", source="derivation",
)  # fmt: skip

CREST_FACTOR: Final = 2.0
"""Crest and root cylinders move by the thickness on the radius."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatedDiameters:
    """Limits of the three diameters [mm]."""

    major_diameter: Band
    """Limits of the major diameter before coating."""
    pitch_diameter: Band
    """Limits of the pitch diameter before coating."""
    minor_diameter: Band
    """Limits of the minor diameter before coating."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BeforeCoating:
    """Limits to cut to so that the coated thread keeps its limits."""

    thickness_min_mm: float
    """Smallest thickness on one surface; the largest once more if none was given."""
    thickness_max_mm: float
    """Largest thickness of the coating on one surface."""
    flank_factor_ratio: float
    """Change of the pitch diameter for each unit of thickness on one surface."""
    limits: CoatedDiameters
    """Limits of size to cut to, before coating."""
    pitch_diameter_tolerance_mm: float | None
    """What is left of the tolerance before coating; null without both limits."""
    tolerance_taken_mm: float
    """What the spread of the thickness takes from it."""
    basis: str
    """What the limits and their change by the coating rest on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatedFit:
    """A thread that is cut to its own limits and coated afterwards.

    The coated thread may go up to the basic size (position h or H); the allowance is what the
    coating may fill.
    """

    allowance_mm: float
    """What the coating may fill: from the nearer limit as cut to the basic pitch diameter."""
    flank_factor_ratio: float
    """Change of the pitch diameter for each unit of thickness on one surface."""
    thickness_max_mm: float
    """Largest thickness that never passes the basic size, by geometry alone."""
    coated_pitch_diameter: Band
    """Limits after coating with the given thickness; as cut without one."""
    basic_pitch_diameter_mm: float
    """Basic size, which the coated thread may reach and not pass."""
    fits: bool | None
    """Whether the thickest coating keeps to the basic size; null if no thickness was given."""
    left_mm: float | None
    """Distance from the largest coated screw (smallest coated nut) to the basic size; negative if
    it passes that, null if no thickness was given."""
    iso_4042: IsoThickness | None
    """Largest thickness by the guidance of ISO 4042; null for all but ISO metric threads."""
    basis: str
    """What the limits and their change by the coating rest on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class IsoThickness:
    """Largest thickness by the guidance of ISO 4042, for metric threads."""

    length: LengthOfCoating
    """le5d, le10d, le15d: the part is up to 5, 10 or 15 diameters long; local: no
    length was given."""
    thickness_max_um: float
    """Largest thickness of the standard's series that fits; 0 if none does."""
    departs_from_rule: bool
    """Whether the standard's table prints another value than its own rule gives."""


def flank_factor_ratio(*, form: ThreadForm, trail: Trail | None = None) -> float:
    """Change of the pitch diameter for each unit of thickness on one surface.

    Parameters
    ----------
    form : ThreadForm
        The form: its flank angles count.
    trail : Trail, optional
        Takes the working.

    Notes
    -----
    Source: plating-article for 60 and 29 degrees; derivation for any flanks.
    """
    return FLANK_FACTOR(trail, form.pressure_flank_angle_deg, form.clearance_flank_angle_deg)


def before_coating(
    *,
    thread: ThreadLimits,
    thickness_max_mm: float,
    thickness_min_mm: float | None = None,
    trail: Trail | None = None,
) -> BeforeCoating:
    """Limits before coating, where the thread's own limits hold for the coated part.

    Parameters
    ----------
    thread : ThreadLimits
        The thread; in either unit.
    thickness_max_mm : float
        Largest thickness on one surface [mm]; 0 or more.
    thickness_min_mm : float, optional
        Smallest thickness [mm]; without it the coating is taken as even.
    trail : Trail, optional
        Takes assumption, cautions and working.

    Raises
    ------
    OutOfRangeError
        If a thickness is negative, or the smallest is above the largest.
    InfeasibleError
        If the spread of the thickness takes the whole tolerance of a diameter.

    Notes
    -----
    Source: derivation. Crest and root move by 2 t: plating-article.
    """
    thickness_min_mm = _thicknesses(thickness_max_mm, thickness_min_mm, trail)
    own = thread.in_millimetres()
    factor = flank_factor_ratio(form=own.form, trail=trail)
    spread = (thickness_min_mm, thickness_max_mm)
    pitch = _pitch_before(own, factor, spread, trail)
    limits = CoatedDiameters(
        major_diameter=_before(own, own.limits.major_diameter, CREST_FACTOR, spread),
        pitch_diameter=pitch,
        minor_diameter=_before(own, own.limits.minor_diameter, CREST_FACTOR, spread),
    )
    _check_left(limits)
    if trail is not None:
        _uneven(trail)
    left = None
    if pitch.max_mm is not None and pitch.min_mm is not None:
        left = pitch.max_mm - pitch.min_mm
    return BeforeCoating(
        thickness_min_mm=thickness_min_mm,
        thickness_max_mm=thickness_max_mm,
        flank_factor_ratio=factor,
        limits=limits,
        pitch_diameter_tolerance_mm=left,
        tolerance_taken_mm=factor * (thickness_max_mm - thickness_min_mm),
        basis=f"limits: {thread.basis}; change by coating: derivation",
    )


def coated_fit(
    *,
    thread: ThreadLimits,
    thickness_max_mm: float | None = None,
    thickness_min_mm: float | None = None,
    coated_length_mm: float | None = None,
    trail: Trail | None = None,
) -> CoatedFit:
    """Whether a coating fits into the allowance of a thread that is cut to its own limits.

    Parameters
    ----------
    thread : ThreadLimits
        The thread; in either unit.
    thickness_max_mm, thickness_min_mm : float, optional
        Thickness on one surface [mm]; without them only the largest that fits is told.
    coated_length_mm : float, optional
        Nominal length of the coated part [mm], for the guidance of ISO 4042 on metric threads;
        without it the thickness is taken as agreed where it is measured.
    trail : Trail, optional
        Takes assumptions, cautions and working.

    Raises
    ------
    OutOfRangeError
        If a thickness is negative, or the smallest is above the largest.
    InfeasibleError
        If the thread's standard limits the pitch diameter on one side only.
    NotTabulatedError
        If the coated part is longer than the guidance covers.

    Notes
    -----
    Source: derivation for the geometry; iso-4042 for the guidance; that the allowance takes the
    coating up: iso-965-1 for g and the like, asme-b1-1 for 2A (memory).
    """
    own = thread.in_millimetres()
    limits = own.limits.pitch_diameter
    if limits.max is None or limits.min is None:
        raise InfeasibleError(
            "the fit of a coating needs both limits of the pitch diameter",
            parameter="tolerance_class",
            value=thread.tolerance_class,
            accepted="a class that limits the pitch diameter",
        )
    factor = flank_factor_ratio(form=own.form, trail=trail)
    allowance = own.allowance
    thick, thin = 0.0, 0.0
    if thickness_max_mm is not None:
        thick, thin = thickness_max_mm, _thicknesses(thickness_max_mm, thickness_min_mm, trail)
    if own.side == "external":
        coated = Band(max_mm=limits.max + factor * thick, min_mm=limits.min + factor * thin)
    else:
        coated = Band(max_mm=limits.max - factor * thin, min_mm=limits.min - factor * thick)
    left = None if thickness_max_mm is None else allowance - factor * thick
    if trail is not None:
        _uneven(trail)
        if left is not None and left < -1e-9:
            trail.caution(
                "coating-too-thick",
                f"The coating passes the basic size by {-left:.4g} mm: cut to limits before "
                "coating instead, or choose a position with a larger allowance.",
            )
    return CoatedFit(
        allowance_mm=allowance,
        flank_factor_ratio=factor,
        thickness_max_mm=allowance / factor,
        coated_pitch_diameter=coated,
        basic_pitch_diameter_mm=own.basic.pitch_diameter,
        fits=None if left is None else left >= -1e-9,
        left_mm=left,
        iso_4042=_iso_thickness(own, coated_length_mm, trail),
        basis=f"limits: {thread.basis}; change by coating: derivation",
    )


def _iso_thickness(
    own: ThreadLimits, coated_length_mm: float | None, trail: Trail | None
) -> IsoThickness | None:
    if own.family != "iso-metric":
        return None
    if coated_length_mm is None and trail is not None:
        trail.assume(
            "coated_length",
            "local",
            "none given; the thickness is agreed where it is measured, as on the shortest parts",
        )
    length = length_group(
        coated_length_mm=coated_length_mm, nominal_diameter_mm=own.nominal_diameter
    )
    deviation_um = float(math.floor(own.allowance * 1000 + 0.5))
    found = thickness_that_fits_um(deviation_um=deviation_um, length=length, trail=trail)
    return IsoThickness(
        length=length,
        thickness_max_um=found.thickness_um,
        departs_from_rule=found.departs_from_rule,
    )


def _thicknesses(thick: float, thin: float | None, trail: Trail | None) -> float:
    """The smallest thickness, after both were checked."""
    if thin is None:
        thin = thick
        if trail is not None:
            trail.assume(
                "coating_thickness_min",
                thin,
                "none given; the coating is taken as even",
                unit="mm",
            )
    for parameter, value in (("coating_thickness", thick), ("coating_thickness_min", thin)):
        if not value >= 0:
            raise OutOfRangeError(
                f"{parameter} is {value:g} mm; a coating cannot be thinner than nothing",
                parameter=parameter,
                value=value,
                accepted="0 or more",
            )
    if thin > thick:
        raise OutOfRangeError(
            f"the smallest thickness, {thin:g} mm, is above the largest, {thick:g} mm",
            parameter="coating_thickness_min",
            value=thin,
            accepted=f"0 to {thick:g} mm",
        )
    return thin


def _pitch_before(
    own: ThreadLimits, factor: float, spread: tuple[float, float], trail: Trail | None
) -> Band:
    limits = own.limits.pitch_diameter
    thin, thick = spread
    if own.side == "external":
        return Band(
            max_mm=None if limits.max is None else OUTSIDE_MAX(trail, limits.max, factor, thick),
            min_mm=None if limits.min is None else OUTSIDE_MIN(trail, limits.min, factor, thin),
        )
    return Band(
        max_mm=None if limits.max is None else INSIDE_MAX(trail, limits.max, factor, thin),
        min_mm=None if limits.min is None else INSIDE_MIN(trail, limits.min, factor, thick),
    )


def _before(own: ThreadLimits, limits: Span, factor: float, spread: tuple[float, float]) -> Band:
    thin, thick = spread if own.side == "external" else (-spread[1], -spread[0])
    return Band(
        max_mm=None if limits.max is None else limits.max - factor * thick,
        min_mm=None if limits.min is None else limits.min - factor * thin,
    )


def _check_left(limits: CoatedDiameters) -> None:
    for name, band in (
        ("pitch diameter", limits.pitch_diameter),
        ("major diameter", limits.major_diameter),
        ("minor diameter", limits.minor_diameter),
    ):
        if band.max_mm is not None and band.min_mm is not None and band.max_mm < band.min_mm:
            raise InfeasibleError(
                f"the spread of the coating takes more than the whole tolerance of the {name} "
                f"({band.min_mm - band.max_mm:.4f} mm too much)",
                parameter="coating_thickness",
                accepted="a coating with less spread, or a wider tolerance class",
            )


def _uneven(trail: Trail) -> None:
    trail.caution(
        "coating-uneven",
        "Electroplating collects on crests and ends: take the largest thickness as about twice "
        "the mean there unless it was measured.",
    )
