"""ISO metric trapezoidal threads: deviations, tolerances and engagement groups of ISO 2903 [um].

Positions exist only on the pitch diameter: c or e outside, H inside. The standard's tables are
the authority; they are reproduced here by the R40 rule with the places that the tables set
otherwise (``tables/iso_2903_places.toml``).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Final

from threadwright_service.calc import tables
from threadwright_service.calc.rounding import half_even, half_up
from threadwright_service.calc.threads import r40
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.trapezoidal.iso_2902 import sizes
from threadwright_service.calc.trail import Formula, Trail

STARTS_FACTOR: Final = {1: 1.0, 2: 1.12, 3: 1.25, 4: 1.4}
"""Factor on the pitch-diameter tolerance by starts (memory); 1.6 from five starts on."""
STARTS_FACTOR_FROM_FIVE: Final = 1.6

_STARTS: Final = Formula(
    "tolerance of the pitch diameter, several starts",
    "T",
    "factor * T1",
    "factor T1",
    unit="um",
    source="iso-2903, memory",
)
_MINOR_TOLERANCE: Final = Formula(
    "tolerance of the external minor diameter, less es",
    "Td3 - es",
    "1.25 * Td2",
    "Td2",
    unit="um",
    source="iso-2903",
)
_LONGEST_NORMAL: Final = Formula(
    "longest engagement of group N",
    "lN max",
    "6.7 * P * d ** 0.2",
    "P d",
    unit="mm",
    source="iso-965-1, formula of the basis, memory",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pitch:
    """What depends on the pitch alone."""

    crest_clearance_mm: float
    deviations_um: Mapping[str, float]
    bases: Mapping[str, str]


@cache
def pitches() -> Mapping[float, Pitch]:
    """Crest clearance and deviations by pitch."""
    return MappingProxyType(
        {
            float(row["pitch_mm"]): Pitch(
                crest_clearance_mm=float(row["crest_clearance_mm"]),
                deviations_um={"e": float(row["e_um"]), "c": float(row["c_um"]), "H": 0.0},
                bases={"e": str(row["e_basis"]), "c": str(row["c_basis"]), "H": "definition"},
            )
            for row in tables.load(__package__, "tables/iso_2903_pitches")
        }
    )


@cache
def _places() -> Mapping[tuple[str, float, float], int]:
    """Places in R40 that the tables set otherwise than the formula."""
    return {
        (str(row["quantity"]), float(row["over_mm"]), float(row["pitch_mm"])): int(row["place"])
        for row in tables.load(__package__, "tables/iso_2903_places")
    }


@cache
def _minor_shares() -> Mapping[float, float]:
    """Printed 1.25 Td2 where it ends in half a micrometre."""
    return {
        float(row["pitch_diameter_tolerance_um"]): float(row["share_um"])
        for row in tables.load(__package__, "tables/iso_2903_minor")
    }


def major_diameter_tolerance_um(*, pitch_mm: float) -> float:
    """Tolerance of the external major diameter, grade 4, Td [um].

    Notes
    -----
    Source: iso-2903; R40 rule of :mod:`~threadwright_service.calc.threads.r40`.

    Examples
    --------
    Tr16x4-7e, d from 15.700 to 16.000 (published limits of DIN 103):

    >>> major_diameter_tolerance_um(pitch_mm=4)
    300.0
    """
    place = _places().get(("major_diameter", 0.0, pitch_mm)) or r40.major_index(pitch_mm)
    return r40.tolerance_um(place + r40.MAJOR_SHIFT[4])


def minor_diameter_tolerance_um(*, pitch_mm: float) -> float:
    """Tolerance of the internal minor diameter, grade 4, TD1 [um].

    Notes
    -----
    Source: iso-2903; R40 rule of :mod:`~threadwright_service.calc.threads.r40`.

    Examples
    --------
    Tr50x12-7H, D1 from 38.000 to 38.800 (published limits of DIN 103):

    >>> minor_diameter_tolerance_um(pitch_mm=12)
    800.0
    """
    place = _places().get(("minor_diameter", 0.0, pitch_mm)) or r40.minor_index(pitch_mm)
    return r40.tolerance_um(place + r40.MINOR_SHIFT[4])


def pitch_diameter_tolerance_um(
    *, nominal_diameter_mm: float, pitch_mm: float, grade: int, internal: bool
) -> float:
    """Tolerance of the pitch diameter of a single-start thread, Td2 or TD2 [um].

    Parameters
    ----------
    nominal_diameter_mm : float
        Nominal diameter, d [mm].
    pitch_mm : float
        Pitch, P [mm].
    grade : int
        7, 8 or 9.
    internal : bool
        Whether the nut's tolerance is wanted.

    Notes
    -----
    Source: iso-2903; R40 rule of :mod:`~threadwright_service.calc.threads.r40`.

    Examples
    --------
    Tr20x4, 7e and 7H (published limits of DIN 103):

    >>> pitch_diameter_tolerance_um(nominal_diameter_mm=20, pitch_mm=4, grade=7, internal=False)
    265.0
    >>> pitch_diameter_tolerance_um(nominal_diameter_mm=20, pitch_mm=4, grade=7, internal=True)
    355.0
    """
    over_mm, _ = r40.diameter_range_mm(nominal_diameter_mm)
    place = _places().get(("pitch_diameter", over_mm, pitch_mm))
    if place is None:
        place = r40.pitch_index(nominal_diameter_mm, pitch_mm)
    shift = r40.INTERNAL_PITCH_SHIFT if internal else r40.EXTERNAL_PITCH_SHIFT
    return r40.tolerance_um(place + shift[grade])


def minor_share_um(single_um: float, *, trail: Trail | None = None) -> float:
    """Tolerance of the external minor diameter without es: 1.25 Td2, as printed [um].

    Notes
    -----
    Source: iso-2903; ties as the table sets them, a tie that it has not is rounded to even.

    Examples
    --------
    >>> minor_share_um(265.0), minor_share_um(530.0)
    (331.0, 663.0)
    """
    exact_um = _MINOR_TOLERANCE(trail, single_um)
    return _minor_shares().get(single_um) or half_even(exact_um, 0)


def for_starts(single_um: float, starts: int, trail: Trail | None) -> float:
    """The pitch-diameter tolerance with the factor for several starts, to whole micrometres."""
    factor = STARTS_FACTOR.get(starts, STARTS_FACTOR_FROM_FIVE)
    if factor == 1.0:
        return single_um
    if trail is not None:
        trail.caution(
            "tolerance-from-memory",
            f"the factor {factor:g} on the pitch-diameter tolerance for {starts} starts is "
            "recalled from ISO 2903, not read; the minor diameter keeps the single-start "
            "tolerance. Agree the tolerance with the customer.",
        )
    return _STARTS.rounded(trail, factor, single_um, to=half_up, places=0)


def engagement_group(call_out: CallOut, trail: Trail | None) -> str:
    """Length of engagement group: as named, or by the formula from a length."""
    if call_out.length_of_engagement is None:
        return call_out.length_group or "N"
    d, p = call_out.nominal_diameter, call_out.pitch
    over_mm, up_to_mm = r40.diameter_range_mm(d)
    carrying = [s.nominal_diameter for s in sizes() if s.pitch == p]
    smallest = min((each for each in carrying if over_mm < each <= up_to_mm), default=d)
    longest_mm = _LONGEST_NORMAL(trail, p, smallest)
    group = "N" if call_out.length_of_engagement <= longest_mm else "L"
    if trail is not None:
        trail.caution(
            "engagement-by-formula",
            f"an engagement of {call_out.length_of_engagement:g} mm is group {group}: group N ends "
            f"at about {longest_mm:.3g} mm by the formula; the table of ISO 2903 was not read"
            + (
                ". For group L the standard recommends one grade more, 8e or 8H for 7e or 7H"
                if group == "L" and call_out.tolerance_class in {"7e", "7H"}
                else ""
            ),
        )
    return group
