"""Families that know one rounding rule refuse any other by name."""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.errors import UnknownDesignationError

TABLE: Final = "table"


def only_rule(rounding: str | None) -> None:
    """Accept no rule or the rule of the published tables.

    Raises
    ------
    UnknownDesignationError
        If another rule was asked for.
    """
    if rounding not in {None, TABLE}:
        raise UnknownDesignationError(
            f"rounding rule '{rounding}': this standard is rounded as its tables are",
            parameter="rounding",
            value=rounding,
            accepted=TABLE,
        )
