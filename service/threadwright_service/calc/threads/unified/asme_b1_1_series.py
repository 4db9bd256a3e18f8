"""The standard diameter-pitch pairs of Unified inch threads, and what pairs lie near.

A pair is coarse, fine, extra-fine, of a constant-pitch series, or special (UNS). The series
decides the length of engagement behind the tolerances: one diameter for UNC, UNF, 4UN, 6UN and
8UN, nine pitches for all others.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Any, Final

from threadwright_service.calc.rounding import half_even
from threadwright_service.calc.tables import document_of, load
from threadwright_service.calc.threads.registry import StandardSize

NUMBER_SIZES: Final = (0, 1, 2, 3, 4, 5, 6, 8, 10, 12)
LARGEST_TABULATED_IN: Final = 6.0
DIAMETER_SERIES_TPI: Final = (4, 6, 8)
"""Constant-pitch series whose tolerance goes by one diameter of engagement."""
_DENOMINATOR: Final = 64
_ABOVE_NUMBER_SIZES_IN: Final = 0.25

Pair = tuple[float, float]
"""Basic major diameter [in] and threads per inch."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardPair:
    """One standard diameter-pitch pair."""

    series: str
    size: str
    basis: str


def number_size_diameter_in(number: int) -> float:
    """Basic major diameter of a number size [in].

    Notes
    -----
    Source: ASME B1.1, number sizes: D = 0.060 + 0.013 x number.

    Examples
    --------
    >>> number_size_diameter_in(10)
    0.19
    """
    return half_even(0.060 + 0.013 * number, 3)


def diameter_of_size_in(size: str) -> float:
    """Diameter of a size as the tables write it: ``#10``, ``3/4``, ``1 1/2`` [in]."""
    if size.startswith("#"):
        return number_size_diameter_in(int(size[1:]))
    return float(sum(Fraction(part) for part in size.split()))


@cache
def standard_pairs() -> Mapping[Pair, StandardPair]:
    """Every standard pair with its series symbol."""
    pairs: dict[Pair, StandardPair] = {}
    for row in load(__package__, "tables/unified_series"):
        size = str(row["size"])
        pairs[diameter_of_size_in(size), float(row["threads_per_inch"])] = StandardPair(
            series=str(row["series"]), size=size, basis=str(row["basis"])
        )
    for row in load(__package__, "tables/unified_constant_pitch"):
        step = Fraction(str(row["step"]))
        diameter = _fraction(str(row["first"]))
        while diameter <= _fraction(str(row["last"])):
            pairs.setdefault(
                (float(diameter), float(row["threads_per_inch"])),
                StandardPair(series="UN", size=_fraction_text(diameter), basis="memory"),
            )
            diameter += step
    return MappingProxyType(pairs)


@lru_cache(maxsize=512)
def pitches_of(diameter_in: float) -> Mapping[str, tuple[float, ...]]:
    """The standard threads per inch of a diameter, by series symbol."""
    found: dict[str, list[float]] = {}
    for (diameter, threads_per_inch), pair in standard_pairs().items():
        if diameter == diameter_in:
            found.setdefault(pair.series, []).append(threads_per_inch)
    return MappingProxyType({series: tuple(sorted(found[series])) for series in found})


@cache
def diameters_in() -> tuple[float, ...]:
    """All standard diameters, rising [in]."""
    return tuple(sorted({diameter for diameter, _ in standard_pairs()}))


def size_text(diameter_in: float, threads_per_inch: float) -> str:
    """The size as a call-out writes it: the standard's, else a fraction, else decimals.

    Examples
    --------
    >>> size_text(0.5625, 20), size_text(0.19, 32), size_text(0.7505, 16)
    ('9/16', '#10', '0.7505')
    """
    pair = standard_pairs().get((diameter_in, threads_per_inch))
    return special_size_text(diameter_in) if pair is None else pair.size


def special_size_text(diameter_in: float) -> str:
    """The size of a pair that is in no series: a number size, else a fraction, else decimals."""
    if not (diameter_in * _DENOMINATOR).is_integer():
        decimals = f"{diameter_in:.6f}".rstrip("0")
        return (
            decimals
            if diameter_in > _ABOVE_NUMBER_SIZES_IN
            else _number_sizes().get(diameter_in, decimals)
        )
    if diameter_in in NUMBER_SIZES:
        return f"{diameter_in:.1f}"  # a bare whole number would read as a number size
    return _number_sizes().get(diameter_in) or _fraction_text(Fraction(diameter_in))


