"""Rounding exactly as the standards state it.

Python's ``round`` on a binary fraction decides ties by the fraction's binary error. These
functions decide on the decimal value, which is what a printed table was rounded from.
"""

from __future__ import annotations

from decimal import ROUND_HALF_DOWN, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from typing import Final

_STEPS: Final = tuple(Decimal(1).scaleb(-places) for places in range(13))


def half_even(value: float, places: int) -> float:
    """Round to ``places`` decimals, exact ties to the even digit.

    Examples
    --------
    >>> half_even(0.00725, 4), half_even(2.4385, 3)
    (0.0072, 2.438)
    """
    return float(_decimal(value).quantize(_STEPS[places], ROUND_HALF_EVEN))


def half_up(value: float, places: int) -> float:
    """Round to ``places`` decimals, exact ties away from zero.

    Examples
    --------
    >>> half_up(0.4025, 3)
    0.403
    """
    return float(_decimal(value).quantize(_STEPS[places], ROUND_HALF_UP))


def half_down(value: float, places: int) -> float:
    """Round to ``places`` decimals, exact ties towards zero.

    Examples
    --------
    >>> half_down(0.00175, 4)
    0.0017
    """
    return float(_decimal(value).quantize(_STEPS[places], ROUND_HALF_DOWN))


def _decimal(value: float) -> Decimal:
    # Twelve significant decimals of a length in inch or millimetre are far below any standard's
    # last digit, and far above the noise of binary arithmetic that would hide a tie.
    return Decimal(f"{value:.12f}")
