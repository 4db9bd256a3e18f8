"""How well a pitch diameter over wires is known: sensitivities and a budget."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from typing import Final

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.measurement.wires.groove import Groove
from threadwright_service.calc.measurement.wires.wires import Setup
from threadwright_service.calc.trail import Formula, Trail

EXPANDED: Final = Formula(
    "expanded uncertainty of the pitch diameter",
    "U",
    "k * u",
    "k u",
    unit="mm",
    source="iso-gum, coverage factor",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensitivities:
    """How far the pitch diameter moves for each input."""

    reading_ratio: float
    """For each unit of the reading."""
    wire_diameter_ratio: float
    """For each unit of wire or ball diameter, all of them alike."""
    pitch_ratio: float
    """For each unit of pitch error."""
    flank_angle_um_per_deg: float
    """For each degree by which both half angles differ from the form's."""
    major_diameter_ratio: float
    """For each unit of the measured major diameter; 0 but for one wire."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuringErrors:
    """What is known of instrument, wires and part; 0 leaves a line out of the budget.

    Parameters
    ----------
    instrument_half_width_mm : float
        Largest error of the instrument, taken as a rectangular spread [mm].
    wire_uncertainty_mm : float
        Expanded uncertainty (k = 2) of the wire size, common to all wires [mm].
    pitch_half_width_mm, flank_angle_half_width_deg : float
        Largest error of the part's pitch [mm] and half angles [deg], rectangular.
    repeatability_mm : float
        Standard deviation of repeated readings [mm].
    major_diameter_half_width_mm : float
        Largest error of the measured major diameter, one wire only [mm].
    temperature_half_width_k : float
        Largest departure from 20 degrees, rectangular [K].
    expansion_difference_per_k : float
        Expansion of the part less that of the instrument [1/K].
    coverage_factor_ratio : float
        k, 1 to 3; 2 gives about 95 %.
    """

    instrument_half_width_mm: float
    wire_uncertainty_mm: float = 0.0
    pitch_half_width_mm: float = 0.0
    flank_angle_half_width_deg: float = 0.0
    repeatability_mm: float = 0.0
    major_diameter_half_width_mm: float = 0.0
    temperature_half_width_k: float = 0.0
    expansion_difference_per_k: float = 0.0
    coverage_factor_ratio: float = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class UncertaintyComponent:
    """One line of the budget; ``contribution_mm`` is a standard uncertainty of the diameter."""

    name: str
    """Where the error comes from, such as instrument, wires or pitch."""
    input: str
    """What was given for it and how it is spread, in words."""
    contribution_mm: float
    """Standard uncertainty of the pitch diameter from this source alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UncertaintyBudget:
    """Uncertainty of a pitch diameter over wires, and what it is made of."""

    components: tuple[UncertaintyComponent, ...]
    """One line for each source of error that is not 0."""
    standard_uncertainty_mm: float
    """Standard uncertainty, u: the root of the sum of the squared contributions."""
    coverage_factor_ratio: float
    """Coverage factor, k: the expanded over the standard uncertainty."""
    uncertainty_mm: float
    """Expanded uncertainty, U."""


def sensitivities(*, groove: Groove, setup: Setup, best_wire_diameter_mm: float) -> Sensitivities:
    """How far the pitch diameter from a reading moves with each input.

    Parameters
    ----------
    groove : Groove
        The groove; for unsymmetrical flanks the mean flank angle stands in the pitch and angle
        terms.
    setup : Setup
        Method and wires.
    best_wire_diameter_mm : float
        The best wire, on which the angle does not count [mm].

    Notes
    -----
    Source: derivation, the differential of the formula without lead.

    Examples
    --------
    60 degrees, best wire: minus 3 for the wire, 0.866 for the pitch.

    >>> m10 = Groove(
    ...     side="external", pitch_mm=1.5, lead_mm=1.5,
    ...     pressure_flank_angle_deg=30.0, clearance_flank_angle_deg=30.0,
    ... )
    >>> setup = Setup(
    ...     method="three-wire", wire_diameter_mm=0.896, opposite_wire_diameter_mm=0.896
    ... )
    >>> found = sensitivities(groove=m10, setup=setup, best_wire_diameter_mm=0.866)
    >>> round(found.wire_diameter_ratio, 6), round(found.pitch_ratio, 3)
    (-3.0, 0.866)
    >>> round(found.flank_angle_um_per_deg * 0.25, 2)
    0.45
    """
    half = math.radians(groove.flank_angle_deg)
    lift = math.cos(math.radians(groove.tilt_deg)) / math.sin(half)
    outward = 1.0 if groove.side == "external" else -1.0
    on_wire = -outward * lift
    reading, major = 1.0, 0.0
    if setup.method == "one-wire":
        reading, major = 2.0, -1.0
        on_wire -= 1.0
    elif groove.side == "internal":
        on_wire -= 1.0 if setup.ball_reading == "over-balls" else 0.0
    elif setup.standard_cylinder_mm is None:
        on_wire -= 1.0
    else:
        on_wire += 1.0
    return Sensitivities(
        reading_ratio=reading,
        wire_diameter_ratio=on_wire,
        pitch_ratio=outward * groove.sharp_root_mm * 2 / groove.pitch_mm,
        flank_angle_um_per_deg=outward
        * 1000.0
        * math.radians(math.cos(half) / math.sin(half) ** 2)
        * (setup.mean_wire_mm - best_wire_diameter_mm),
        major_diameter_ratio=major,
    )


