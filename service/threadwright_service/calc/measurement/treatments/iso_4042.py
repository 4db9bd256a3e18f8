"""Guidance of ISO 4042 on how thick a coating a metric thread takes up.

The fundamental deviation divided by 4, 5 or 6, by the length of the part, rounded down to a
coating thickness of the standard's series. 36 cells of one table and 106 of another agree; two
printed cells depart from the rule and are carried as printed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.errors import NotTabulatedError, OutOfRangeError
from threadwright_service.calc.tables import load
from threadwright_service.calc.trail import Trail

LengthOfCoating = Literal["local", "le5d", "le10d", "le15d"]

SERIES_UM: Final = (3.0, 5.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0)
"""Coating thicknesses of the standard [µm]."""

_DIVISORS: Final[dict[LengthOfCoating, int]] = {"local": 4, "le5d": 4, "le10d": 5, "le15d": 6}
_LENGTHS_IN_DIAMETERS: Final[tuple[tuple[LengthOfCoating, float], ...]] = (
    ("le5d", 5.0),
    ("le10d", 10.0),
    ("le15d", 15.0),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FittingThickness:
    """Largest coating thickness for a deviation; 0 if none of the series fits."""

    thickness_um: float
    departs_from_rule: bool


def length_group(*, coated_length_mm: float | None, nominal_diameter_mm: float) -> LengthOfCoating:
    """Group of a coated part by its length over its nominal diameter.

    Parameters
    ----------
    coated_length_mm : float or None
        Nominal length of the part [mm]; ``None``: the thickness is agreed where it is measured.
    nominal_diameter_mm : float
        Nominal diameter, d [mm]; above 0.

    Raises
    ------
    OutOfRangeError
        If a length is not above 0.
    NotTabulatedError
        If the part is longer than 15 diameters.

    Notes
    -----
    Source: iso-4042, guidance tables.
    """
    if coated_length_mm is None:
        return "local"
    if not (coated_length_mm > 0 and nominal_diameter_mm > 0):
        raise OutOfRangeError(
            f"the coated length is {coated_length_mm:g} mm; it must be above 0",
            parameter="coated_length",
            value=coated_length_mm,
            accepted="a length above 0",
        )
    for group, diameters in _LENGTHS_IN_DIAMETERS:
        if coated_length_mm <= diameters * nominal_diameter_mm:
            return group
    raise NotTabulatedError(
        f"ISO 4042 gives guidance for lengths up to 15 diameters; {coated_length_mm:g} mm is "
        f"{coated_length_mm / nominal_diameter_mm:.1f} diameters",
        parameter="coated_length",
        value=coated_length_mm,
        accepted="up to 15 diameters, or no length if the thickness is agreed locally",
    )


def thickness_that_fits_um(
    *, deviation_um: float, length: LengthOfCoating, trail: Trail | None = None
) -> FittingThickness:
    """Largest coating thickness that a fundamental deviation takes up [µm].

    Parameters
    ----------
    deviation_um : float
        Amount of the fundamental deviation [µm]; 0 or more.
    length : {"local", "le5d", "le10d", "le15d"}
        Where the thickness is agreed, or the part's length in diameters.
    trail : Trail, optional
        Takes the working.

    Raises
    ------
    OutOfRangeError
        If the deviation is negative.

    Notes
    -----
    Source: iso-4042, table of upper limits of coating thickness.

    Examples
    --------
    M6-6g (26 µm) and M10-6g (32 µm): 5 and 8 µm.

    >>> thickness_that_fits_um(deviation_um=26, length="le5d").thickness_um
    5.0
    >>> thickness_that_fits_um(deviation_um=32, length="le5d").thickness_um
    8.0
    """
    if not deviation_um >= 0:
        raise OutOfRangeError(
            f"the fundamental deviation is {deviation_um:g} µm; its amount is meant",
            parameter="deviation",
            value=deviation_um,
            accepted="0 or more",
        )
    divisor = _DIVISORS[length]
    printed = load(__package__, "tables/iso_4042_departures").rows.get((deviation_um, length))
    by_rule = max((step for step in SERIES_UM if step * divisor <= deviation_um), default=0.0)
    found = by_rule if printed is None else float(printed["printed_um"])
    if trail is not None:
        trail.step(
            "largest coating thickness",
            "t",
            "deviation / divisor, rounded down to the series 3 5 8 10 12 15 20 25 30"
            if printed is None
            else "as printed; the table departs from its rule here",
            {"deviation": deviation_um, "divisor": divisor},
            found,
            "µm",
            "iso-4042, table of upper limits of coating thickness",
        )
    return FittingThickness(thickness_um=found, departs_from_rule=printed is not None)


def smallest_deviation_um(*, thickness_um: float, length: LengthOfCoating) -> float:
    """Smallest fundamental deviation that a thickness needs [µm].

    Parameters
    ----------
    thickness_um : float
        Coating thickness [µm]; above 0.
    length : {"local", "le5d", "le10d", "le15d"}
        As for :func:`thickness_that_fits_um`.

    Raises
    ------
    OutOfRangeError
        If the thickness is not above 0.

    Notes
    -----
    Source: iso-4042, table of minimum fundamental deviations for thick coatings.

    Examples
    --------
    >>> smallest_deviation_um(thickness_um=12, length="le10d")
    60
    """
    if not thickness_um > 0:
        raise OutOfRangeError(
            f"the thickness is {thickness_um:g} µm; it must be above 0",
            parameter="coating_thickness",
            value=thickness_um,
            accepted="above 0",
        )
    return thickness_um * _DIVISORS[length]
