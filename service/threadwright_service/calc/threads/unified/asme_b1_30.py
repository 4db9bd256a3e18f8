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
from threadwright_service.calc.errors import InfeasibleError
from threadwright_service.calc.rounding import half_even, half_up
from threadwright_service.calc.threads.thread import (
    NO_LIMIT,
    DiameterLimits,
    Diameters,
    make_diameter_limits,
    make_diameters,
    make_span,
)
from threadwright_service.calc.threads.unified import asme_b1_1_formulas as unified
from threadwright_service.calc.threads.unified.asme_b1_1_series import Pair, size_text
from threadwright_service.calc.trail import Formula, Trail

PLACES: Final = 4
BASE_PLACES: Final = 6
MINOR_PLACES: Final = 3
SMALLEST_WITH_SHORT_MINOR_IN: Final = 0.138
"""From this size on (#6) the internal minor diameters are given to three decimals."""


class Given(NamedTuple):
    """What is given in place of a formula; lengths in inches.

    ``engagement_in``: a length of engagement that goes into the tolerance, which goes by one
    diameter or by nine pitches else. The others: values that the tables print otherwise than the
    formulas give them; ``tolerance_diameter_in`` stands for D in the pitch diameter tolerance.
    """

    engagement_in: float | None = None
    tolerance_diameter_in: float | None = None
    allowance_in: float | None = None
    pitch_tolerance_in: float | None = None


NOTHING: Final = Given()
"""As for nearly every thread."""

Sizes = tuple[float, float, float, float, Diameters, DiameterLimits, dict[str, float], float]
"""The sizes of one thread, rounded by one rule: diameter, pitch, length of engagement, allowance
[in]; basic diameters, limits, reference sizes by name; stress area [in2]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A rounding rule: its name, its text, and the equations of each side as it rounds them.

    ``external`` and ``internal`` make the chain of a case: whether the tolerance goes by one
    diameter, whether it goes by another diameter than the thread's own, and inside the equation of
    the minor diameter's tolerance and the places of the smallest and the largest minor diameter.
    """

    key: str
    text: str
    external: Callable[[bool, bool], Chain]
    internal: Callable[[bool, bool, Formula, int, int], Chain]
    unfinished: Chain
    root_radius: Chain


def external_sizes(
    rule: Rule,
    pair: Pair,
    tolerance_class: str,
    by_diameter: bool,
    unfinished: bool,
    given: Given,
    trail: Trail | None,
) -> Sizes:
    """The sizes of an outside thread by a rule.

    Parameters
    ----------
    pair : tuple of float
        Diameter as it was written [in], and threads per inch.
    by_diameter : bool
        Whether the tolerance goes by one diameter of engagement, not by nine pitches.
    unfinished : bool
        Whether the tables have a second limit, for unfinished material.
    """
    diameter_in, count = pair
    chain = rule.external(by_diameter, given.tolerance_diameter_in is not None)
    values: tuple[float, ...] = ()
    if given is not NOTHING:
        chain, values = _with_given(chain, given)
    if tolerance_class == "3A":
        chain, values = chain.given("es"), (*values, 0.0)
    elif given.allowance_in is not None:
        chain, values = chain.given("es"), (*values, given.allowance_in)
    (
        diameter_in, pitch_in, engagement_in, pitch_basic, minor_basic, allowance_in, major_max,
        major_min, pitch_max, pitch_min, un_minor_max, unr_minor_max, minor_min, area_in2,
    ) = chain.on(trail)(
        count, diameter_in, unified.CLASS_FACTOR[tolerance_class],
        unified.MAJOR_FACTOR[tolerance_class], *values,
    )  # fmt: skip
    if not un_minor_max < pitch_min < pitch_max < major_min:
        raise _overlap(pair, tolerance_class)
    reference_in = {
        "un_minor_diameter_max": un_minor_max,
        "unr_minor_diameter_max": unr_minor_max,
        "minor_diameter_min": minor_min,
    }
    if unfinished:
        (reference_in["major_diameter_min_unfinished"],) = rule.unfinished(
            trail, unified.UNFINISHED_FACTOR, pitch_in, major_max
        )
    limits = make_diameter_limits(
        make_span(major_max, major_min), make_span(pitch_max, pitch_min), NO_LIMIT
    )
    basic = make_diameters(diameter_in, pitch_basic, minor_basic)
    return (
        diameter_in, pitch_in, engagement_in, allowance_in, basic, limits, reference_in, area_in2
    )  # fmt: skip