def pitches_text(diameter_in: float) -> str:
    """The standard threads of a diameter in words, for a refusal."""
    pairs = [
        (threads_per_inch, series)
        for series, several in pitches_of(diameter_in).items()
        for threads_per_inch in several
    ]
    if pairs:
        return ", ".join(
            f"{size_text(diameter_in, threads_per_inch)}-{threads_per_inch:g} {series}"
            for threads_per_inch, series in sorted(pairs)
        )
    return near_text(diameter_in)


def near_text(diameter_in: float) -> str:
    """The nearest standard sizes in words, for a refusal.

    Examples
    --------
    >>> near_text(0.313)
    'near 5/16 (0.3125 in) and 3/8 (0.375 in)'
    """
    return "near " + " and ".join(
        f"{size_text(near, min(pitches_of(near)[_main_series(near)]))} ({near:g} in)"
        for near in nearest_diameters_in(diameter_in)
    )


def nearest_diameters_in(diameter_in: float) -> tuple[float, ...]:
    """The standard diameters next below and above, where there are such [in]."""
    below = [each for each in diameters_in() if each <= diameter_in]
    above = [each for each in diameters_in() if each >= diameter_in]
    return tuple(dict.fromkeys((*below[-1:], *above[:1])))


def standard_sizes() -> tuple[StandardSize, ...]:
    """All standard pairs, series by series, rising."""
    order = {"UNC": 0, "UNF": 1, "UNEF": 2, "UN": 3, "UNS": 4}
    return tuple(
        StandardSize(
            series=pair.series,
            size=pair.size,
            nominal_diameter=diameter,
            pitch=1 / threads_per_inch,
            threads_per_inch=threads_per_inch,
        )
        for (diameter, threads_per_inch), pair in sorted(
            standard_pairs().items(), key=lambda item: (order[item[1].series], item[0])
        )
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Peculiarities:
    """Where the published tables depart from the formulas, ready to be looked up."""

    tolerance_diameter_in: Mapping[float, tuple[float, str]]
    engagement_diameters: Mapping[Pair, tuple[float, str]]
    allowance_in: Mapping[Pair, tuple[float, str]]
    pitch_tolerance_in: Mapping[tuple[Pair, str], tuple[float, str]]


@cache
def peculiarities() -> Peculiarities:
    """The departures of ``tables/unified_peculiarities.toml``, each with its basis."""
    document = document_of(__package__, "tables/unified_peculiarities")

    def pair(entry: Mapping[str, Any]) -> Pair:
        return diameter_of_size_in(entry["size"]), float(entry["threads_per_inch"])

    return Peculiarities(
        tolerance_diameter_in={
            diameter_of_size_in(entry["size"]): (
                diameter_of_size_in(entry["taken_from"]),
                f"tolerance of {entry['taken_from']} in, as the tables print it ({entry['basis']})",
            )
            for entry in document["tolerance_diameter"]
        },
        engagement_diameters={
            pair(entry): (
                float(entry["diameters"]),
                f"engagement of {entry['diameters']} diameter ({entry['basis']})",
            )
            for entry in document["engagement"]
        },
        allowance_in={
            pair(entry): (
                float(entry["allowance_in"]),
                f"allowance as the tables print it ({entry['basis']})",
            )
            for entry in document["allowance"]
        },
        pitch_tolerance_in={
            (pair(entry), entry["tolerance_class"]): (
                float(entry["tolerance_in"]),
                f"pitch diameter tolerance as the tables print it ({entry['basis']})",
            )
            for entry in document["pitch_tolerance"]
        },
    )


@cache
def _number_sizes() -> Mapping[float, str]:
    """Number sizes by diameter, without #5, which is 1/8 in where the pitch is none of its own."""
    return {number_size_diameter_in(each): f"#{each}" for each in NUMBER_SIZES if each != 5}


def _main_series(diameter_in: float) -> str:
    series = pitches_of(diameter_in)
    return next(each for each in ("UNC", "UNF", "UNEF", "UN", "UNS") if each in series)


def _fraction(size: str) -> Fraction:
    return sum((Fraction(part) for part in size.split()), Fraction(0))


def _fraction_text(diameter: Fraction) -> str:
    whole, rest = divmod(diameter, 1)
    return " ".join(
        part for part in (str(whole) if whole else "", str(rest) if rest else "") if part
    )
