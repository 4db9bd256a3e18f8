"""Typical values for what the caller left out, each noted when it is used."""

from __future__ import annotations

from threadwright_service.calc import tables
from threadwright_service.calc.trail import Trail


def typical(parameter: str, trail: Trail | None = None) -> float:
    """The typical value of a parameter, noted as an assumption.

    Raises
    ------
    NotTabulatedError
        If there is no typical value for it.

    Notes
    -----
    Source: common practice (``tables/typical_times.toml``).
    """
    row = tables.load(__package__, "tables/typical_times").row(parameter=parameter)
    value = row["value"]
    if trail is not None:
        trail.assume(parameter, value, str(row["reason"]), unit=str(row["unit"]))
    return float(value)


def or_typical(parameter: str, given: float | None, trail: Trail | None = None) -> float:
    """What was given, else the typical value, noted as an assumption.

    Notes
    -----
    Source: common practice (``tables/typical_times.toml``).
    """
    return typical(parameter, trail) if given is None else given
