"""Sizes of Unified threads as people write them: ``3/4``, ``1 1/2``, ``#10``, ``10 (.190)``."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from typing import Final

from threadwright_service.calc.errors import AmbiguousError, UnknownDesignationError
from threadwright_service.calc.threads.unified.asme_b1_1_agreement import Size
from threadwright_service.calc.threads.unified.asme_b1_1_series import (
    NUMBER_SIZES,
    number_size_diameter_in,
)

SIZE: Final = (
    r"(?:([0-9]{0,4}\.[0-9]{1,8})"  # as the first: it is found or not without a step back
    r"|(?:# ?|NO\.? ?)([0-9]{1,3})"
    r"|(?:([0-9]{1,3})[ \-])?([0-9]{1,3})/([0-9]{1,3})"
    r"|([0-9]{1,4}))"
    r"(?:(?=[ (\"I])(?: ?\( ?([0-9]?\.[0-9]{1,4}) ?\))?(?: ?(?:\"|IN\.?(?![A-Z])|INCH(?:ES)?))?)?"
)
"""Seven groups: decimals, number, whole, numerator, denominator, integer, decimals in brackets."""
_ALONE: Final = re.compile(SIZE)


def size_of_text(text: str) -> Size:
    """A size alone, as a field gives it: ``3/4``, ``1 1/2``, ``#10``, ``.750``.

    Raises
    ------
    UnknownDesignationError
        If the text is no size.
    """
    match = _ALONE.fullmatch(text.strip().upper())
    if match is None:
        raise UnknownDesignationError(
            f"'{text[:40]}' is not a size of Unified threads",
            parameter="nominal_diameter",
            value=text[:100],
            accepted="a fraction like 3/4 or 1 1/2, a number size like #10, inches like 0.75",
        )
    return size_of_parts(*match.groups())


@lru_cache(maxsize=512)
def size_of_parts(
    decimal: str | None,
    number: str | None,
    whole: str | None,
    numerator: str | None,
    denominator: str | None,
    integer: str | None,
    in_parentheses: str | None,
) -> Size:
    """The size that the groups of :data:`SIZE` hold, and its decimals in parentheses, if any.

    Raises
    ------
    UnknownDesignationError
        If it is no size of Unified threads.
    AmbiguousError
        If size and decimals contradict each other.
    """
    if (number or integer or "")[:2] == "00":
        raise UnknownDesignationError(
            f"#{number or integer} is a size below #0, where the Unified tables begin",
            parameter="nominal_diameter",
            value=f"#{number or integer}",
            accepted=", ".join(f"#{each}" for each in NUMBER_SIZES),
        )
    if number is not None:
        size = Size(None, int(number))
    elif numerator is not None and denominator is not None:
        size = Size(_fraction_in(whole, numerator, denominator), None)
    elif integer is not None and int(integer) in NUMBER_SIZES:
        size = Size(float(integer), int(integer))
    else:
        size = Size(float(decimal or integer or 0), None)
    if size.number is not None and size.number not in NUMBER_SIZES:
        raise UnknownDesignationError(
            f"#{size.number} is not a number size",
            parameter="nominal_diameter",
            value=f"#{size.number}",
            accepted=", ".join(f"#{each}" for each in NUMBER_SIZES),
        )
    if in_parentheses is None:
        return size
    decimal_in = float(in_parentheses)
    if size.number is not None and decimal_in == number_size_diameter_in(size.number):
        return Size(None, size.number)
    if size.diameter_in is not None and abs(size.diameter_in - decimal_in) < 0.0001:
        return Size(size.diameter_in, None)
    raise AmbiguousError(
        f"the size and the decimals in parentheses ({in_parentheses}) contradict each other",
        parameter="nominal_diameter",
        value=in_parentheses,
        accepted="a size without parentheses, or its own decimals, as 10 (.190)",
    )


def _fraction_in(whole: str | None, numerator: str, denominator: str) -> float:
    below = int(denominator)
    if below not in (2, 4, 8, 16, 32, 64, 128):
        raise UnknownDesignationError(
            f"{numerator}/{denominator} is not a size: inches are halved, to 1/128 at most",
            parameter="nominal_diameter",
            value=f"{numerator}/{denominator}",
            accepted="halves, quarters, eighths, 16ths, 32nds, 64ths, 128ths, or decimals",
        )
    return float(int(whole or 0) + Fraction(int(numerator), below))
