"""The hardness conversion tables, kept apart: scales, columns and the lines between two of them.

One conversion uses two columns of one table. Columns of two tables are never joined: each table
was measured on its own steels, and where they differ neither can correct the other.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Final

from threadwright_service.calc import tables
from threadwright_service.calc.units import MPA_PER_KSI

SCALES: Final = ("HRC", "HRB", "HRA", "HV", "HBW", "HBS", "HB", "Rm", "Rm-ksi")
"""Scales as they are named in answers; ``Rm`` is the tensile strength in MPa."""

UNITS: Final[Mapping[str, str]] = MappingProxyType({"Rm": "MPa", "Rm-ksi": "ksi"})
"""Unit of the scales that have one."""

STEEL_BALL_LIMIT_HB: Final = 450.0
"""Up to here steel and carbide balls read alike (common practice; the balls' columns of ASTM E140
part at 443)."""

_COLUMNS: Final[Mapping[str, tuple[tuple[str, float], ...]]] = MappingProxyType(
    {
        "HRC": (("HRC", 1.0),),
        "HRB": (("HRB", 1.0),),
        "HRA": (("HRA", 1.0),),
        "HV": (("HV", 1.0),),
        "HBW": (("HBW", 1.0), ("HB", 1.0)),
        "HBS": (("HBS", 1.0), ("HB", 1.0)),
        "HB": (("HBW", 1.0), ("HB", 1.0), ("HBS", 1.0)),
        "Rm": (("Rm_mpa", 1.0), ("Rm_ksi", MPA_PER_KSI)),
        "Rm-ksi": (("Rm_ksi", 1.0), ("Rm_mpa", 1 / MPA_PER_KSI)),
    }
)
"""Columns that can stand for a scale, the fitting one first, with the factor to the scale's unit.

A ``HB`` column comes from a table that does not name the ball.
"""

TABLES: Final[Mapping[str, tuple[str, str]]] = MappingProxyType(
    {
        "E140_T1": ("hardness_e140_t1", "e140"),
        "ISO18265_A1": ("hardness_iso18265_a1", "iso18265"),
        "E140_T2": ("hardness_e140_t2", "e140"),
        "J417_by_HV": ("hardness_j417_by_hv", "e140"),
        "J417_by_HB": ("hardness_j417_by_hb", "e140"),
        "J417_by_HB_low": ("hardness_j417_by_hb_low", "e140"),
        "BS860_by_HB": ("hardness_bs860_by_hb", "bs860"),
    }
)
"""Key of each table, its file, and whose scope decides on materials."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """Two values of one printed row."""

    given: float
    converted: float
    basis: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """Every row of one table that prints both columns, rising."""

    given_column: str
    converted_column: str
    points: tuple[Point, ...]

    @property
    def low(self) -> float:
        """Smallest given value."""
        return self.points[0].given

    @property
    def high(self) -> float:
        """Largest given value."""
        return self.points[-1].given

    def covers(self, value: float) -> bool:
        """Whether the value lies between the first and the last row."""
        return self.low <= value <= self.high

    def rows_at(self, value: float) -> tuple[Point, ...]:
        """The printed rows with this value, else the two rows around it."""
        printed = tuple(point for point in self.points if point.given == value)
        if printed:
            return printed
        above = next(index for index, point in enumerate(self.points) if point.given > value)
        return self.points[above - 1 : above + 1]


@dataclass(frozen=True, slots=True, kw_only=True)
class HardnessTable:
    """One published comparison of hardness scales."""

    key: str
    standard: str
    locator: str
    scope: str
    columns: tuple[str, ...]

    def lines(self, scale: str, to: str) -> tuple[Line, ...]:
        """The lines that convert between two scales, the fitting columns first."""
        found = []
        for given in _COLUMNS[scale]:
            for converted in _COLUMNS[to]:
                line = _line(self.key, given, converted)
                if line is not None and not _same_quantity(given[0], converted[0]):
                    found.append(line)
        return tuple(found)

    def fits(self, material: str) -> tuple[str, str]:
        """``yes``, ``near`` or ``no`` for a material, and the reason."""
        row = materials()[material]
        return str(row[TABLES[self.key][1]]), str(row["reason"])


@cache
def hardness_tables() -> Mapping[str, HardnessTable]:
    """All tables by key."""
    found = {}
    for key, (name, _) in TABLES.items():
        table = tables.load(__package__, f"tables/{name}")
        scope = tables.document_of(__package__, f"tables/{name}")["source"]["scope"]
        found[key] = HardnessTable(
            key=key,
            standard=table.standard,
            locator=table.locator,
            scope=scope,
            columns=table.columns,
        )
    return MappingProxyType(found)


@cache
def materials() -> Mapping[str, Mapping[str, tables.Cell]]:
    """What each table says to a material, by the material's word."""
    table = tables.load(__package__, "tables/hardness_materials")
    return MappingProxyType({str(row["material"]): row for row in table})


@cache
def _line(key: str, given: tuple[str, float], converted: tuple[str, float]) -> Line | None:
    table = tables.load(__package__, f"tables/{TABLES[key][0]}")
    if given[0] not in table.columns or converted[0] not in table.columns:
        return None
    points = [
        Point(
            given=_scaled(row[given[0]], given[1]),
            converted=_scaled(row[converted[0]], converted[1]),
            basis=str(row["basis"]),
        )
        for row in table
        if row[given[0]] != "" and row[converted[0]] != ""
    ]
    points.sort(key=lambda point: (point.given, point.converted))
    if len(points) < 2:
        return None
    return Line(given_column=given[0], converted_column=converted[0], points=tuple(points))


def _scaled(cell: tables.Cell, factor: float) -> float:
    return float(cell) if factor == 1.0 else float(cell) * factor


def _same_quantity(given: str, converted: str) -> bool:
    """Two columns that hold one quantity in two units, as MPa and ksi."""
    return given.split("_")[0] == converted.split("_")[0]
