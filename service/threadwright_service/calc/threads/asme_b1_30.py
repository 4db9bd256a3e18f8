"""The rounding of Unified limits: that of the published tables, and the one of ASME B1.30.

The two disagree by 0.0001 in about one row of ten, and neither is wrong. ``table`` is what the
printed limit tables carry: tolerances and allowance are rounded first, then whole ten-thousandths
are added and subtracted. ``b130`` carries six decimals to each limit and rounds that. ``exact``
rounds nothing, for those who want to see what the rounding does.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache, partial
from types import MappingProxyType
from typing import Final, NamedTuple

from threadwright_service.calc.chain import Chain, Link, RoundingTo
from threadwright_service.calc.rounding import half_even, half_up
from threadwright_service.calc.threads import asme_b1_1_formulas as unified
from threadwright_service.calc.threads.thread import (
    NO_LIMIT,
    DiameterLimits,
    Diameters,
    make_diameter_limits,
    make_diameters,
    make_span,
)
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
    ``special``: the given length of engagement goes into the tolerance. ``notes`` go into the basis
    of the answer, ``remarks`` (code and sentence) to the cautions.
    """

    diameter_in: float
    threads_per_inch: float
    pitch_in: float
    tolerance_diameter_in: float
    engagement_in: float
    tolerance_class: str
    rounded_root: bool
    unfinished: bool
    allowance_in: float | None
    pitch_tolerance_in: float | None
    special: bool
    notes: list[str]
    remarks: list[tuple[str, str]]


Sizes = tuple[Diameters, float, DiameterLimits, dict[str, float], float]
"""The sizes of one thread, rounded by one rule [in]: basic diameters, allowance, limits, reference
sizes by name, and the stress area [in2]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A rounding rule: its name, its text, and the equations of each side as it rounds them.

    ``pair`` leads from threads per inch and diameter to pitch and diameter; ``external`` and what
    ``internal`` makes, to the sizes. ``internal`` takes the equation of the minor diameter's
    tolerance and the places of the smallest and of the largest minor diameter.
    """

    key: str
    text: str
    pair: Chain
    external: Chain
    unfinished: Chain
    internal: Callable[[Formula, int, int], Chain]
    root_radius: Chain

    def sizes(self, inputs: Inputs, trail: Trail | None) -> Sizes:
        """The sizes of one thread by this rule."""
        if inputs.tolerance_class[1] == "A":
            return _external(self, inputs, trail)
        return _internal(self, inputs, trail)


def _external(rule: Rule, inputs: Inputs, trail: Trail | None) -> Sizes:
    tolerance_class, pitch_in = inputs.tolerance_class, inputs.pitch_in
    chain = rule.external
    printed: tuple[float, ...] = ()
    if inputs.pitch_tolerance_in is not None:
        chain, printed = chain.given("T"), (inputs.pitch_tolerance_in,)
    allowance_in = 0.0 if tolerance_class == "3A" else inputs.allowance_in
    if allowance_in is not None:
        chain, printed = chain.given("es"), (*printed, allowance_in)
    (
        pitch_basic, minor_basic, allowance_in, major_max, major_min, pitch_max, pitch_min,
        un_minor_max, unr_minor_max, minor_min, stress_area_in2,
    ) = chain(
        trail, inputs.diameter_in, pitch_in, inputs.tolerance_diameter_in, inputs.engagement_in,
        unified.CLASS_FACTOR[tolerance_class], unified.MAJOR_FACTOR[tolerance_class], *printed,
    )  # fmt: skip
    reference_in = {
        "un_minor_diameter_max": un_minor_max,
        "unr_minor_diameter_max": unr_minor_max,
        "minor_diameter_min": minor_min,
    }
    if inputs.unfinished:
        (reference_in["major_diameter_min_unfinished"],) = rule.unfinished(
            trail, unified.UNFINISHED_FACTOR, pitch_in, major_max
        )
    limits = make_diameter_limits(
        make_span(major_max, major_min),
        make_span(pitch_max, pitch_min),
        # The standard sets a limit for UNR alone.
        make_span(unr_minor_max, None) if inputs.rounded_root else NO_LIMIT,
    )
    basic = make_diameters(inputs.diameter_in, pitch_basic, minor_basic)
    return basic, allowance_in, limits, reference_in, stress_area_in2


