"""Refusals of numbers that are no length, no rate, no share: one sentence each."""

from __future__ import annotations

import math

from threadwright_service.calc.errors import OutOfRangeError


def above_zero(name: str, value: float) -> None:
    """Refuse a value that is not a finite number above zero.

    Raises
    ------
    OutOfRangeError
        As said.
    """
    if not (value > 0 and math.isfinite(value)):
        raise OutOfRangeError(
            f"{name} is {value}; it must be a number above zero",
            parameter=name,
            value=value,
            accepted="a number above zero",
        )


def not_negative(name: str, value: float) -> None:
    """Refuse a value that is not a finite number, zero or more.

    Raises
    ------
    OutOfRangeError
        As said.
    """
    if not (value >= 0 and math.isfinite(value)):
        raise OutOfRangeError(
            f"{name} is {value}; it must be zero or more",
            parameter=name,
            value=value,
            accepted="a number, zero or more",
        )


def count(name: str, value: int, *, least: int = 0) -> None:
    """Refuse a count that is not a whole number or is below ``least``.

    Raises
    ------
    OutOfRangeError
        As said.
    """
    if isinstance(value, bool) or value != int(value) or value < least:
        raise OutOfRangeError(
            f"{name} is {value}; it must be a whole number, {least} or more",
            parameter=name,
            value=value,
            accepted=f"a whole number, {least} or more",
        )


def share(name: str, value: float, *, below: float = 1.0) -> None:
    """Refuse a share that is negative or not under its upper end.

    Raises
    ------
    OutOfRangeError
        As said.
    """
    if not 0 <= value < below:
        raise OutOfRangeError(
            f"{name} is {value}; it must be 0 or more and under {below:g}",
            parameter=name,
            value=value,
            accepted=f"0 or more and under {below:g}",
        )