def internal_sizes(
    rule: Rule,
    pair: Pair,
    tolerance_class: str,
    by_diameter: bool,
    given: Given,
    trail: Trail | None,
) -> Sizes:
    """The sizes of an inside thread by a rule; parameters as :func:`external_sizes`."""
    diameter_in, count = pair
    places = MINOR_PLACES if diameter_in >= SMALLEST_WITH_SHORT_MINOR_IN else PLACES
    chain = rule.internal(
        by_diameter,
        given.tolerance_diameter_in is not None,
        unified.minor_tolerance(tolerance_class, diameter_in, count),
        places,
        PLACES if tolerance_class == "3B" else places,
    )
    values: tuple[float, ...] = ()
    if given is not NOTHING:
        chain, values = _with_given(chain, given)
    (
        diameter_in, pitch_in, engagement_in, pitch_basic, minor_basic,
        pitch_max, minor_max, minor_min, major_max, area_in2,
    ) = chain.on(trail)(
        count, diameter_in, unified.CLASS_FACTOR[tolerance_class], *values
    )  # fmt: skip
    if not minor_max < pitch_basic < pitch_max < diameter_in:
        raise _overlap(pair, tolerance_class)
    limits = make_diameter_limits(
        make_span(None, diameter_in),
        make_span(pitch_max, pitch_basic),
        make_span(minor_max, minor_min),
    )
    basic = make_diameters(diameter_in, pitch_basic, minor_basic)
    reference_in = {"major_diameter_max": major_max}
    return diameter_in, pitch_in, engagement_in, 0.0, basic, limits, reference_in, area_in2


def _with_given(chain: Chain, given: Given) -> tuple[Chain, tuple[float, ...]]:
    """The chain with what is given in place of a formula, and the values."""
    values: tuple[float, ...] = ()
    if given.tolerance_diameter_in is not None:
        values = (given.tolerance_diameter_in,)
    if given.engagement_in is not None:
        chain, values = chain.given("LE"), (*values, given.engagement_in)
    if given.pitch_tolerance_in is not None:
        chain, values = chain.given("T"), (*values, given.pitch_tolerance_in)
    return chain, values


def _overlap(pair: Pair, tolerance_class: str) -> InfeasibleError:
    """The refusal of a thread whose tolerances are larger than its height."""
    return InfeasibleError(
        f"{size_text(*pair)}-{pair[1]:g} of class {tolerance_class}: the tolerances are larger "
        "than the thread's height",
        parameter="tolerance_class",
        value=tolerance_class,
        accepted="a coarser pitch or a finer class",
    )


_EXTERNAL: Final = "n D_written k kd"
"""``k`` and ``kd`` are the factors of the class; ``Dt`` stands for D in the pitch tolerance."""
_INTERNAL: Final = "n D_written k"
_EXTERNAL_RESULTS: Final = "D P LE D2 D1 es d_max d_min d2_max d2_min d1_max d3_max d1_min As"
_INTERNAL_RESULTS: Final = "D P LE D2 D1 D2_max D1_max D1_min D_max As"
_BASIC: Final = (Link(unified.BASIC_PITCH, PLACES), Link(unified.BASIC_MINOR, PLACES))
_STRESS_AREA: Final = Link(unified.STRESS_AREA, None)


def _pair(by_diameter: bool) -> tuple[Link, ...]:
    """Pitch, diameter and length of engagement."""
    return (
        Link(unified.PITCH, None),
        Link(unified.DIAMETER, PLACES, "", "D_written"),
        Link(unified.ONE_DIAMETER if by_diameter else unified.NINE_PITCHES, None),
    )


def _base_tolerance(by_another: bool) -> Link:
    diameter = "Dt" if by_another else "D"
    return Link(unified.PITCH_TOLERANCE_2A, BASE_PLACES, "Td2", f"{diameter} LE P")


def _arguments(arguments: str, by_another: bool) -> str:
    return f"{arguments} Dt" if by_another else arguments


def _external_by_table(to: RoundingTo | None, by_diameter: bool, by_another: bool) -> Chain:
    return Chain(
        _arguments(_EXTERNAL, by_another),
        *_pair(by_diameter),
        *_BASIC,
        _base_tolerance(by_another),
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
    to: RoundingTo | None,
    by_diameter: bool,
    by_another: bool,
    minor: Formula,
    least_places: int,
    most_places: int,
) -> Chain:
    return Chain(
        _arguments(_INTERNAL, by_another),
        *_pair(by_diameter),
        *_BASIC,
        _base_tolerance(by_another),
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


def _external_by_b130(by_diameter: bool, by_another: bool) -> Chain:
    six = BASE_PLACES
    return Chain(
        _arguments(_EXTERNAL, by_another),
        *_pair(by_diameter),
        _base_tolerance(by_another),
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


def _internal_by_b130(
    by_diameter: bool, by_another: bool, minor: Formula, least_places: int, most_places: int
) -> Chain:
    six = BASE_PLACES
    return Chain(
        _arguments(_INTERNAL, by_another),
        *_pair(by_diameter),
        *_BASIC,
        _base_tolerance(by_another),
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
            external=cache(partial(_external_by_table, half_even)),
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
            external=cache(_external_by_b130),
            unfinished=_unfinished(half_up, BASE_PLACES),
            internal=cache(_internal_by_b130),
            root_radius=_root_radius(half_up),
        ),
        "exact": Rule(
            key="exact",
            text="exact: the formulas of ASME B1.1 without any rounding",
            external=cache(partial(_external_by_table, None)),
            unfinished=_unfinished(None, PLACES),
            internal=cache(partial(_internal_by_table, None)),
            root_radius=_root_radius(None),
        ),
    }
)