def _internal(rule: Rule, inputs: Inputs, trail: Trail | None) -> Sizes:
    tolerance_class, diameter_in = inputs.tolerance_class, inputs.diameter_in
    places = MINOR_PLACES if diameter_in >= SMALLEST_WITH_SHORT_MINOR_IN else PLACES
    chain = rule.internal(
        unified.minor_tolerance(tolerance_class, diameter_in, inputs.threads_per_inch),
        places,
        PLACES if tolerance_class == "3B" else places,
    )
    printed: tuple[float, ...] = ()
    if inputs.pitch_tolerance_in is not None:
        chain, printed = chain.given("T"), (inputs.pitch_tolerance_in,)
    (
        pitch_basic, minor_basic, pitch_max, minor_max, minor_min, major_max, stress_area_in2,
    ) = chain(
        trail, diameter_in, inputs.pitch_in, inputs.tolerance_diameter_in, inputs.engagement_in,
        unified.CLASS_FACTOR[tolerance_class], *printed,
    )  # fmt: skip
    limits = make_diameter_limits(
        make_span(None, diameter_in),
        make_span(pitch_max, pitch_basic),
        make_span(minor_max, minor_min),
    )
    basic = make_diameters(diameter_in, pitch_basic, minor_basic)
    return basic, 0.0, limits, {"major_diameter_max": major_max}, stress_area_in2


_EXTERNAL: Final = "D P Dt LE k kd"
"""``Dt`` stands for D in the pitch tolerance; ``k`` and ``kd`` are the factors of the class."""
_INTERNAL: Final = "D P Dt LE k"
_EXTERNAL_RESULTS: Final = "D2 D1 es d_max d_min d2_max d2_min d1_max d3_max d1_min As"
_INTERNAL_RESULTS: Final = "D2 D1 D2_max D1_max D1_min D_max As"
_PAIR: Final = (Link(unified.PITCH, None), Link(unified.DIAMETER, PLACES))
_BASIC: Final = (Link(unified.BASIC_PITCH, PLACES), Link(unified.BASIC_MINOR, PLACES))
_BASE_TOLERANCE: Final = Link(unified.PITCH_TOLERANCE_2A, BASE_PLACES, "Td2", "Dt LE P")
_STRESS_AREA: Final = Link(unified.STRESS_AREA, None)


def _external_by_table(to: RoundingTo | None) -> Chain:
    return Chain(
        _EXTERNAL,
        *_BASIC,
        _BASE_TOLERANCE,
        Link(unified.PITCH_TOLERANCE, PLACES),
        Link(unified.ALLOWANCE, PLACES),
        Link(unified.MAJOR_TOLERANCE, PLACES, "Td", "kd P"),
        Link(unified.EXTERNAL_MAJOR_MAX, PLACES),
        Link(unified.EXTERNAL_PITCH_MAX, PLACES),
        Link(unified.EXTERNAL_PITCH_MIN, PLACES),
        Link(unified.UNR_MINOR_BELOW_BASIC, PLACES),
        Link(unified.UN_MINOR_MAX, PLACES),
        Link(unified.UNR_MINOR_MAX, PLACES),
        Link(unified.EXTERNAL_MINOR_MIN, PLACES),
        Link(unified.EXTERNAL_MAJOR_MIN, PLACES),
        _STRESS_AREA,
        to=to,
        results=_EXTERNAL_RESULTS,
    )


def _internal_by_table(
    to: RoundingTo | None, minor: Formula, least_places: int, most_places: int
) -> Chain:
    return Chain(
        _INTERNAL,
        *_BASIC,
        _BASE_TOLERANCE,
        Link(unified.PITCH_TOLERANCE, PLACES),
        Link(minor, PLACES),
        Link(unified.INTERNAL_PITCH_MAX, PLACES),
        Link(unified.INTERNAL_MINOR_MAX, most_places),
        Link(unified.INTERNAL_MINOR_MIN, least_places),
        Link(unified.INTERNAL_MAJOR_MAX, PLACES),
        _STRESS_AREA,
        to=to,
        results=_INTERNAL_RESULTS,
    )


