"""Roughing a coarse groove with a narrow nose: axial offsets that together clear it."""

from __future__ import annotations

import math
from typing import Final

from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError

_TIGHT: Final = 1e-6


def axial_shifts_mm(
    *, groove_flat_mm: float, nose_flat_mm: float, overlap_ratio: float = 0.1
) -> tuple[float, ...]:
    """Axial offsets of a narrow nose that together clear a wide groove [mm].

    For coarse forms (trapezoidal threads) the groove's root is wider than the nose. Each depth is
    milled at these offsets from the groove's middle: the outer ones make the flanks, those between
    clear the root.

    Parameters
    ----------
    groove_flat_mm : float
        Width of the groove at the depth, between flanks of the cutter's angle [mm].
    nose_flat_mm : float
        The nose's width [mm].
    overlap_ratio : float
        Overlap of neighbouring cuts as a share of the nose, 0 to below 1.

    Raises
    ------
    InfeasibleError
        If the nose is wider than the groove.

    Notes
    -----
    Source: derivation.

    Examples
    --------
    >>> axial_shifts_mm(groove_flat_mm=1.9, nose_flat_mm=0.8)
    (-0.55, 0.0, 0.55)
    """
    if nose_flat_mm <= 0:
        raise OutOfRangeError(
            "a nose without a flat clears no root",
            parameter="cutter_nose_flat",
            value=nose_flat_mm,
            accepted="above 0",
        )
    if nose_flat_mm > groove_flat_mm:
        raise InfeasibleError(
            f"the nose of {nose_flat_mm:g} mm is wider than the groove's root of "
            f"{groove_flat_mm:g} mm",
            parameter="cutter_nose_flat",
            value=nose_flat_mm,
            accepted=f"at most {groove_flat_mm:g} mm",
        )
    spread_mm = groove_flat_mm - nose_flat_mm
    if spread_mm <= _TIGHT * groove_flat_mm:
        return (0.0,)
    cuts = 1 + math.ceil(spread_mm / (nose_flat_mm * (1 - overlap_ratio)) - _TIGHT)
    return tuple(spread_mm * (index / (cuts - 1) - 0.5) for index in range(cuts))
