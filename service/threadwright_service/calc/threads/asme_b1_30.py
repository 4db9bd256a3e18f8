"""The rounding of Unified limits: that of the published tables, and the one of ASME B1.30.

The two disagree by 0.0001 in about one row of ten, and neither is wrong. ``table`` is what the
printed limit tables carry: tolerances and allowance are rounded first, then whole ten-thousandths
are added and subtracted. ``b130`` carries six decimals to each limit and rounds that. ``exact``
rounds nothing, for those who want to see what the rounding does.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, NamedTuple, Protocol

from threadwright_service.calc.rounding import half_even, half_up
from threadwright_service.calc.threads import asme_b1_1_formulas as unified
from threadwright_service.calc.threads.thread import NO_LIMIT, Diameters, Span
from threadwright_service.calc.trail import Formula, Trail

PLACES: Final = 4
BASE_PLACES: Final = 6
MINOR_PLACES: Final = 3
SMALLEST_WITH_SHORT_MINOR_IN: Final = 0.138
"""From this size on (#6) the internal minor diameters are given to three decimals."""


class Inputs(NamedTuple):
    """What the limits of one thread of one class are computed from; all lengths in inches.

    ``tolerance_diameter_in`` stands for D in the pitch diameter tolerance; ``allowance_in`` and
    ``pitch_tolerance_in`` are given where the tables print other values than the formulas.
    """

    diameter_in: float
    threads_per_inch: float
    pitch_in: float
    tolerance_diameter_in: float
    engagement_in: float
    tolerance_class: str
    unfinished: bool = False
    allowance_in: float | None = None
    pitch_tolerance_in: float | None = None


class Sizes(NamedTuple):
    """The sizes of one thread, rounded by one rule [in]."""

    basic: Diameters
    allowance_in: float
    major_in: Span
    pitch_in: Span
    minor_in: Span
    reference_in: Mapping[str, float]


class Length(Protocol):
    """Computes a length by a formula and rounds it by the rule in force."""

    def __call__(self, formula: Formula, *values: float, places: int = PLACES) -> float:
        """Compute and round."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A rounding rule: its name, its text, and how it computes each side.

    ``to`` is ``None`` for the rule that rounds nothing.
    """

    key: str
    text: str
    to: Callable[[float, int], float] | None
    external: Callable[[Inputs, Length], Sizes]
    internal: Callable[[Inputs, Length], Sizes]

    def length(self, trail: Trail | None) -> Length:
        """How a length is computed and rounded by this rule, noted in the trail."""
        to = self.to
        if to is None:
            return lambda formula, *values, places=PLACES: formula(trail, *values)  # noqa: ARG005
        if trail is None or trail.steps is None:
            # The same equation and the same rounding, without the way through the trail.
            return lambda formula, *values, places=PLACES: to(formula.function(*values), places)
        return lambda formula, *values, places=PLACES: formula.rounded(
            trail, *values, to=to, places=places
        )

    def sizes(self, inputs: Inputs, length: Length) -> Sizes:
        """The sizes of one thread by this rule."""
        compute = self.external if inputs.tolerance_class[-1] == "A" else self.internal
        return compute(inputs, length)


def _allowance_in(inputs: Inputs, base_tolerance_in: float, length: Length) -> float:
    """Allowance of the class, to four decimals in every rule."""
    if inputs.tolerance_class == "3A":
        return 0.0
    if inputs.allowance_in is not None:
        return inputs.allowance_in
    return length(unified.ALLOWANCE, base_tolerance_in)


def _base_tolerance_in(inputs: Inputs, length: Length) -> float:
    """Pitch diameter tolerance of class 2A, from which all others follow."""
    return length(
        unified.PITCH_TOLERANCE_2A,
        inputs.tolerance_diameter_in,
        inputs.engagement_in,
        inputs.pitch_in,
        places=BASE_PLACES,
    )


def _pitch_tolerance_in(
    inputs: Inputs, base_tolerance_in: float, length: Length, places: int
) -> float:
    if inputs.pitch_tolerance_in is not None:
        return inputs.pitch_tolerance_in
    factor = unified.CLASS_FACTOR[inputs.tolerance_class]
    return length(unified.PITCH_TOLERANCE, factor, base_tolerance_in, places=places)


def _minor_places(diameter_in: float) -> int:
    return MINOR_PLACES if diameter_in >= SMALLEST_WITH_SHORT_MINOR_IN else PLACES


def _basic(inputs: Inputs, length: Length) -> Diameters:
    return Diameters(
        major_diameter=inputs.diameter_in,
        pitch_diameter=length(unified.BASIC_PITCH, inputs.diameter_in, inputs.pitch_in),
        minor_diameter=length(unified.BASIC_MINOR, inputs.diameter_in, inputs.pitch_in),
    )


def _external_by_table(inputs: Inputs, length: Length) -> Sizes:
    basic, pitch_in = _basic(inputs, length), inputs.pitch_in
    base_in = _base_tolerance_in(inputs, length)
    tolerance_in = _pitch_tolerance_in(inputs, base_in, length, PLACES)
    allowance_in = _allowance_in(inputs, base_in, length)
    major_factor = unified.MAJOR_FACTOR[inputs.tolerance_class]
    major_tolerance_in = length(unified.MAJOR_TOLERANCE, major_factor, pitch_in)
    major_max_in = length(unified.EXTERNAL_MAJOR_MAX, basic.major_diameter, allowance_in)
    pitch_max_in = length(unified.EXTERNAL_PITCH_MAX, basic.pitch_diameter, allowance_in)
    pitch_min_in = length(unified.EXTERNAL_PITCH_MIN, pitch_max_in, tolerance_in)
    unr_minor_in = length(unified.UNR_MINOR_BELOW_BASIC, basic.minor_diameter, pitch_in)
    reference_in = {
        "un_minor_diameter_max": length(unified.UN_MINOR_MAX, basic.minor_diameter, allowance_in),
        "unr_minor_diameter_max": length(unified.UNR_MINOR_MAX, unr_minor_in, allowance_in),
        "minor_diameter_min": length(unified.EXTERNAL_MINOR_MIN, pitch_min_in, pitch_in),
    }
    if inputs.unfinished:
        unfinished_in = length(unified.MAJOR_TOLERANCE, unified.UNFINISHED_FACTOR, pitch_in)
        reference_in["major_diameter_min_unfinished"] = length(
            unified.UNFINISHED_MAJOR_MIN, major_max_in, unfinished_in
        )
    return Sizes(
        basic=basic,
        allowance_in=allowance_in,
        major_in=Span(
            max=major_max_in,
            min=length(unified.EXTERNAL_MAJOR_MIN, major_max_in, major_tolerance_in),
        ),
        pitch_in=Span(max=pitch_max_in, min=pitch_min_in),
        minor_in=NO_LIMIT,
        reference_in=MappingProxyType(reference_in),
    )


def _internal_by_table(inputs: Inputs, length: Length) -> Sizes:
    basic = _basic(inputs, length)
    base_in = _base_tolerance_in(inputs, length)
    tolerance_in = _pitch_tolerance_in(inputs, base_in, length, PLACES)
    minor_formula = unified.minor_tolerance(
        inputs.tolerance_class, basic.major_diameter, inputs.threads_per_inch
    )
    minor_tolerance_in = length(minor_formula, basic.major_diameter, inputs.pitch_in)
    places = _minor_places(basic.major_diameter)
    pitch_max_in = length(unified.INTERNAL_PITCH_MAX, basic.pitch_diameter, tolerance_in)
    return Sizes(
        basic=basic,
        allowance_in=0.0,
        major_in=Span(max=None, min=basic.major_diameter),
        pitch_in=Span(max=pitch_max_in, min=basic.pitch_diameter),
        minor_in=Span(
            max=length(
                unified.INTERNAL_MINOR_MAX,
                basic.minor_diameter,
                minor_tolerance_in,
                places=PLACES if inputs.tolerance_class == "3B" else places,
            ),
            min=length(unified.INTERNAL_MINOR_MIN, basic.minor_diameter, places=places),
        ),
        reference_in=MappingProxyType(
            {
                "major_diameter_max": length(
                    unified.INTERNAL_MAJOR_MAX, pitch_max_in, inputs.pitch_in
                )
            }
        ),
    )


_B130: Final = "asme-b1-30, worked examples"
_PITCH_BELOW_MAJOR: Final = Formula(
    "maximum pitch diameter", "d2_max", "d_max - h", "d_max h", unit="in", source=_B130
)
_MINOR_BELOW_MAJOR: Final = Formula(
    "maximum minor diameter, flat root (UN), for reference", "d1_max", "d_max - h", "d_max h",
    unit="in", source=_B130,
)  # fmt: skip
_UNR_BELOW_MAJOR: Final = Formula(
    "maximum minor diameter, rounded root (UNR)", "d3_max", "d_max - h", "d_max h",
    unit="in", source=_B130,
)  # fmt: skip
_PITCH_HEIGHT: Final = Formula(
    "twice the addendum", "h", "0.64951905 * P", "P", unit="in", source=_B130
)
_MINOR_HEIGHT: Final = Formula(
    "twice the basic thread height", "h", "1.08253175 * P", "P", unit="in", source=_B130
)
_UNR_HEIGHT: Final = Formula(
    "twice the height to the rounded root", "h", "1.19078493 * P", "P", unit="in", source=_B130
)
_MINOR_SIX: Final = Formula(
    "basic minor diameter, carried at six decimals", "D1", "D - h", "D h", unit="in", source=_B130
)


def _external_by_b130(inputs: Inputs, length: Length) -> Sizes:
    pitch_in = inputs.pitch_in
    base_in = _base_tolerance_in(inputs, length)
    tolerance_in = _pitch_tolerance_in(inputs, base_in, length, BASE_PLACES)
    allowance_in = _allowance_in(inputs, base_in, length)
    major_factor = unified.MAJOR_FACTOR[inputs.tolerance_class]
    six = BASE_PLACES
    major_tolerance_in = length(unified.MAJOR_TOLERANCE, major_factor, pitch_in, places=six)
    major_max_in = length(unified.EXTERNAL_MAJOR_MAX, inputs.diameter_in, allowance_in)
    pitch_height_in = length(_PITCH_HEIGHT, pitch_in, places=six)
    minor_height_in = length(_MINOR_HEIGHT, pitch_in, places=six)
    unr_height_in = length(_UNR_HEIGHT, pitch_in, places=six)
    pitch_max_in = length(_PITCH_BELOW_MAJOR, major_max_in, pitch_height_in)
    pitch_min_in = length(unified.EXTERNAL_PITCH_MIN, pitch_max_in, tolerance_in)
    reference_in = {
        "un_minor_diameter_max": length(_MINOR_BELOW_MAJOR, major_max_in, minor_height_in),
        "unr_minor_diameter_max": length(_UNR_BELOW_MAJOR, major_max_in, unr_height_in),
        "minor_diameter_min": length(unified.EXTERNAL_MINOR_MIN, pitch_min_in, pitch_in),
    }
    if inputs.unfinished:
        factor = unified.UNFINISHED_FACTOR
        unfinished_in = length(unified.MAJOR_TOLERANCE, factor, pitch_in, places=six)
        reference_in["major_diameter_min_unfinished"] = length(
            unified.UNFINISHED_MAJOR_MIN, major_max_in, unfinished_in
        )
    return Sizes(
        basic=_basic(inputs, length),
        allowance_in=allowance_in,
        major_in=Span(
            max=major_max_in,
            min=length(unified.EXTERNAL_MAJOR_MIN, major_max_in, major_tolerance_in),
        ),
        pitch_in=Span(max=pitch_max_in, min=pitch_min_in),
        minor_in=NO_LIMIT,
        reference_in=MappingProxyType(reference_in),
    )


def _internal_by_b130(inputs: Inputs, length: Length) -> Sizes:
    basic, six = _basic(inputs, length), BASE_PLACES
    base_in = _base_tolerance_in(inputs, length)
    tolerance_in = _pitch_tolerance_in(inputs, base_in, length, six)
    minor_formula = unified.minor_tolerance(
        inputs.tolerance_class, basic.major_diameter, inputs.threads_per_inch
    )
    minor_tolerance_in = length(minor_formula, basic.major_diameter, inputs.pitch_in, places=six)
    height_in = length(_MINOR_HEIGHT, inputs.pitch_in, places=six)
    minor_in = length(_MINOR_SIX, basic.major_diameter, height_in, places=six)
    places = _minor_places(basic.major_diameter)
    pitch_max_in = length(unified.INTERNAL_PITCH_MAX, basic.pitch_diameter, tolerance_in)
    return Sizes(
        basic=basic,
        allowance_in=0.0,
        major_in=Span(max=None, min=basic.major_diameter),
        pitch_in=Span(max=pitch_max_in, min=basic.pitch_diameter),
        minor_in=Span(
            max=length(
                unified.INTERNAL_MINOR_MAX,
                minor_in,
                minor_tolerance_in,
                places=PLACES if inputs.tolerance_class == "3B" else places,
            ),
            min=length(unified.INTERNAL_MINOR_MIN, minor_in, places=places),
        ),
        reference_in=MappingProxyType(
            {
                "major_diameter_max": length(
                    unified.INTERNAL_MAJOR_MAX, pitch_max_in, inputs.pitch_in
                )
            }
        ),
    )


RULES: Final[Mapping[str, Rule]] = MappingProxyType(
    {
        "table": Rule(
            key="table",
            text=(
                "table: as the published tables of ASME B1.1; tolerances and allowance to 4 "
                "decimals first, ties to even, then sums of 4-decimal numbers; internal minor "
                "diameters of 0.138 in and larger to 3 decimals"
            ),
            to=half_even,
            external=_external_by_table,
            internal=_internal_by_table,
        ),
        "b130": Rule(
            key="b130",
            text=(
                "b130: ASME B1.30 step by step; derived lengths and tolerances to 6 decimals, "
                "allowance and limits to 4, internal minor diameters of 0.138 in and larger to 3"
            ),
            to=half_up,
            external=_external_by_b130,
            internal=_internal_by_b130,
        ),
        "exact": Rule(
            key="exact",
            text="exact: the formulas of ASME B1.1 without any rounding",
            to=None,
            external=_external_by_table,
            internal=_internal_by_table,
        ),
    }
)
