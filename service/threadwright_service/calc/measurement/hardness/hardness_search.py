"""One hardness conversion: which table is asked, and what it answers."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import NotTabulatedError, OutOfRangeError
from threadwright_service.calc.measurement.hardness.hardness_tables import (
    SCALES,
    STEEL_BALL_LIMIT_HB,
    UNITS,
    HardnessTable,
    Line,
    Point,
    hardness_tables,
)
from threadwright_service.calc.rounding import half_even
from threadwright_service.calc.trail import Formula, Trail
from threadwright_service.calc.units import MPA_PER_KSI

INTERPOLATION: Final = Formula(
    "converted hardness between two printed rows",
    "y",
    "y0 + (x - x0) * (y1 - y0) / (x1 - x0)",
    "x x0 x1 y0 y1",
    unit="",
    source="common practice",
)

TENSILE_SPREAD_RATIO: Final = 0.10
"""Spread that is given with a converted tensile strength (memory: ISO 18265 calls the conversion
to tensile strength the least reliable of all)."""

ROCKWELL_B_TOP: Final = 100.0
ROCKWELL_C_BOTTOM: Final = 20.0

_TENSILE_ORDER: Final = ("ISO18265_A1", "E140_T1", "J417_by_HB", "J417_by_HB_low")
_KSI_ORDER: Final = ("E140_T1", "J417_by_HB", "J417_by_HB_low", "ISO18265_A1")
"""ISO 18265 prints no ksi; the American tables are asked first for it."""
_ROCKWELL_B_ORDER: Final = ("E140_T2", "ISO18265_A1", "J417_by_HB_low", "J417_by_HB")
_ORDER: Final = ("E140_T1", "J417_by_HV", "J417_by_HB", "ISO18265_A1", "E140_T2")
"""Tables in the order in which they are asked; the older British comparison only by name."""
_ASKED: Final = frozenset(_TENSILE_ORDER + _ROCKWELL_B_ORDER + _ORDER)


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRow:
    """A printed row that a conversion rests on."""

    given: float
    """Value on the scale that was given."""
    converted: float
    """Value beside it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ConvertedHardness:
    """One value on one scale, from one table."""

    scale: str
    """Scale that the value is on."""
    value: float
    """Hardness on that scale, or the tensile strength in MPa or ksi."""
    unit: str
    """MPa or ksi for a tensile strength, else empty."""
    low: float | None
    """Lower bound of a tensile strength, or the smallest of several values in print; else null."""
    high: float | None
    """Upper bound of a tensile strength, or the largest of several values in print; else null."""
    table: str
    """Key of the table; empty where none was needed."""
    standard: str
    """Publication that the table is from; empty where none was needed."""
    scope: str
    """What the table is for."""
    printed: bool
    """Whether the table prints the row; else the value lies on the line between two rows."""
    rows: tuple[TableRow, ...]
    """The rows that it rests on."""
    basis: str
    """Whether those rows were read in print or are from memory."""
    report: str
    """As ASTM E140 has converted values reported, the measured one in parentheses."""


def converted_on(
    value: float,
    scale: str,
    to: str,
    material: str,
    chosen: HardnessTable | None,
    trail: Trail | None,
) -> ConvertedHardness:
    """One conversion, from the first table that reaches, or from the chosen one.

    Parameters
    ----------
    value : float
        The hardness on ``scale``.
    scale, to : str
        Words of :data:`~.hardness_tables.SCALES`.
    material : str
        A word of the materials table that is not refused.
    chosen : HardnessTable or None
        The only table to be asked; ``None`` leaves the choice to the order.
    trail : Trail or None
        Takes the working.

    Raises
    ------
    NotTabulatedError
        If no table holds both scales.
    OutOfRangeError
        If no table reaches the value, or the result lies beyond the end of its scale.

    Notes
    -----
    Source: astm-e140; sae-j417; iso-18265; bs-860; the order of asking is common practice.
    """
    if scale == to or {scale, to} in ({"HB", "HBW"}, {"Rm", "Rm-ksi"}):
        return _without_table(value, scale, to)
    if chosen is None and scale == "HRB" and value > ROCKWELL_B_TOP:
        raise OutOfRangeError(
            f"{value:g} HRB is beyond the end of the scale",
            parameter="value",
            value=value,
            accepted="up to 100 HRB, or a table by name",
        )
    reached: dict[str, tuple[float, float]] = {}
    for table in candidates(scale, to, material, chosen):
        for line in table.lines(scale, to):
            if not _usable(line, scale, to):
                continue
            if line.covers(value):
                found = _on_line(value, scale, to, table, line, trail)
                _check_end_of_scale(found, chosen)
                return found
            low, high = reached.get(table.key, (line.low, line.high))
            reached[table.key] = min(low, line.low), max(high, line.high)
    if not reached:
        raise NotTabulatedError(
            f"no table here converts {scale} to {to}"
            if chosen is None
            else f"table {chosen.key} has not both {scale} and {to}",
            parameter="to" if chosen is None else "table",
            value=to if chosen is None else chosen.key,
            accepted="" if chosen is None else f"a table with {scale} and {to}",
        )
    raise OutOfRangeError(
        f"{value:g} {scale} is outside what the tables convert to {to}",
        parameter="value",
        value=value,
        accepted="; ".join(
            f"{key} {low:g} to {high:g} {scale}" for key, (low, high) in reached.items()
        ),
    )


