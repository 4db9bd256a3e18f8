"""Result of a hardness conversion."""

from __future__ import annotations

from dataclasses import dataclass, field

from threadwright.record import Record
from threadwright.results.answer import Result


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRow(Record):
    """A printed row that a conversion rests on."""

    given: float
    """Value on the scale that was given."""
    converted: float
    """Value beside it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HardnessValues(Record):
    """The same hardness on every scale; ``None`` where no table reaches."""

    hrc: float | None
    hrb: float | None
    hra: float | None
    hv: float | None
    hb: float | None
    hbw: float | None
    hbs: float | None
    rm_mpa: float | None
    rm_ksi: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ConvertedHardness(Record):
    """One value on one scale, from one table."""

    scale: str
    value: float
    unit: str
    """MPa or ksi for a tensile strength, else empty."""
    low: float | None
    """Lower bound of a tensile strength, or the smallest of several values in print; else null."""
    high: float | None
    """Upper bound of a tensile strength, or the largest of several values in print; else null."""
    table: str
    """Key of the table; empty where none was needed."""
    standard: str
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


@dataclass(frozen=True, slots=True, kw_only=True)
class NotConverted(Record):
    """A scale that the given value cannot be told on, and why."""

    scale: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HardnessConversion(Result):
    """A hardness on other scales."""

    given_value: float
    given_scale: str
    material: str
    scale: str | None
    """The scale asked for; this and the members down to report are ``None`` if none was named."""
    value: float | None
    """The hardness on that scale, or the tensile strength in MPa or ksi."""
    unit: str | None = field()  # type: ignore[assignment]
    """MPa or ksi for a tensile strength, else empty."""
    low: float | None
    """Lower bound of a tensile strength, or the smallest of several values in print."""
    high: float | None
    """Upper bound of a tensile strength, or the largest of several values in print."""
    table: str | None
    """Key of the one table that was used; empty where none was needed."""
    standard: str | None
    scope: str | None
    """What the table is for."""
    printed: bool | None
    """Whether the table prints the row; else the value lies on the line between two rows."""
    rows: tuple[TableRow, ...]
    """The rows that it rests on."""
    basis: str | None
    """Whether those rows were read in print or are from memory."""
    report: str | None
    """As ASTM E140 has converted values reported, the measured one in parentheses."""
    uncertainty: str
    """How far a conversion can be trusted."""
    values: HardnessValues
    """On every scale; each value from one table, which conversions names."""
    conversions: tuple[ConvertedHardness, ...]
    not_converted: tuple[NotConverted, ...]
    """Scales that no table reaches, and why."""
