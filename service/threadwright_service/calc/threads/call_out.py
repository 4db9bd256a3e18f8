"""A thread call-out, read but not yet toleranced: what every family's parser returns."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright_service.calc.quick_record import maker_of
from threadwright_service.calc.threads.thread import Hand, Side

LengthGroup = Literal["", "S", "N", "L"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CallOut:
    """One thread as it was asked for; lengths in the family's authoritative unit.

    Parameters
    ----------
    family : str
        Key of the family module, e.g. ``unified`` or ``iso-metric``.
    series : str
        The standard's series symbol: ``UNC``, ``M``, ``Tr``, ``Acme``, ``G``, ``NPT`` …
    size : str
        The size as it is written: ``3/4``, ``#10``, ``1 1/2``, ``24``.
    nominal_diameter : float
        Basic major diameter, in the family's unit.
    pitch : float
        Pitch, in the family's unit.
    threads_per_inch : float or None
        Where the family counts threads.
    tolerance_class : str
        As the standard writes it: ``2A``, ``6g``, ``4g6g``, ``7e``, ``2G`` …
    side : "external" or "internal"
    side_stated : bool
        False where the call-out does not say the side (``1-5 ACME-2G`` is both screw and nut)
        and ``side`` is only what is computed unless the caller says otherwise.
    hand : "right" or "left"
    starts : int
    length_of_engagement : float or None
        As asked for; ``None`` if the call-out gives none.
    length_group : "", "S", "N" or "L"
        Length of engagement group of ISO 965-1, where it was named.
    """

    family: str
    series: str
    size: str
    nominal_diameter: float
    pitch: float
    threads_per_inch: float | None = None
    tolerance_class: str
    side: Side
    side_stated: bool = True
    hand: Hand = "right"
    starts: int = 1
    length_of_engagement: float | None = None
    length_group: LengthGroup = ""


make_call_out = maker_of(CallOut)
"""The same in the quick way: every field, by position, in the order of the record."""