def candidates(
    scale: str, to: str, material: str, chosen: HardnessTable | None
) -> list[HardnessTable]:
    """Tables to ask, in order; those that name the material before those that are near it.

    Notes
    -----
    Source: common practice.
    """
    if chosen is not None:
        return [chosen]
    order: tuple[str, ...]
    if "Rm-ksi" in (scale, to):
        order = _KSI_ORDER
    elif "Rm" in (scale, to):
        order = _TENSILE_ORDER
    elif "HRB" in (scale, to):
        order = _ROCKWELL_B_ORDER
    else:
        order = _ORDER
    found = [hardness_tables()[key] for key in order]
    return sorted(found, key=lambda table: table.fits(material)[0] != "yes")


def range_of_scale(scale: str, chosen: HardnessTable | None) -> str:
    """What the tables reach on a scale, in words.

    Notes
    -----
    Source: astm-e140; sae-j417; iso-18265; bs-860.
    """
    lines = [
        line
        for key, table in hardness_tables().items()
        if (key in _ASKED if chosen is None else table == chosen)
        for to in SCALES
        if to != scale
        for line in table.lines(scale, to)
        if _usable(line, scale, to)
    ]
    if not lines:
        return "a scale that the table has"
    return f"{min(each.low for each in lines):g} to {max(each.high for each in lines):g} {scale}"


def _usable(line: Line, scale: str, to: str) -> bool:
    """A table that does not name the ball speaks for the steel ball only where both agree."""
    if scale == "HBS" and line.given_column == "HB":
        return line.high <= STEEL_BALL_LIMIT_HB
    if to == "HBS" and line.converted_column == "HB":
        return line.points[-1].converted <= STEEL_BALL_LIMIT_HB
    return True


def _check_end_of_scale(found: ConvertedHardness, chosen: HardnessTable | None) -> None:
    """Values beyond the end of a Rockwell scale are given only from a table asked for by name."""
    if chosen is None and found.scale == "HRB" and found.value > ROCKWELL_B_TOP:
        raise OutOfRangeError(
            f"it would be {found.value:.1f} HRB, beyond the end of the scale at 100",
            parameter="to",
            value="HRB",
            accepted="HRC, HV or HBW, or a table by name",
        )


def _on_line(
    value: float, scale: str, to: str, table: HardnessTable, line: Line, trail: Trail | None
) -> ConvertedHardness:
    rows = line.rows_at(value)
    printed = rows[0].given == value
    if printed:
        converted = math.fsum(row.converted for row in rows) / len(rows)
        if trail is not None:
            trail.step(
                f"{to} printed beside {scale}",
                to,
                f"row {value:g}",
                {scale: value},
                converted,
                UNITS.get(to, to),
                table.standard,
            )
    else:
        below, above = rows
        converted = INTERPOLATION(
            trail, value, below.given, above.given, below.converted, above.converted
        )
    low, high = _bounds(to, converted, rows if printed else ())
    return ConvertedHardness(
        scale=to,
        value=converted,
        unit=UNITS.get(to, ""),
        low=low,
        high=high,
        table=table.key,
        standard=table.standard,
        scope=table.scope,
        printed=printed,
        rows=tuple(TableRow(given=row.given, converted=row.converted) for row in rows),
        basis=" and ".join(sorted({row.basis for row in rows})),
        report=f"{_whole(converted)} {UNITS.get(to, to)} ({value:g} {UNITS.get(scale, scale)})",
    )


def _bounds(
    to: str, converted: float, printed: tuple[Point, ...]
) -> tuple[float, float] | tuple[None, None]:
    if to in UNITS:
        spread = TENSILE_SPREAD_RATIO * converted
        return converted - spread, converted + spread
    if len(printed) > 1:
        return printed[0].converted, printed[-1].converted
    return None, None


def _without_table(value: float, scale: str, to: str) -> ConvertedHardness:
    """The same scale, the same ball, or the other unit of strength."""
    factor = {("Rm", "Rm-ksi"): 1 / MPA_PER_KSI, ("Rm-ksi", "Rm"): MPA_PER_KSI}.get(
        (scale, to), 1.0
    )
    return ConvertedHardness(
        scale=to,
        value=value * factor,
        unit=UNITS.get(to, ""),
        low=None,
        high=None,
        table="",
        standard="",
        scope="",
        printed=True,
        rows=(),
        basis="given",
        report=f"{value:g} {UNITS.get(scale, scale)}",
    )


def _whole(value: float) -> str:
    """Converted values are reported in whole numbers (ASTM E140, clause on reporting)."""
    return f"{half_even(value, 0):.0f}"
