"""A coarse groove milled with a narrow nose: axial offsets that together make and clear it.

The union of a profile's envelopes at offsets up to ±s is the envelope of the same profile with a
nose wider by 2 s. So with its nose taken as the groove's flat, everything that is known of the
cutter's geometry holds for all its offsets together.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.milling.geometry.cutter import Cutter
from threadwright_service.calc.milling.geometry.groove import ThreadGroove
from threadwright_service.calc.milling.geometry.nose_fit import groove_flat_mm as flat_of_groove_mm
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail

OVERLAP_RATIO: Final = 0.1
MOST_OFFSETS: Final = 50
_TIGHT: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class AxialShift:
    """How a narrow nose widens a groove: each depth is milled at every offset, the middle first."""

    nose_flat_mm: float
    """Flat of the nose in hand."""
    groove_flat_mm: float
    """Flat at the groove's root that the cuts make together."""
    offsets_mm: tuple[float, ...]
    """Where along the axis each depth is milled, the middle first."""

    def widened(self, cutter: Cutter) -> Cutter:
        """The cutter whose one cut makes the same groove."""
        return replace(cutter, nose_flat_mm=self.groove_flat_mm)


def axial_shift_of(
    *,
    thread: ThreadLimits,
    groove: ThreadGroove,
    cutter: Cutter,
    overlap_ratio: float | None = None,
    trail: Trail | None = None,
) -> AxialShift:
    """The offsets with which a cutter makes a groove that is wider than its nose.

    Parameters
    ----------
    overlap_ratio : float, optional
        Overlap of neighbouring cuts as a share of the nose, 0 to below 1; a tenth if not given.

    Raises
    ------
    InfeasibleError
        If the nose is wider than the groove, or so narrow that it would take too many cuts.
    OutOfRangeError
        If the nose has no flat.

    Notes
    -----
    Source: derivation; the overlap is common practice.
    """
    if overlap_ratio is None:
        overlap_ratio = OVERLAP_RATIO
        if trail is not None:
            trail.assume(
                "axial_overlap_share",
                overlap_ratio,
                "none given; a tenth of the nose, so that no ridge is left (common practice)",
            )
    flat_mm = flat_of_groove_mm(thread=thread, groove=groove, cutter=cutter)
    offsets = axial_shifts_mm(
        groove_flat_mm=flat_mm,
        nose_flat_mm=cutter.nose_flat_mm or 0.0,
        overlap_ratio=overlap_ratio,
    )
    return AxialShift(
        nose_flat_mm=cutter.nose_flat_mm or 0.0,
        groove_flat_mm=flat_mm,
        offsets_mm=tuple(sorted(offsets, key=abs)),
    )


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
    if cuts > MOST_OFFSETS:
        raise InfeasibleError(
            f"a nose of {nose_flat_mm:g} mm would take {cuts} cuts beside each other to clear a "
            f"groove's root of {groove_flat_mm:g} mm",
            parameter="cutter_nose_flat",
            value=nose_flat_mm,
            accepted=f"a nose that clears it with at most {MOST_OFFSETS} cuts",
        )
    return tuple(spread_mm * (index / (cuts - 1) - 0.5) for index in range(cuts))
