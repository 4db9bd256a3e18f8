"""Hardness conversion by published tables: one table at a time, refused outside it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from threadwright_service.calc.errors import CalcError, OutOfRangeError
from threadwright_service.calc.measurement.hardness.hardness_scale import (
    checked_value,
    material_named,
    scale_named,
    table_named,
)
from threadwright_service.calc.measurement.hardness.hardness_search import (
    ROCKWELL_B_TOP,
    ConvertedHardness,
    TableRow,
    converted_on,
    range_of_scale,
)
from threadwright_service.calc.measurement.hardness.hardness_tables import (
    SCALES,
    STEEL_BALL_LIMIT_HB,
    UNITS,
    hardness_tables,
)
from threadwright_service.calc.trail import Trail

UNCERTAINTY: Final = (
    "tensile strength: 10 % either way; hardness: the tables state none, and the straight line "
    "between two rows adds at most 0.2 HRC, 2.5 HV or 2.5 HB"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class NotConverted:
    """A scale that the given value cannot be told on, and why."""

    scale: str
    """Scale on which the value cannot be told."""
    reason: str
    """Why no table reaches it, or what is accepted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HardnessValues:
    """The same hardness on every scale; ``None`` where no table reaches."""

    hrc: float | None
    """Rockwell C; null where no table reaches."""
    hrb: float | None
    """Rockwell B; null where no table reaches."""
    hra: float | None
    """Rockwell A; null where no table reaches."""
    hv: float | None
    """Vickers; null where no table reaches."""
    hb: float | None
    """Brinell, with a carbide ball where the table names one; null where no table reaches."""
    hbw: float | None
    """Brinell with a carbide ball; null where no table reaches."""
    hbs: float | None
    """Brinell with a steel ball; null where no table reaches."""
    rm_mpa: float | None
    """Tensile strength; null where no table reaches."""
    rm_ksi: float | None
    """The same in ksi; null where no table reaches."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HardnessConversion:
    """A hardness on other scales."""

    given_value: float
    """The value that was given."""
    given_scale: str
    """Its scale, as it is named here."""
    material: str
    """Word of the material that decides which tables are meant for it."""
    scale: str | None = None
    """The scale asked for; this and the members down to report are null if none was named."""
    value: float | None = None
    """The hardness on that scale, or the tensile strength in MPa or ksi."""
    unit: str | None = None
    """MPa or ksi for a tensile strength, else empty."""
    low: float | None = None
    """Lower bound of a tensile strength, or the smallest of several values in print; else null."""
    high: float | None = None
    """Upper bound of a tensile strength, or the largest of several values in print; else null."""
    table: str | None = None
    """Key of the one table that was used; empty where none was needed."""
    standard: str | None = None
    """Publication that the table is from; empty where none was needed."""
    scope: str | None = None
    """What the table is for."""
    printed: bool | None = None
    """Whether the table prints the row; else the value lies on the line between two rows."""
    rows: tuple[TableRow, ...] = ()
    """The rows that it rests on."""
    basis: str | None = None
    """Whether those rows were read in print or are from memory."""
    report: str | None = None
    """As ASTM E140 has converted values reported, the measured one in parentheses."""
    uncertainty: str = UNCERTAINTY
    """How far a conversion can be trusted."""
    values: HardnessValues
    """On every scale; each value from one table, which conversions names."""
    conversions: tuple[ConvertedHardness, ...]
    not_converted: tuple[NotConverted, ...]
    """Scales that no table reaches, and why."""


def convert(
    *,
    value: float,
    scale: str,
    to: str | None = None,
    material: str | None = None,
    table: str | None = None,
    trail: Trail | None = None,
) -> HardnessConversion:
    """A hardness on another scale, or on all.

    Parameters
    ----------
    value : float
        The hardness, or the tensile strength in MPa or ksi; above 0, inside the table.
    scale : str
        ``HRC``, ``HRB``, ``HRA``, ``HV``, ``HB``, ``HBW`` (carbide ball), ``HBS`` (steel ball),
        ``Rm`` (MPa) or ``Rm-ksi``; capitals and small letters alike.
    to : str, optional
        The scale that is wanted; all of them otherwise.
    material : str, optional
        A word of the materials table, such as ``tool-steel``; homogeneous non-austenitic steel
        that was not cold-worked is assumed otherwise.
    table : str, optional
        The table to use; otherwise ASTM E140 for hardness and ISO 18265 table A.1 for tensile
        strength, and another one only where these do not reach.
    trail : Trail, optional
        Takes assumptions, cautions and working.

    Returns
    -------
    HardnessConversion
        Printed digits where the table prints the row, else the straight line between two rows of
        the same table, unrounded.

    Raises
    ------
    UnknownDesignationError
        If a scale, the material or the table is not known.
    NotTabulatedError
        If the material is one that the tables are not for, or the table lacks a scale.
    OutOfRangeError
        If the value is not a positive finite number, or lies outside the tables.

    Notes
    -----
    Source: astm-e140; sae-j417; iso-18265; bs-860, as public reprints give them; each row says
    whether it was read or is from memory. Leaving out each row in turn, the straight line over the
    doubled gap misses it by at most 0.2 HRC, 2.5 HV or 2.5 HB in ASTM E140.

    Examples
    --------
    ASTM E140, table 1, prints 40 HRC as 371 HB:

    >>> convert(value=40, scale="HRC", to="HB").value
    371.0
    """
    given_scale = scale_named(scale, "scale")
    target = None if to is None else scale_named(to, "to")
    number = checked_value(value, given_scale)
    known = material_named(material, trail)
    chosen = None if table is None else table_named(table)
    every: list[ConvertedHardness] = []
    missing: list[NotConverted] = []
    asked: ConvertedHardness | None = None
    for each in SCALES:
        wanted = each == target
        try:
            shown = trail if wanted or target is None else None
            found = converted_on(number, given_scale, each, known, chosen, shown)
        except CalcError as refusal:
            if wanted:
                raise
            missing.append(NotConverted(scale=each, reason=refusal.detail))
            continue
        asked = found if wanted else asked
        every.append(found)
    if target is None and not any(found.table for found in every):
        raise OutOfRangeError(
            f"{number:g} {given_scale} is outside every table that is asked",
            parameter="value",
            value=value,
            accepted=range_of_scale(given_scale, chosen),
        )
    if trail is not None and asked is not None and chosen is None and asked.table:
        trail.assume(
            "table",
            asked.table,
            f"none named; the first in order that converts {given_scale} to {asked.scale} there",
        )
    _warn(number, given_scale, [asked] if asked else every, known, trail)
    return _conversion(number, given_scale, known, asked, tuple(every), tuple(missing))


def brinell(value: float, scale: str, trail: Trail | None = None) -> float:
    """Brinell hardness (carbide ball) that cutting data are given for.

    Parameters
    ----------
    value : float
        The hardness.
    scale : str
        Any scale of :func:`convert`.
    trail : Trail, optional
        Takes assumptions, cautions and working.

    Raises
    ------
    CalcError
        As :func:`convert`.

    Notes
    -----
    Source: astm-e140, table 1, where it reaches, as :func:`convert`.

    Examples
    --------
    >>> brinell(42, "HRC"), brinell(180, "HB")
    (390.0, 180.0)
    """
    converted = convert(value=value, scale=scale, to="HB", trail=trail).value
    assert converted is not None  # noqa: S101 - a scale was named, so there is a value
    return converted


def _warn(
    value: float,
    scale: str,
    found: list[ConvertedHardness],
    material: str,
    trail: Trail | None,
) -> None:
    """Note what the reader should know about these conversions."""
    if trail is None:
        return
    trail.caution(
        "approximate-conversion",
        "A converted hardness is approximate; report it with the measured value in parentheses, "
        "and judge a limit of the drawing on the drawing's own scale.",
    )
    if any("memory" in each.basis for each in found):
        trail.caution(
            "from-memory",
            "A row that this conversion rests on is from memory of the standard; check it against "
            "the standard before a part depends on it.",
        )
    for each in found:
        fits, reason = hardness_tables()[each.table].fits(material) if each.table else ("yes", "")
        if fits == "near":
            trail.caution("outside-scope", f"The table was not made for {material}: {reason}.")
    numbers = [(scale, value), *((each.scale, each.value) for each in found)]
    if any(name in UNITS for name, _ in numbers):
        trail.caution(
            "tensile-from-hardness",
            "Tensile strength and hardness are the least certain pair to convert: allow 10 % "
            "either way.",
        )
    if any(name == "HBS" and number > STEEL_BALL_LIMIT_HB for name, number in numbers):
        trail.caution(
            "steel-ball",
            "Above about 450 HB a steel ball flattens and reads low; a carbide ball is prescribed.",
        )
    if any(name == "HRB" and number > ROCKWELL_B_TOP for name, number in numbers):
        trail.caution(
            "outside-rockwell-b",
            "Above 100 HRB is outside the scale; the table prints it in parentheses.",
        )


def _conversion(
    value: float,
    scale: str,
    material: str,
    asked: ConvertedHardness | None,
    every: tuple[ConvertedHardness, ...],
    missing: tuple[NotConverted, ...],
) -> HardnessConversion:
    """Put the answer together."""
    on = {each.scale: each.value for each in every}
    conversion = HardnessConversion(
        given_value=value,
        given_scale=scale,
        material=material,
        values=HardnessValues(
            hrc=on.get("HRC"),
            hrb=on.get("HRB"),
            hra=on.get("HRA"),
            hv=on.get("HV"),
            hb=on.get("HB"),
            hbw=on.get("HBW"),
            hbs=on.get("HBS"),
            rm_mpa=on.get("Rm"),
            rm_ksi=on.get("Rm-ksi"),
        ),
        conversions=every,
        not_converted=missing,
    )
    if asked is None:
        return conversion
    return replace(
        conversion,
        scale=asked.scale,
        value=asked.value,
        unit=asked.unit,
        low=asked.low,
        high=asked.high,
        table=asked.table,
        standard=asked.standard,
        scope=asked.scope,
        printed=asked.printed,
        rows=asked.rows,
        basis=asked.basis,
        report=asked.report,
    )
