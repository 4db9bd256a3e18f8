"""The equations of Unified inch threads: basic profile, tolerances, allowance, limits.

All lengths are in inches; P is the pitch, D the basic major diameter, LE the length of
engagement. Each was checked against published limit tables, where one exercises it; what rests
on memory alone says so in its source.
"""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.threads.thread import ThreadForm
from threadwright_service.calc.trail import Formula

_IN: Final = "in"
_B1_1: Final = "asme-b1-1"

PITCH: Final = Formula("pitch", "P", "1 / n", "n", unit=_IN, source=f"{_B1_1}, series tables")
DIAMETER: Final = Formula(
    "basic major diameter", "D", "D", "D", unit=_IN, source=f"{_B1_1}, series tables"
)
ONE_DIAMETER: Final = Formula(
    "length of engagement behind the tolerance", "LE", "D", "D P",
    unit=_IN, source=f"{_B1_1}, UNC, UNF, 4UN, 6UN and 8UN",
)  # fmt: skip
NINE_PITCHES: Final = Formula(
    "length of engagement behind the tolerance", "LE", "9 * P", "D P",
    unit=_IN, source=f"{_B1_1}, UNEF, the other constant pitches and UNS",
)  # fmt: skip
BASIC_PITCH: Final = Formula(
    "basic pitch diameter", "D2", "D - 0.64951905 * P", "D P",
    unit=_IN, source=f"{_B1_1}, basic profile",
)  # fmt: skip
BASIC_MINOR: Final = Formula(
    "basic minor diameter of the internal thread", "D1", "D - 1.08253175 * P", "D P",
    unit=_IN, source=f"{_B1_1}, basic profile",
)  # fmt: skip
UNR_MINOR_BELOW_BASIC: Final = Formula(
    "basic minor diameter of the rounded root", "d3", "D1 - 0.10825318 * P", "D1 P",
    unit=_IN, source=f"{_B1_1}, UNR profile; from the rounded D1, as the tables are",
)  # fmt: skip

PITCH_TOLERANCE_2A: Final = Formula(
    "pitch diameter tolerance of class 2A", "Td2(2A)",
    "0.0015 * cbrt(D) + 0.0015 * sqrt(LE) + 0.015 * cbrt(P ** 2)", "D LE P",
    unit=_IN, source=f"{_B1_1}, pitch diameter tolerance",
)  # fmt: skip
PITCH_TOLERANCE: Final = Formula(
    "pitch diameter tolerance", "T", "k * Td2", "k Td2",
    unit=_IN, source=f"{_B1_1}, factors of the classes",
)  # fmt: skip
ALLOWANCE: Final = Formula(
    "allowance", "es", "0.300 * Td2", "Td2", unit=_IN, source=f"{_B1_1}, classes 1A and 2A",
)  # fmt: skip
MAJOR_TOLERANCE: Final = Formula(
    "major diameter tolerance", "Td", "k * cbrt(P ** 2)", "k P",
    unit=_IN, source=f"{_B1_1}, major diameter tolerance",
)  # fmt: skip
CLASS_FACTOR: Final = {
    "1A": 1.500, "2A": 1.000, "3A": 0.750, "1B": 1.950, "2B": 1.300, "3B": 0.975,
}  # fmt: skip
"""Pitch diameter tolerance of each class over that of class 2A."""
MAJOR_FACTOR: Final = {"1A": 0.090, "2A": 0.060, "3A": 0.060}
UNFINISHED_FACTOR: Final = 0.090

_MINOR: Final = f"{_B1_1}, internal minor diameter tolerance"
_SMALL: Final = "0.05 * cbrt(P ** 2) + 0.03 * P / D - 0.002"
MINOR_TOLERANCE_SMALL: Final = Formula(
    "minor diameter tolerance, classes 1B and 2B below 1/4 in", "TD1",
    f"max(min({_SMALL}, 0.394 * P), 0.25 * P - 0.40 * P ** 2)", "D P",
    unit=_IN, source=f"{_MINOR}; the floor from memory",
)  # fmt: skip
MINOR_TOLERANCE: Final = Formula(
    "minor diameter tolerance, classes 1B and 2B from 1/4 in", "TD1",
    "0.25 * P - 0.40 * P ** 2", "D P", unit=_IN, source=_MINOR,
)  # fmt: skip
MINOR_TOLERANCE_COARSEST: Final = Formula(
    "minor diameter tolerance, classes 1B and 2B, below 4 threads per inch", "TD1",
    "0.15 * P", "D P", unit=_IN, source=f"{_MINOR}; memory",
)  # fmt: skip
MINOR_TOLERANCE_3B_FINE: Final = Formula(
    "minor diameter tolerance, class 3B, above 12 threads per inch", "TD1",
    f"max(min({_SMALL}, 0.394 * P), 0.23 * P - 1.5 * P ** 2)", "D P", unit=_IN, source=_MINOR,
)  # fmt: skip
MINOR_TOLERANCE_3B_COARSE: Final = Formula(
    "minor diameter tolerance, class 3B, up to 12 threads per inch", "TD1",
    f"max(min({_SMALL}, 0.394 * P), 0.120 * P)", "D P", unit=_IN, source=_MINOR,
)  # fmt: skip
_COARSE_3B_TPI: Final = 12
_COARSEST_TPI: Final = 4
_SMALL_IN: Final = 0.25