def uncertainty_budget(
    *,
    groove: Groove,
    setup: Setup,
    best_wire_diameter_mm: float,
    pitch_diameter_mm: float,
    errors: MeasuringErrors,
    trail: Trail | None = None,
) -> UncertaintyBudget:
    """Uncertainty of a pitch diameter from a reading over wires or balls.

    Parameters
    ----------
    groove, setup, best_wire_diameter_mm
        As for :func:`sensitivities`.
    pitch_diameter_mm : float
        Pitch diameter, for the temperature's share [mm].
    errors : MeasuringErrors
        What is known of instrument, wires and part.
    trail : Trail, optional
        Takes the working.

    Raises
    ------
    OutOfRangeError
        If a width is negative or the coverage factor outside 1 to 3.

    Notes
    -----
    Source: iso-gum for the sum; derivation for the sensitivities.

    Examples
    --------
    M10x1.5 on a wire 0.03 mm off the best, as a workshop would measure it:

    >>> m10 = Groove(
    ...     side="external", pitch_mm=1.5, lead_mm=1.5,
    ...     pressure_flank_angle_deg=30.0, clearance_flank_angle_deg=30.0,
    ... )
    >>> setup = Setup(
    ...     method="three-wire", wire_diameter_mm=0.896, opposite_wire_diameter_mm=0.896
    ... )
    >>> budget = uncertainty_budget(
    ...     groove=m10, setup=setup, best_wire_diameter_mm=0.866, pitch_diameter_mm=8.93,
    ...     errors=MeasuringErrors(
    ...         instrument_half_width_mm=0.003, wire_uncertainty_mm=0.0005,
    ...         pitch_half_width_mm=0.002, flank_angle_half_width_deg=0.25,
    ...         repeatability_mm=0.0015,
    ...     ),
    ... )
    >>> round(budget.uncertainty_mm, 3)
    0.005
    """
    _check(errors)
    moves = sensitivities(groove=groove, setup=setup, best_wire_diameter_mm=best_wire_diameter_mm)
    components = tuple(
        UncertaintyComponent(name=name, input=told, contribution_mm=abs(part))
        for name, told, part in _lines(errors, moves, pitch_diameter_mm)
        if part
    )
    standard = math.sqrt(sum(part.contribution_mm**2 for part in components))
    return UncertaintyBudget(
        components=components,
        standard_uncertainty_mm=standard,
        coverage_factor_ratio=errors.coverage_factor_ratio,
        uncertainty_mm=EXPANDED(trail, errors.coverage_factor_ratio, standard),
    )


def _lines(
    errors: MeasuringErrors, moves: Sensitivities, pitch_diameter_mm: float
) -> tuple[tuple[str, str, float], ...]:
    """Name, input in words and signed share of each line of the budget."""
    root = math.sqrt(3.0)  # of a rectangular spread's half width to its standard deviation

    def wide(width: float, unit: str) -> str:
        return f"+/- {width:g} {unit}, rectangular"

    warmth = errors.expansion_difference_per_k * errors.temperature_half_width_k
    return (
        (
            "instrument",
            wide(errors.instrument_half_width_mm, "mm"),
            moves.reading_ratio * errors.instrument_half_width_mm / root,
        ),
        (
            "wires",
            f"U = {errors.wire_uncertainty_mm:g} mm, k = 2, common to all",
            moves.wire_diameter_ratio * errors.wire_uncertainty_mm / 2,
        ),
        (
            "pitch",
            wide(errors.pitch_half_width_mm, "mm"),
            moves.pitch_ratio * errors.pitch_half_width_mm / root,
        ),
        (
            "flank angle",
            wide(errors.flank_angle_half_width_deg, "deg"),
            moves.flank_angle_um_per_deg / 1000 * errors.flank_angle_half_width_deg / root,
        ),
        (
            "repeatability",
            f"s = {errors.repeatability_mm:g} mm",
            moves.reading_ratio * errors.repeatability_mm,
        ),
        (
            "major diameter",
            wide(errors.major_diameter_half_width_mm, "mm"),
            moves.major_diameter_ratio * errors.major_diameter_half_width_mm / root,
        ),
        (
            "temperature",
            wide(errors.temperature_half_width_k, "K"),
            warmth * pitch_diameter_mm / root,
        ),
    )


_WIRE_NAMES: Final = {
    "instrument_half_width_mm": "instrument_error",
    "pitch_half_width_mm": "pitch_error",
    "flank_angle_half_width_deg": "flank_angle_error_deg",
}
"""Request keys that are named otherwise than the field."""


def _check(errors: MeasuringErrors) -> None:
    for field in fields(errors):
        value = getattr(errors, field.name)
        if field.name in ("coverage_factor_ratio", "expansion_difference_per_k"):
            continue
        if not value >= 0:
            name = _WIRE_NAMES.get(field.name, field.name.removesuffix("_mm"))
            raise OutOfRangeError(
                f"{name} is {value:g}; the width of an error cannot be negative",
                parameter=name,
                value=value,
                accepted="0 or more",
            )
    if not 1.0 <= errors.coverage_factor_ratio <= 3.0:
        raise OutOfRangeError(
            f"the coverage factor is {errors.coverage_factor_ratio:g}",
            parameter="coverage_factor",
            value=errors.coverage_factor_ratio,
            accepted="1 to 3",
        )
