"""Readings that are taken away from 20 degrees, brought to it."""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.trail import Trail

STEEL_EXPANSION_PER_K: Final = 11.5e-6
"""Common value for steel [1/K]."""
REFERENCE_TEMPERATURE_C: Final = 20.0


def temperature_correction_mm(
    *,
    diameter_mm: float,
    temperature_c: float,
    part_expansion_per_k: float = STEEL_EXPANSION_PER_K,
    instrument_expansion_per_k: float = STEEL_EXPANSION_PER_K,
) -> float:
    """What is added to a reading taken away from 20 degrees to give the size at 20 degrees [mm].

    Parameters
    ----------
    diameter_mm : float
        The reading [mm].
    temperature_c : float
        Temperature of part and instrument alike [°C]; -20 to 80.
    part_expansion_per_k, instrument_expansion_per_k : float
        Coefficients of expansion [1/K]; steel by default.

    Raises
    ------
    OutOfRangeError
        If the temperature is outside -20 to 80 degrees.

    Notes
    -----
    Source: derivation; steel's coefficient is common practice.

    Examples
    --------
    An aluminium part (23e-6) of 20 mm at 25 degrees reads 1.15 µm large on a steel micrometer:

    >>> round(1000 * temperature_correction_mm(
    ...     diameter_mm=20.0, temperature_c=25.0, part_expansion_per_k=23e-6
    ... ), 2)
    -1.15
    """
    if not -20.0 <= temperature_c <= 80.0:
        raise OutOfRangeError(
            f"the temperature is {temperature_c:g} degrees",
            parameter="temperature",
            value=temperature_c,
            accepted="-20 to 80 degrees Celsius",
        )
    return (
        -diameter_mm
        * (part_expansion_per_k - instrument_expansion_per_k)
        * (temperature_c - REFERENCE_TEMPERATURE_C)
    )


def reading_at_reference_mm(
    *,
    measured_mm: float,
    temperature_c: float | None,
    part_expansion_per_k: float | None = None,
    trail: Trail | None = None,
) -> float:
    """The reading as it would be at 20 degrees [mm]; unchanged without a temperature.

    Parameters
    ----------
    measured_mm : float
        The reading [mm].
    temperature_c : float or None
        Temperature of part and instrument alike [°C]; -20 to 80.
    part_expansion_per_k : float, optional
        Expansion of the part [1/K]; steel by default. The instrument is taken as steel.
    trail : Trail, optional
        Takes assumption and working.

    Raises
    ------
    OutOfRangeError
        If the temperature is outside -20 to 80 degrees.

    Notes
    -----
    Source: derivation.
    """
    if temperature_c is None:
        return measured_mm
    if part_expansion_per_k is None:
        part_expansion_per_k = STEEL_EXPANSION_PER_K
        if trail is not None:
            trail.assume("part_expansion", part_expansion_per_k, "none given; steel", unit="1/K")
    correction = temperature_correction_mm(
        diameter_mm=measured_mm,
        temperature_c=temperature_c,
        part_expansion_per_k=part_expansion_per_k,
    )
    if trail is not None:
        trail.step(
            "temperature correction of the reading",
            "dM",
            "-M * (a_part - a_steel) * (t - 20)",
            {"M": measured_mm, "a_part": part_expansion_per_k, "t": temperature_c},
            correction,
            "mm",
            "derivation",
        )
    return measured_mm + correction