def minor_tolerance(tolerance_class: str, diameter_in: float, threads_per_inch: float) -> Formula:
    """The equation that gives the minor diameter tolerance of an internal thread.

    Notes
    -----
    Source: asme-b1-1. The standard states class 3B for "13 threads and finer" and "12 and
    coarser"; a pitch between the two is taken with the finer ones.
    """
    if tolerance_class == "3B":
        fine = threads_per_inch > _COARSE_3B_TPI
        return MINOR_TOLERANCE_3B_FINE if fine else MINOR_TOLERANCE_3B_COARSE
    if diameter_in < _SMALL_IN:
        return MINOR_TOLERANCE_SMALL
    return MINOR_TOLERANCE if threads_per_inch >= _COARSEST_TPI else MINOR_TOLERANCE_COARSEST


_LIMITS: Final = f"{_B1_1}, limits of size"
EXTERNAL_MAJOR_MAX: Final = Formula(
    "maximum major diameter", "d_max", "D - es", "D es", unit=_IN, source=_LIMITS
)
EXTERNAL_MAJOR_MIN: Final = Formula(
    "minimum major diameter", "d_min", "d_max - Td", "d_max Td", unit=_IN, source=_LIMITS
)
UNFINISHED_MAJOR_MIN: Final = Formula(
    "minimum major diameter of unfinished, hot-rolled material", "d_min", "d_max - Td", "d_max Td",
    unit=_IN, source=f"{_LIMITS}; its scope, UNC and 8UN of 1/4 in and larger, from memory",
)  # fmt: skip
EXTERNAL_PITCH_MAX: Final = Formula(
    "maximum pitch diameter", "d2_max", "D2 - es", "D2 es", unit=_IN, source=_LIMITS
)
EXTERNAL_PITCH_MIN: Final = Formula(
    "minimum pitch diameter", "d2_min", "d2_max - T", "d2_max T", unit=_IN, source=_LIMITS
)
UNR_MINOR_MAX: Final = Formula(
    "maximum minor diameter, rounded root (UNR)", "d3_max", "d3 - es", "d3 es",
    unit=_IN, source=_LIMITS,
)  # fmt: skip
UN_MINOR_MAX: Final = Formula(
    "maximum minor diameter, flat root (UN), for reference", "d1_max", "D1 - es", "D1 es",
    unit=_IN, source=_LIMITS,
)  # fmt: skip
EXTERNAL_MINOR_MIN: Final = Formula(
    "minimum minor diameter, for reference", "d1_min", "d2_min - 0.64951905 * P", "d2_min P",
    unit=_IN, source="derivation, a root flat of P/8 below the minimum pitch diameter",
)  # fmt: skip
INTERNAL_PITCH_MAX: Final = Formula(
    "maximum pitch diameter", "D2_max", "D2 + T", "D2 T", unit=_IN, source=_LIMITS
)
INTERNAL_MINOR_MIN: Final = Formula(
    "minimum minor diameter", "D1_min", "D1", "D1", unit=_IN, source=_LIMITS
)
INTERNAL_MINOR_MAX: Final = Formula(
    "maximum minor diameter", "D1_max", "D1 + TD1", "D1 TD1", unit=_IN, source=_LIMITS
)
INTERNAL_MAJOR_MAX: Final = Formula(
    "maximum major diameter, for reference", "D_max", "D2_max + 0.79385662 * P", "D2_max P",
    unit=_IN, source="asme-b1-13m, 11H/12 above the maximum pitch diameter; of asme-b1-1: memory",
)  # fmt: skip

ROOT_RADIUS_MIN: Final = Formula(
    "minimum root radius of UNR", "r", "0.10825318 * P", "P",
    unit=_IN, source=f"{_B1_1}, UNR profile; memory",
)  # fmt: skip
STRESS_AREA: Final = Formula(
    "tensile stress area", "As", "pi / 4 * (D - 0.9743 * P) ** 2", "D P",
    unit="in2", source="unified-stress-area",
)  # fmt: skip

_HEIGHT: Final = 0.866025403784438647
"""Height of the sharp triangle over the pitch, sqrt(3) / 2."""
FORM_UN: Final = ThreadForm(
    name="Unified, 60 degrees, flat or rounded root",
    pressure_flank_angle_deg=30.0,
    clearance_flank_angle_deg=30.0,
    addendum_ratio=3 / 8 * _HEIGHT,
    dedendum_ratio=1 / 4 * _HEIGHT,
    external_root_ratio=3 / 8 * _HEIGHT,
    internal_root_ratio=3 / 8 * _HEIGHT,
    external_root_flat_ratio=1 / 8,
    internal_root_flat_ratio=1 / 8,
)
"""The sharpest external root has a flat of P/8, at 3H/8 below the pitch line."""
FORM_UNR: Final = ThreadForm(
    name="Unified, 60 degrees, rounded root",
    pressure_flank_angle_deg=30.0,
    clearance_flank_angle_deg=30.0,
    addendum_ratio=3 / 8 * _HEIGHT,
    dedendum_ratio=1 / 4 * _HEIGHT,
    external_root_ratio=3 / 8 * _HEIGHT,
    internal_root_ratio=3 / 8 * _HEIGHT,
    external_root_flat_ratio=0.0,
    internal_root_flat_ratio=1 / 8,
)
"""The smallest root radius, H/8, touches the flanks and ends 3H/8 below the pitch line."""
