"""What Acme and Stub Acme threads compute alike: allowances, tolerances, the record [in].

ASME B1.5 and B1.8. Flanks at 14.5°. Every basic dimension, allowance and tolerance is rounded to
0.0001 in, then only added; the external minor minimum is rounded once from the unrounded
tolerance. That reproduces 174 of 174 published values.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Final

from threadwright_service.calc import tables
from threadwright_service.calc.errors import InfeasibleError, OutOfRangeError
from threadwright_service.calc.rounding import half_even
from threadwright_service.calc.threads.acme import acme_call_out
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.near_sizes import near_sizes
from threadwright_service.calc.threads.thread import DiameterLimits, Side, Span, ThreadForm
from threadwright_service.calc.trail import Formula, Trail

FLANK_ANGLE_DEG: Final = 14.5
PLACES: Final = 4
COARSE_UP_TO: Final = 10
"""Threads per inch up to which the clearance on major and minor diameter is 0.020 in."""
COARSE_CLEARANCE_IN: Final = 0.020
FINE_CLEARANCE_IN: Final = 0.010
LEAST_CREST_TOLERANCE_IN: Final = 0.005

ALLOWANCE: Final = Formula(
    "allowance of the pitch diameter", "es", "k * sqrt(Dm)", "k Dm", unit="in", source="asme-b1-5"
)
PITCH_TOLERANCE: Final = Formula(
    "tolerance of the pitch diameter",
    "T",
    "a * sqrt(D) + b * sqrt(P)",
    "a D b P",
    unit="in",
    source="asme-b1-5",
)
CREST_TOLERANCE: Final = Formula(
    "tolerance of the crest diameter",
    "Tc",
    "max(0.05 * P, 0.005)",
    "P",
    unit="in",
    source="asme-b1-5",
)
MINOR_MIN: Final = Formula(
    "minor diameter, external, minimum",
    "K1 min",
    "K - C - 1.5 * T",
    "K C T",
    unit="in",
    source="asme-b1-5",
)
STRESS_AREA: Final = Formula(
    "stress area at the mean of the smallest pitch and minor diameter",
    "As",
    "pi / 4 * ((E + K) / 2) ** 2",
    "E K",
    unit="in2",
    source="asme-b1-5, as machinerys-handbook-27, p. 1831 Table 3",
)
Rounding = Callable[[float, int], float]


@dataclass(frozen=True, slots=True, kw_only=True)
class AcmeClass:
    """The factors of one class."""

    allowance: float
    diameter: float
    pitch: float
    external_major: float
    internal_major: float


@cache
def classes() -> Mapping[str, AcmeClass]:
    """Factors by class.

    Notes
    -----
    Source: asme-b1-5, formulas of allowances and tolerances.
    """
    return {
        str(row["class"]): AcmeClass(
            allowance=float(row["allowance"]),
            diameter=float(row["diameter"]),
            pitch=float(row["pitch"]),
            external_major=float(row["external_major"]),
            internal_major=float(row["internal_major"]),
        )
        for row in tables.load(__package__, "tables/asme_b1_5_classes")
    }


@cache
def _ranges() -> tuple[tuple[int, int], ...]:
    return tuple(
        (int(row["above_16ths"]), int(row["up_to_16ths"]))
        for row in tables.load(__package__, "tables/asme_b1_5_ranges")
    )


def mean_of_range_in(nominal_diameter_in: float) -> float:
    """Middle of the range of nominal sizes that a size falls into, Dm [in].

    Raises
    ------
    OutOfRangeError
        If the size is above the last range, which ends at 5 1/2 in.

    Notes
    -----
    Source: asme-b1-5, as machinerys-handbook-27, p. 1841 Table 10.

    Examples
    --------
    >>> mean_of_range_in(0.4375), mean_of_range_in(1.75)
    (0.375, 1.71875)
    """
    for above, up_to in _ranges():
        if above < nominal_diameter_in * 16 <= up_to:
            return (above + up_to) / 32
    last = _ranges()[-1][1] / 16
    raise OutOfRangeError(
        f"a nominal size of {nominal_diameter_in:g} in; the allowances end at {last:g} in",
        parameter="nominal_diameter",
        value=nominal_diameter_in,
        accepted=f"at most {last:g} in",
    )


def allowance_in(
    *, nominal_diameter_in: float, tolerance_class: str, trail: Trail | None = None
) -> float:
    """Allowance of the external pitch diameter, es [in], to 0.0001 in.

    Notes
    -----
    Source: asme-b1-5, pitch diameter allowances; 60 of 60 printed values.

    Examples
    --------
    Table 10 of the handbook, above 5/16 to 7/16, class 2C:

    >>> allowance_in(nominal_diameter_in=0.4375, tolerance_class="2C")
    0.0049
    """
    factor = classes()[tolerance_class].allowance
    mean_in = mean_of_range_in(nominal_diameter_in)
    return ALLOWANCE.rounded(trail, factor, mean_in, to=half_even, places=PLACES)


def pitch_tolerance_in(
    *,
    nominal_diameter_in: float,
    pitch_in: float,
    tolerance_class: str,
    trail: Trail | None = None,
) -> float:
    """Tolerance of the pitch diameter of screw and nut, unrounded [in].

    Notes
    -----
    Source: asme-b1-5, tolerances.
    """
    row = classes()[tolerance_class]
    return PITCH_TOLERANCE(trail, row.diameter, nominal_diameter_in, row.pitch, pitch_in)


def clearance_in(threads_per_inch: float) -> float:
    """Clearance at the major and minor diameter [in].

    Notes
    -----
    Source: asme-b1-5: 0.020 in for 10 threads per inch and coarser, 0.010 in for finer.
    """
    return COARSE_CLEARANCE_IN if threads_per_inch <= COARSE_UP_TO else FINE_CLEARANCE_IN


def external_minor(
    basic_minor: float, clearance: float, pitch_tolerance: float, trail: Trail | None
) -> Span:
    """Limits of the screw's minor diameter, from the unrounded pitch tolerance [in]."""
    return Span(
        max=half_even(basic_minor - clearance, PLACES),
        min=MINOR_MIN.rounded(
            trail, basic_minor, clearance, pitch_tolerance, to=half_even, places=PLACES
        ),
    )


