"""Tolerances of metric threads as R40 preferred numbers: grade-6 formula, index, shift.

ISO 965-1 and ISO 2903 print tables, and the tables are the authority. They can be told by one
rule: the place in the R40 series that is nearest to the grade-6 formula, plus a shift for the
grade, with a few places that the tables set otherwise. The rule reproduces all 221 published
cells of ISO 965-1 and 505 published limits of ISO 2903 that were compared. The shifts of the grades
agree with the ratios that Machinery's Handbook, 27th edition, p. 1797, prints for ISO 965-1.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from functools import cache
from typing import Final

from threadwright_service.calc import tables
from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.rounding import half_even
from threadwright_service.calc.trail import Formula

PLACES_A_DECADE: Final = 40

DIAMETER_RANGES_MM: Final = (
    0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45.0, 90.0, 180.0, 355.0, 710.0,
)  # fmt: skip
"""Limits of the ranges of nominal diameter, "over the lower, up to and including the upper"."""

MAJOR_GRADE_6: Final = Formula(
    "tolerance of the major diameter, grade 6, before R40",
    "Td(6)",
    "180 * P ** (2 / 3) - 3.15 / sqrt(P)",
    "P",
    unit="um",
    source="iso-965-1, formula of the basis",
)
MINOR_GRADE_6: Final = Formula(
    "tolerance of the internal minor diameter, grade 6, before R40, P >= 1",
    "TD1(6)",
    "230 * P ** 0.7",
    "P",
    unit="um",
    source="iso-965-1, formula of the basis",
)
MINOR_GRADE_6_FINE: Final = Formula(
    "tolerance of the internal minor diameter, grade 6, before R40, P <= 0.8",
    "TD1(6)",
    "433 * P - 190 * P ** 1.22",
    "P",
    unit="um",
    source="iso-965-1, formula of the basis",
)
PITCH_GRADE_6: Final = Formula(
    "tolerance of the external pitch diameter, grade 6, before R40",
    "Td2(6)",
    "90 * P ** 0.4 * d ** 0.1",
    "P d",
    unit="um",
    source="iso-965-1, formula of the basis",
)

MAJOR_SHIFT: Final = {4: -8, 6: 0, 8: 8}
"""Places from grade 6 to the grade, tolerance of the external major diameter."""
MINOR_SHIFT: Final = {4: -8, 5: -4, 6: 0, 7: 4, 8: 8}
"""The same, internal minor diameter."""
EXTERNAL_PITCH_SHIFT: Final = {3: -12, 4: -8, 5: -4, 6: 0, 7: 4, 8: 8, 9: 12}
"""The same, external pitch diameter."""
INTERNAL_PITCH_SHIFT: Final = {4: -3, 5: 1, 6: 5, 7: 9, 8: 13, 9: 17}
"""Places from the *external* grade 6 to the grade, tolerance of the internal pitch diameter."""


def nearest_index(tolerance_um: float) -> int:
    """Place of the R40 number nearest to a tolerance, on the logarithmic scale.

    Examples
    --------
    >>> nearest_index(212.0), nearest_index(100.0)
    (93, 80)
    """
    return math.floor(PLACES_A_DECADE * math.log10(tolerance_um) + 0.5)


def tolerance_um(index: int) -> float:
    """The R40 number at a place, as the tables show it [um].

    Below 100 um a whole number, exact ties to the even one (42.5 becomes 42).

    Notes
    -----
    Source: iso-3, R40 series; the display below 100 um is the rule that reproduces the
    published tables of ISO 965-1.

    Examples
    --------
    >>> tolerance_um(93), tolerance_um(65), tolerance_um(61)
    (212.0, 42.0, 34.0)
    """
    decade, place = divmod(index, PLACES_A_DECADE)
    mantissa = _decade()[place]
    value = mantissa * 10.0 ** (decade - 2) if decade < 2 else mantissa * 10 ** (decade - 2)
    return half_even(value, 0) if value < 100 else half_even(value, 3)


@cache
def _decade() -> tuple[int, ...]:
    """The decade in hundredths, so that the numbers stay whole."""
    table = tables.load(__package__, "tables/iso_3_r40")
    return tuple(round(100 * float(row["value"])) for row in table)


def diameter_range_mm(nominal_diameter_mm: float) -> tuple[float, float]:
    """The range of nominal diameters that a diameter falls into [mm].

    Raises
    ------
    OutOfRangeError
        If the diameter is below 0.99 mm or above 710 mm.

    Notes
    -----
    Source: iso-965-1 and iso-2903, ranges of the tolerance tables.

    Examples
    --------
    >>> diameter_range_mm(22.4), diameter_range_mm(24.0)
    ((11.2, 22.4), (22.4, 45.0))
    """
    upper = bisect_left(DIAMETER_RANGES_MM, nominal_diameter_mm)
    if 0 < upper < len(DIAMETER_RANGES_MM):
        return DIAMETER_RANGES_MM[upper - 1], DIAMETER_RANGES_MM[upper]
    raise OutOfRangeError(
        f"a nominal diameter of {nominal_diameter_mm:g} mm; the tolerance tables cover above "
        f"{DIAMETER_RANGES_MM[0]:g} mm up to {DIAMETER_RANGES_MM[-1]:g} mm",
        parameter="nominal_diameter",
        value=nominal_diameter_mm,
        accepted=f"above {DIAMETER_RANGES_MM[0]:g} mm up to {DIAMETER_RANGES_MM[-1]:g} mm",
    )


def mean_diameter_mm(nominal_diameter_mm: float) -> float:
    """Geometric mean of the range that a diameter falls into [mm].

    Raises
    ------
    OutOfRangeError
        As :func:`diameter_range_mm`.
    """
    return math.sqrt(math.prod(diameter_range_mm(nominal_diameter_mm)))


def major_index(pitch_mm: float) -> int:
    """Place of the grade-6 tolerance of the external major diameter, by the formula."""
    return nearest_index(MAJOR_GRADE_6.function(pitch_mm))


def minor_index(pitch_mm: float) -> int:
    """Place of the grade-6 tolerance of the internal minor diameter, by the formula.

    Raises
    ------
    OutOfRangeError
        If the pitch lies between the two formulas, above 0.8 mm and below 1 mm.
    """
    if 0.8 < pitch_mm < 1:
        raise OutOfRangeError(
            f"a pitch of {pitch_mm:g} mm; the minor diameter's tolerance has one formula up to "
            "0.8 mm and another from 1 mm",
            parameter="pitch",
            value=pitch_mm,
            accepted="up to 0.8 mm, or 1 mm and more",
        )
    formula = MINOR_GRADE_6 if pitch_mm >= 1 else MINOR_GRADE_6_FINE
    return nearest_index(formula.function(pitch_mm))


def pitch_index(nominal_diameter_mm: float, pitch_mm: float) -> int:
    """Place of the grade-6 tolerance of the external pitch diameter, by the formula.

    Raises
    ------
    OutOfRangeError
        As :func:`diameter_range_mm`.
    """
    return nearest_index(PITCH_GRADE_6.function(pitch_mm, mean_diameter_mm(nominal_diameter_mm)))
