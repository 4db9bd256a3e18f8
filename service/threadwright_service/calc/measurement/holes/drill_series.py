"""Sizes of the standard drill series: metric, fractional, number and letter."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Final, Literal, get_args

from threadwright_service.calc import tables
from threadwright_service.calc.errors import OutOfRangeError, UnknownDesignationError
from threadwright_service.calc.units import MM_PER_IN

DrillSeries = Literal["metric", "fractional", "number", "letter"]
ALL_SERIES: Final[tuple[DrillSeries, ...]] = get_args(DrillSeries)

_METRIC_HUNDREDTHS: Final = (
    # first, last and step in hundredths of a millimetre, basis
    (300, 1390, 10, "published"),
    (1400, 2575, 25, "published"),
    (2600, 3200, 25, "memory"),
    (3250, 5000, 50, "memory"),
    (5100, 10000, 100, "memory"),
)
_FRACTIONAL_SIXTY_FOURTHS: Final = (
    # first, last and step in sixty-fourths of an inch, basis
    (1, 64, 1, "published"),
    (65, 112, 1, "memory"),
    (114, 144, 2, "memory"),
    (148, 224, 4, "memory"),
)
_LARGEST_SEARCHED_MM: Final = 10_000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillSize:
    """One size of a standard series."""

    name: str
    series: DrillSeries
    diameter_mm: float
    basis: str


@cache
def drill_sizes(series: DrillSeries) -> tuple[DrillSize, ...]:
    """The sizes of a series, rising.

    Parameters
    ----------
    series : "metric", "fractional", "number" or "letter"

    Notes
    -----
    Source: bs-328 for metric sizes up to 25.75 mm, by its rule (0.2 to 0.98 mm in tenths with
    + 0.02, + 0.05 and + 0.08; to 2.95 mm by 0.05, to 13.9 mm by 0.1, to 25.75 mm by 0.25 mm);
    iso-235 above it (to 32 mm by 0.25, to 50 mm by 0.5, to 100 mm by 1 mm); asme-b94-11m for
    fractions (by 1/64 to 1 3/4, 1/32 to 2 1/4, 1/16 to 3 1/2 in), numbers and letters, each row
    with its basis.

    Examples
    --------
    >>> [size.name for size in drill_sizes("number")[-2:]]
    ['#2', '#1']
    >>> drill_sizes("letter")[0].diameter_mm / 25.4
    0.234
    """
    if series == "metric":
        found = _metric()
    elif series == "fractional":
        found = _fractional()
    else:
        found = [
            DrillSize(
                name=str(row["name"]),
                series=series,
                diameter_mm=float(row["diameter_in"]) * MM_PER_IN,
                basis=str(row["basis"]),
            )
            for row in tables.load(__package__, "tables/drill_gauge")
            if row["series"] == series
        ]
    return tuple(sorted(found, key=lambda size: size.diameter_mm))


def nearest_drills(
    *, diameter_mm: float, series: Iterable[DrillSeries] = ALL_SERIES, count: int = 6
) -> tuple[DrillSize, ...]:
    """The sizes nearest to a diameter, the nearest first; of two as near, the smaller.

    Parameters
    ----------
    diameter_mm : float
        The diameter wanted [mm]; above 0, at most 10,000.
    series : iterable of series
        The series to look in.
    count : int
        How many sizes, at most; from 1.

    Raises
    ------
    OutOfRangeError
        If the diameter is not a positive finite number, or the count is below 1.
    UnknownDesignationError
        If a series is not known.

    Notes
    -----
    Source: bs-328; iso-235; asme-b94-11m, as :func:`drill_sizes`.

    Examples
    --------
    The drill for 1/4-20 UNC of every tap drill table, number 7:

    >>> nearest_drills(diameter_mm=0.201 * 25.4, series=["number"], count=1)[0].name
    '#7'
    """
    if not (math.isfinite(diameter_mm) and 0 < diameter_mm <= _LARGEST_SEARCHED_MM):
        raise OutOfRangeError(
            f"a hole of {diameter_mm:g} mm has no drill",
            parameter="hole_diameter",
            value=diameter_mm,
            accepted=f"above 0 and at most {_LARGEST_SEARCHED_MM:g} mm",
        )
    if count < 1:
        raise OutOfRangeError(
            f"{count} nearest sizes cannot be listed",
            parameter="nearest_count",
            value=count,
            accepted="1 or more",
        )
    sizes = [size for each in dict.fromkeys(series) for size in drill_sizes(series_named(each))]
    sizes.sort(key=lambda size: (abs(size.diameter_mm - diameter_mm), size.diameter_mm))
    return tuple(sizes[:count])


def series_named(text: str) -> DrillSeries:
    """The series with this name.

    Raises
    ------
    UnknownDesignationError
        If there is none.

    Notes
    -----
    Source: common practice.
    """
    for series in ALL_SERIES:
        if series == text:
            return series
    raise UnknownDesignationError(
        f"{text!r} is not a drill series that is known here",
        parameter="drill_series",
        value=text,
        accepted=", ".join((*ALL_SERIES, "all")),
    )


def _metric() -> list[DrillSize]:
    hundredths = [
        (10 * tenth + rest, "published") for tenth in range(2, 10) for rest in (0, 2, 5, 8)
    ]
    hundredths += [(size, "published") for size in range(100, 300, 5)]
    for first, last, step, basis in _METRIC_HUNDREDTHS:
        hundredths += [(size, basis) for size in range(first, last + 1, step)]
    return [
        DrillSize(name=f"{size / 100:g} mm", series="metric", diameter_mm=size / 100, basis=basis)
        for size, basis in hundredths
    ]


def _fractional() -> list[DrillSize]:
    return [
        DrillSize(
            name=_fraction(Fraction(size, 64)),
            series="fractional",
            diameter_mm=size / 64 * MM_PER_IN,
            basis=basis,
        )
        for first, last, step, basis in _FRACTIONAL_SIXTY_FOURTHS
        for size in range(first, last + 1, step)
    ]


def _fraction(inches: Fraction) -> str:
    """As a drill is marked: ``13/64``, ``1``, ``1 1/16``."""
    whole, rest = divmod(inches, 1)
    return " ".join(str(part) for part in (whole, rest) if part)