def below(largest: float, tolerance: float) -> Span:
    """A tolerance taken off, without the noise of binary sums [in]."""
    return Span(max=half_even(largest, PLACES), min=half_even(largest - tolerance, PLACES))


def above(smallest: float, tolerance: float) -> Span:
    """A tolerance added, without the noise of binary sums [in]."""
    return Span(max=half_even(smallest + tolerance, PLACES), min=half_even(smallest, PLACES))


def checked_core(call_out: CallOut, *, basic_minor_in: float) -> None:
    """Refuse a pitch that leaves no core.

    Raises
    ------
    InfeasibleError
        If the minor diameter less its clearance is below a quarter of the size.
    """
    core_in = basic_minor_in - clearance_in(call_out.threads_per_inch or 1 / call_out.pitch)
    if core_in < 0.25 * call_out.nominal_diameter:
        near = near_sizes(
            acme_call_out.sizes(call_out.series),
            nominal_diameter=call_out.nominal_diameter,
            pitch=call_out.pitch,
        )
        raise InfeasibleError(
            f"{call_out.threads_per_inch:g} threads per inch leave less than a quarter of "
            f"{call_out.size} in as core",
            parameter="threads_per_inch",
            value=call_out.threads_per_inch,
            accepted=f"near sizes: {near}",
        )


def acme_form(
    *, name: str, height_ratio: float, clearance_in: float, pitch_in: float
) -> ThreadForm:
    """The profile: 29° between the flanks, flat crests and roots.

    Notes
    -----
    Source: asme-b1-5 and asme-b1-8; width of the root flat by derivation, P/2 on the pitch line.
    """
    half = height_ratio / 2
    root = half + clearance_in / 2 / pitch_in
    flat = 0.5 - 2 * root * math.tan(math.radians(FLANK_ANGLE_DEG))
    return ThreadForm(
        name=name,
        pressure_flank_angle_deg=FLANK_ANGLE_DEG,
        clearance_flank_angle_deg=FLANK_ANGLE_DEG,
        addendum_ratio=half,
        dedendum_ratio=half,
        external_root_ratio=root,
        internal_root_ratio=root,
        external_root_flat_ratio=flat,
        internal_root_flat_ratio=flat,
    )


def with_mating_limits(
    reference: Mapping[str, float], mating: DiameterLimits
) -> Mapping[str, float]:
    """The reference sizes and the mating member's limits, under keys that begin with mating."""
    found = dict(reference)
    for name in ("major_diameter", "pitch_diameter", "minor_diameter"):
        span: Span = getattr(mating, name)
        for end, value in (("max", span.max), ("min", span.min)):
            if value is not None:
                found[f"mating_{name}_{end}"] = value
    return MappingProxyType(found)


def stress_area_in2(limits: DiameterLimits, side: Side, trail: Trail | None) -> float | None:
    """Stress area of the screw at its smallest [in²]; ``None`` for the nut.

    Notes
    -----
    Source: asme-b1-5, as machinerys-handbook-27, p. 1831 Table 3, prints it for class 3G.
    """
    pitch_min, minor_min = limits.pitch_diameter.min, limits.minor_diameter.min
    if side == "internal" or pitch_min is None or minor_min is None:
        return None
    return STRESS_AREA(trail, pitch_min, minor_min)


def cautions(call_out: CallOut, *, standard: str, trail: Trail | None) -> str:
    """Note what lies outside the tables; what is returned goes into the basis."""
    parts: list[str] = []
    count = acme_call_out.standard_counts().get(call_out.nominal_diameter)
    if count != call_out.threads_per_inch:
        parts.append("not tabulated: a special size")
        if trail is not None:
            near = near_sizes(
                acme_call_out.sizes(call_out.series),
                nominal_diameter=call_out.nominal_diameter,
                pitch=call_out.pitch,
            )
            trail.caution(
                "not-tabulated",
                f"{call_out.size}-{call_out.threads_per_inch:g} is no size of {standard}; "
                "its allowance is taken at the middle of its size range as for standard sizes, "
                f"which the text of the standard was not read for. Near sizes: {near}",
            )
    if call_out.starts > 1:
        parts.append("limits of the single-start thread")
        if trail is not None:
            trail.caution(
                "several-starts",
                f"{standard} gives its limits for single-start threads; they may be used for "
                f"{call_out.starts} starts if they are considered suitable",
            )
    longest_in = 2 * call_out.nominal_diameter
    if (call_out.length_of_engagement or 0.0) > longest_in and trail is not None:
        trail.caution(
            "long-engagement",
            f"an engagement of {call_out.length_of_engagement:g} in; the tolerances are for up to "
            f"two diameters, {longest_in:g} in (recalled, not read)",
        )
    return "".join(f"; {part}" for part in parts)