def _unfinished(to: RoundingTo | None, places: int) -> Chain:
    return Chain(
        "k P d_max",
        Link(unified.MAJOR_TOLERANCE, places),
        Link(unified.UNFINISHED_MAJOR_MIN, PLACES),
        to=to,
        results="d_min",
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


def _external_by_b130() -> Chain:
    six = BASE_PLACES
    return Chain(
        _EXTERNAL,
        _BASE_TOLERANCE,
        Link(unified.PITCH_TOLERANCE, six),
        Link(unified.ALLOWANCE, PLACES),
        Link(unified.MAJOR_TOLERANCE, six, "Td", "kd P"),
        Link(unified.EXTERNAL_MAJOR_MAX, PLACES),
        Link(_PITCH_HEIGHT, six, "h_pitch"),
        Link(_MINOR_HEIGHT, six, "h_minor"),
        Link(_UNR_HEIGHT, six, "h_unr"),
        Link(_PITCH_BELOW_MAJOR, PLACES, "", "d_max h_pitch"),
        Link(unified.EXTERNAL_PITCH_MIN, PLACES),
        Link(_MINOR_BELOW_MAJOR, PLACES, "", "d_max h_minor"),
        Link(_UNR_BELOW_MAJOR, PLACES, "", "d_max h_unr"),
        Link(unified.EXTERNAL_MINOR_MIN, PLACES),
        *_BASIC,
        Link(unified.EXTERNAL_MAJOR_MIN, PLACES),
        _STRESS_AREA,
        to=half_up,
        results=_EXTERNAL_RESULTS,
    )


def _internal_by_b130(minor: Formula, least_places: int, most_places: int) -> Chain:
    six = BASE_PLACES
    return Chain(
        _INTERNAL,
        *_BASIC,
        _BASE_TOLERANCE,
        Link(unified.PITCH_TOLERANCE, six),
        Link(minor, six),
        Link(_MINOR_HEIGHT, six),
        Link(_MINOR_SIX, six, "D1_six"),
        Link(unified.INTERNAL_PITCH_MAX, PLACES),
        Link(unified.INTERNAL_MINOR_MAX, most_places, "", "D1_six TD1"),
        Link(unified.INTERNAL_MINOR_MIN, least_places, "", "D1_six"),
        Link(unified.INTERNAL_MAJOR_MAX, PLACES),
        _STRESS_AREA,
        to=half_up,
        results=_INTERNAL_RESULTS,
    )


def _root_radius(to: RoundingTo | None) -> Chain:
    return Chain("P", Link(unified.ROOT_RADIUS_MIN, PLACES), to=to)


RULES: Final[Mapping[str, Rule]] = MappingProxyType(
    {
        "table": Rule(
            key="table",
            text=(
                "table: as the published tables of ASME B1.1; tolerances and allowance to 4 "
                "decimals first, ties to even, then sums of 4-decimal numbers; internal minor "
                "diameters of 0.138 in and larger to 3 decimals"
            ),
            pair=Chain("n D", *_PAIR, to=half_even),
            external=_external_by_table(half_even),
            unfinished=_unfinished(half_even, PLACES),
            internal=cache(partial(_internal_by_table, half_even)),
            root_radius=_root_radius(half_even),
        ),
        "b130": Rule(
            key="b130",
            text=(
                "b130: ASME B1.30 step by step; derived lengths and tolerances to 6 decimals, "
                "allowance and limits to 4, internal minor diameters of 0.138 in and larger to 3"
            ),
            pair=Chain("n D", *_PAIR, to=half_up),
            external=_external_by_b130(),
            unfinished=_unfinished(half_up, BASE_PLACES),
            internal=cache(_internal_by_b130),
            root_radius=_root_radius(half_up),
        ),
        "exact": Rule(
            key="exact",
            text="exact: the formulas of ASME B1.1 without any rounding",
            pair=Chain("n D", *_PAIR, to=None),
            external=_external_by_table(None),
            unfinished=_unfinished(None, PLACES),
            internal=cache(partial(_internal_by_table, None)),
            root_radius=_root_radius(None),
        ),
    }
)
