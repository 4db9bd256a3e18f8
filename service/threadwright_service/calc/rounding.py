"""Rounding exactly as the standards state it.

Python's ``round`` on a binary fraction decides ties by the fraction's binary error. These
functions decide on the decimal value, which is what a printed table was rounded from.
"""

from __future__ import annotations

from decimal import ROUND_HALF_DOWN, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from typing import Final

_STEPS: Final = tuple(Decimal(1).scaleb(-places) for places in range(13))
_POWERS: Final = tuple(10.0**places for places in range(13))
NO_TIE: Final = 0.5 - 1e-5
"""Up to this distance from a whole step, binary noise cannot hide a tie."""
WHOLE: Final = 1.5 * 2.0**52
"""A number near this holds no fraction, so that adding it rounds to a whole number."""
_FEW_PLACES: Final = 6
_LARGEST_SCALED: Final = 1e10
_LENGTHS: Final = 1e3
"""From here on twelve decimals would show the noise of a single binary digit sooner or later."""
_LARGEST: Final = 1e4
"""Up to this size and number of places the noise of a product stays far below the margin."""


def half_even(value: float, places: int) -> float:
    """Round to ``places`` decimals, exact ties to the even digit.

    Examples
    --------
    >>> half_even(0.00725, 4), half_even(2.4385, 3)
    (0.0072, 2.438)
    """
    return _rounded(value, places, ROUND_HALF_EVEN)


def half_up(value: float, places: int) -> float:
    """Round to ``places`` decimals, exact ties away from zero.

    Examples
    --------
    >>> half_up(0.4025, 3)
    0.403
    """
    return _rounded(value, places, ROUND_HALF_UP)


def half_down(value: float, places: int) -> float:
    """Round to ``places`` decimals, exact ties towards zero.

    Examples
    --------
    >>> half_down(0.00175, 4)
    0.0017
    """
    return _rounded(value, places, ROUND_HALF_DOWN)


def nearest(value: float, places: int) -> float:
    """The nearest number of so many decimals: what ``round`` gives, in a quarter of its time.

    For the one rounding at the edge, which no standard prescribes. Never a negative zero.

    Examples
    --------
    >>> nearest(1 / 6, 6), nearest(2.675, 2), nearest(-0.0001, 3)
    (0.166667, 2.67, 0.0)
    """
    if 0 <= places <= _FEW_PLACES:
        power = _POWERS[places]
        scaled = value * power
        if -_LARGEST_SCALED < scaled < _LARGEST_SCALED:
            whole = scaled + WHOLE - WHOLE
            if -NO_TIE < scaled - whole < NO_TIE:
                return whole / power
    return round(value, places) + 0.0


def _rounded(value: float, places: int, rule: str) -> float:
    """Round by binary arithmetic where no tie is near, else on the decimal value."""
    if places <= _FEW_PLACES and -_LARGEST < value < _LARGEST:
        power = _POWERS[places]
        scaled = value * power
        whole = scaled + WHOLE - WHOLE
        if -NO_TIE < scaled - whole < NO_TIE:
            return whole / power
    return float(_decimal(value).quantize(_STEPS[places], rule))


def _decimal(value: float) -> Decimal:
    # Twelve significant decimals of a length in inch or millimetre are far below any standard's
    # last digit, and far above the noise of binary arithmetic that would hide a tie. That noise
    # grows with the number: what is larger than lengths of threads keeps fifteen digits in all.
    return Decimal(f"{value:.12f}" if -_LENGTHS < value < _LENGTHS else f"{value:.14e}")
