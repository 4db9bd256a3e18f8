"""Drift of a series of sizes: how much each part differs from the one before, and how surely."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from threadwright_service.calc import tables
from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.trail import Formula, Trail

FEWEST_PARTS: Final = 5
"""Below this no drift is stated (common practice: five pieces in a row qualify a set-up)."""

WINDOW: Final = 30
"""Only the last parts are fitted: wear is not a straight line over a cutter's whole life."""

_JUMP_RATIO: Final = 4.0
"""Residual standard deviations from which the last part is told as a step (common practice)."""
_FEWEST_BEFORE_JUMP: Final = 6

SLOPE: Final = Formula(
    "drift for each part",
    "b",
    "S_ku / S_kk",
    "S_ku S_kk",
    unit="mm",
    source="derivation, least squares",
)
SLOPE_SPREAD: Final = Formula(
    "standard deviation of the drift",
    "s_b",
    "s / sqrt(S_kk)",
    "s S_kk",
    unit="mm",
    source="derivation, least squares",
)
SLOPE_INTERVAL: Final = Formula(
    "half of the 95 % interval of the drift",
    "U_b",
    "t * s_b",
    "t s_b",
    unit="mm",
    source="derivation, Student's t",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drift:
    """Straight line through a series.

    ``estimate_mm`` is the slope for each part and ``uncertainty_mm`` half of its 95 % interval;
    both are ``None`` with too few parts. ``is_significant`` says that the interval leaves out zero:
    only then may the slope be acted on. ``standard_deviation_mm`` is the spread about the line, or
    about the mean while there is no line. ``reason`` says why nothing is stated, if so.
    """

    parts: int
    estimate_mm: float | None
    uncertainty_mm: float | None
    is_significant: bool
    standard_deviation_mm: float | None
    level_mm: float
    """Height of the line at the last part; the mean while the slope is not significant."""
    is_step: bool
    """Whether the last part lies far off the line of those before it."""
    reason: str


def drift_of(
    *, part_numbers: Sequence[int], sizes_mm: Sequence[float], trail: Trail | None = None
) -> Drift:
    """The drift of a series.

    Parameters
    ----------
    part_numbers : sequence of int
        Running numbers of the parts, rising; gaps are parts that were not measured.
    sizes_mm : sequence of float
        One size for each [mm], with the corrections made in between taken out.
    trail : Trail, optional
        Takes the working.

    Raises
    ------
    OutOfRangeError
        If there is no part, or the numbers do not rise.

    Notes
    -----
    Source: derivation, least squares over the last 30 parts. The usual rule "act only on more than
    two standard deviations" is Student's t for many parts; with few parts t is larger and is used.

    Examples
    --------
    >>> drift_of(part_numbers=[1, 2, 3], sizes_mm=[0.001, 0.002, 0.003]).reason
    'too few parts: 3 of at least 5'
    """
    numbers, sizes = list(part_numbers)[-WINDOW:], list(sizes_mm)[-WINDOW:]
    if not numbers or any(later <= earlier for earlier, later in pairwise(numbers)):
        raise OutOfRangeError(
            "the part numbers do not rise",
            parameter="part_numbers",
            value=list(part_numbers),
            accepted="whole numbers, each larger than the one before",
        )
    count = len(numbers)
    mean = math.fsum(sizes) / count
    if count < FEWEST_PARTS:
        return Drift(
            parts=count,
            estimate_mm=None,
            uncertainty_mm=None,
            is_significant=False,
            standard_deviation_mm=None,
            level_mm=mean,
            is_step=False,
            reason=f"too few parts: {count} of at least {FEWEST_PARTS}",
        )
    slope, spread, sum_of_squares = _line(numbers, sizes, trail)
    interval = SLOPE_INTERVAL(
        trail, student_t_ratio(count - 2), SLOPE_SPREAD(trail, spread, sum_of_squares)
    )
    # Beyond the interval by more than the noise of binary arithmetic.
    significant = abs(slope) > interval + 1e-12
    middle = math.fsum(numbers) / count
    return Drift(
        parts=count,
        estimate_mm=slope,
        uncertainty_mm=interval,
        is_significant=significant,
        standard_deviation_mm=spread,
        level_mm=mean + slope * (numbers[-1] - middle) if significant else mean,
        is_step=_is_step(numbers, sizes),
        reason=""
        if significant
        else f"not significant: {slope:.5f} mm a part is within its uncertainty of "
        f"{interval:.5f} mm",
    )


def student_t_ratio(degrees_of_freedom: int) -> float:
    """Student's t of the two-sided 95 % interval; from 31 on the value of 30.

    Notes
    -----
    Source: student-t, the table beside this module.

    Examples
    --------
    >>> student_t_ratio(3)
    3.182
    """
    table = tables.load(__package__, "tables/student_t_95")
    return float(table.row(degrees_of_freedom=min(degrees_of_freedom, 30))["t_ratio"])


def _line(
    numbers: Sequence[int], sizes: Sequence[float], trail: Trail | None
) -> tuple[float, float, float]:
    """Slope, spread about the line, and the sum of squares of the numbers."""
    count = len(numbers)
    middle, mean = math.fsum(numbers) / count, math.fsum(sizes) / count
    squares = math.fsum((number - middle) ** 2 for number in numbers)
    products = math.fsum(
        (number - middle) * (size - mean) for number, size in zip(numbers, sizes, strict=True)
    )
    slope = SLOPE(trail, products, squares)
    rest = math.fsum(
        (size - mean - slope * (number - middle)) ** 2
        for number, size in zip(numbers, sizes, strict=True)
    )
    return slope, math.sqrt(rest / (count - 2)), squares


def _is_step(numbers: Sequence[int], sizes: Sequence[float]) -> bool:
    """Whether the last size is far from where the others lead to."""
    if len(numbers) <= _FEWEST_BEFORE_JUMP:
        return False
    before, last = numbers[:-1], numbers[-1]
    slope, spread, squares = _line(before, sizes[:-1], None)
    middle = math.fsum(before) / len(before)
    expected = math.fsum(sizes[:-1]) / len(before) + slope * (last - middle)
    # Spread of a new part about a line that is itself uncertain.
    spread *= math.sqrt(1 + 1 / len(before) + (last - middle) ** 2 / squares)
    return abs(sizes[-1] - expected) > _JUMP_RATIO * spread + 1e-9
