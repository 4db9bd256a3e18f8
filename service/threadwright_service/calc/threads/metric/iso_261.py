"""The general plan of ISO metric threads: which pitches belong to which diameter."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from types import MappingProxyType

from threadwright_service.calc.tables import load
from threadwright_service.calc.threads.registry import StandardSize


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanRow:
    """The pitches of one diameter.

    Parameters
    ----------
    choice : int
        1, 2 or 3: the order in which diameters are to be preferred.
    coarse_mm : float or None
        The coarse pitch, which a call-out may leave out.
    fine_mm : tuple of float
        Fine pitches, falling.
    """

    choice: int
    coarse_mm: float | None
    fine_mm: tuple[float, ...]

    @property
    def pitches_mm(self) -> tuple[float, ...]:
        """All pitches, falling."""
        return self.fine_mm if self.coarse_mm is None else (self.coarse_mm, *self.fine_mm)


@cache
def plan() -> Mapping[float, PlanRow]:
    """The plan, by diameter [mm].

    Notes
    -----
    Source: iso-261, general plan.

    Examples
    --------
    >>> plan()[24.0].pitches_mm
    (3.0, 2.0, 1.5, 1.0)
    """
    return MappingProxyType(
        {
            float(row["diameter_mm"]): PlanRow(
                choice=int(row["choice"]),
                coarse_mm=float(row["coarse_mm"]) or None,
                fine_mm=tuple(float(pitch) for pitch in str(row["fine_mm"]).split()),
            )
            for row in load(__package__, "tables/iso_261")
        }
    )


def pitches_text(diameter_mm: float) -> str:
    """The standard threads of a diameter in words; of the nearest ones if it has none.

    Examples
    --------
    >>> pitches_text(10.0)
    'M10x1.5 (coarse), M10x1.25, M10x1, M10x0.75'
    """
    row = plan().get(diameter_mm)
    if row is None:
        return _near_texts()[bisect_left(_diameters_mm(), diameter_mm)]
    return ", ".join(
        f"M{diameter_mm:g}x{pitch:g}" + (" (coarse)" if pitch == row.coarse_mm else "")
        for pitch in row.pitches_mm
    )


@cache
def _near_texts() -> tuple[str, ...]:
    """The nearest diameters in words, for each gap between the diameters of the plan."""
    ends = ("", *(f"M{each:g}" for each in _diameters_mm()), "")
    return tuple(f"near {' and '.join(each for each in pair if each)}" for pair in pairwise(ends))


@cache
def _pairs() -> frozenset[tuple[float, float]]:
    return frozenset(
        (diameter, pitch) for diameter, row in plan().items() for pitch in row.pitches_mm
    )


def is_planned(diameter_mm: float, pitch_mm: float) -> bool:
    """Whether the plan has this pair."""
    return (diameter_mm, pitch_mm) in _pairs()


@cache
def _diameters_mm() -> tuple[float, ...]:
    return tuple(sorted(plan()))


def standard_sizes() -> tuple[StandardSize, ...]:
    """All pairs of the plan, rising."""
    return tuple(
        StandardSize(series="M", size=f"{diameter:g}", nominal_diameter=diameter, pitch=pitch)
        for diameter, row in plan().items()
        for pitch in row.pitches_mm
    )
