"""Taper pipe threads, ASME B1.20.1: the size table and the call-outs of NPT [in].

``1/2-14 NPT``, ``3/8 NPT``, ``1-11.5 NPT-LH``, ``NPT 3/4 internal``. The dryseal, straight and
railing threads are refused by name.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Final

from threadwright_service.calc import tables
from threadwright_service.calc.errors import NotTabulatedError, UnknownDesignationError
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.inch_call_out import InchCallOut, from_fields, take_apart
from threadwright_service.calc.threads.pipe.whitworth_pipe import one_start
from threadwright_service.calc.threads.registry import Fields, StandardSize
from threadwright_service.calc.trail import Trail

KEY: Final = "npt"
SERIES: Final = "NPT"

_SERIES: Final = re.compile(r"(?<![A-Za-z])N\.?P\.?T\.?(?![A-Za-z])", re.IGNORECASE)
_OTHERS: Final = re.compile(r"(?<![A-Za-z])(?:NPTF|NPSF|NPSI|NPSC|NPSM|NPSL|NPSH|NPTR|PTF|ANPT)",
                            re.IGNORECASE)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class NptSize:
    """One row of the standard's table [in]."""

    size: str
    outside_diameter: float
    threads_per_inch: float
    hand_tight_length: float
    truncation_max: float
    basis: str


@cache
def npt_sizes() -> dict[str, NptSize]:
    """The standard's rows by size.

    Notes
    -----
    Source: asme-b1-20-1, Table 1 and Table 2.
    """
    truncation = tables.load(__package__, "tables/asme_b1_20_1_truncation")
    return {
        str(row["size"]): NptSize(
            size=str(row["size"]),
            outside_diameter=float(row["outside_diameter_in"]),
            threads_per_inch=float(row["threads_per_inch"]),
            hand_tight_length=float(row["hand_tight_length_in"]),
            truncation_max=float(
                truncation.row(threads_per_inch=row["threads_per_inch"])["truncation_max_in"]
            ),
            basis=str(row["basis"]),
        )
        for row in tables.load(__package__, "tables/asme_b1_20_1_sizes")
    }


@cache
def sizes() -> tuple[StandardSize, ...]:
    """The sizes of NPT; ``nominal_diameter`` is the outside diameter of the pipe [in]."""
    return tuple(
        StandardSize(
            series=SERIES,
            size=row.size,
            nominal_diameter=row.outside_diameter,
            pitch=1 / row.threads_per_inch,
            threads_per_inch=row.threads_per_inch,
        )
        for row in npt_sizes().values()
    )


def parse(
    text: str, tolerance_class: str | None = None, *, trail: Trail | None = None
) -> CallOut | None:
    """Read a tidied call-out; ``None`` if it is no NPT thread.

    Raises
    ------
    CalcError
        If it is one, and is wrong; or a related pipe thread that is not carried.

    Examples
    --------
    >>> parse("1/2-14 NPT").nominal_diameter, parse("3/8 NPT LH").hand
    (0.84, 'left')
    """
    del trail
    other = _OTHERS.search(text)
    if other is not None:
        raise NotTabulatedError(
            f"{other[0].upper()} is not carried: its limits were not read",
            parameter="designation",
            value=text,
            accepted="NPT, as 1/2-14 NPT",
        )
    parts = take_apart(text, _SERIES)
    return None if parts is None else _call_out(parts, tolerance_class or "")


def read(fields: Fields, *, trail: Trail | None = None) -> CallOut:
    """Make the call-out from fields: ``nominal_diameter`` is the pipe size, as ``1/2``.

    Raises
    ------
    CalcError
        If a value is missing or wrong.
    """
    del trail
    return _call_out(from_fields(fields), "")


def _call_out(parts: InchCallOut, tolerance_class: str) -> CallOut:
    """The record, once size and threads per inch agree."""
    word = (parts.tolerance_class or tolerance_class).strip(" -()")
    if word:
        raise UnknownDesignationError(
            f"'{word}': NPT has no classes",
            parameter="tolerance_class",
            value=word,
            accepted="no class",
        )
    row = npt_sizes().get(parts.size)
    if row is None:
        by_distance = sorted(
            npt_sizes().values(), key=lambda each: abs(_nominal(each) - parts.diameter_in)
        )[:4]
        near = ", ".join(each.size for each in sorted(by_distance, key=_nominal))
        raise NotTabulatedError(
            f"ASME B1.20.1 has no NPT size {parts.size} in what is carried of it (to 24)",
            parameter="nominal_diameter",
            value=parts.size,
            accepted=f"near sizes: {near}",
        )
    if parts.threads_per_inch not in {None, row.threads_per_inch}:
        raise UnknownDesignationError(
            f"NPT of size {row.size} has {row.threads_per_inch:g} threads per inch",
            parameter="threads_per_inch",
            value=parts.threads_per_inch,
            accepted=f"{row.size}-{row.threads_per_inch:g} NPT",
        )
    one_start(parts.starts)
    return CallOut(
        family=KEY,
        series=SERIES,
        size=row.size,
        nominal_diameter=row.outside_diameter,
        pitch=1 / row.threads_per_inch,
        threads_per_inch=row.threads_per_inch,
        tolerance_class="",
        side=parts.side or "external",
        side_stated=parts.side is not None,
        hand=parts.hand,
    )


def _nominal(row: NptSize) -> float:
    whole, _, part = row.size.rpartition(" ")
    top, _, bottom = part.partition("/")
    return int(whole or 0) + int(top) / int(bottom or 1)
