"""Unified limits: an independent decimal model, what must always hold, and the working."""

from __future__ import annotations

import math
import re
from decimal import ROUND_HALF_EVEN, Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from threadwright_service.calc.errors import (
    InfeasibleError,
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.tables import document_of
from threadwright_service.calc.threads.limits import thread_limits
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.threads.unified import asme_b1_1_series as series
from threadwright_service.calc.threads.unified.asme_b1_1 import UNIFIED
from threadwright_service.calc.trail import Trail

CLASSES = ("1A", "2A", "3A", "1B", "2B", "3B")
FACTORS = {"1A": "1.5", "2A": "1", "3A": "0.75", "1B": "1.95", "2B": "1.3", "3B": "0.975"}
PAIRS = [(pair, diameter, count) for (diameter, count), pair in series.standard_pairs().items()]


SOURCES = {
    "derivation",
    *(
        entry["id"]
        for entry in document_of("threadwright_service.calc.threads", "sources")["source"]
    ),
}
"""Ids of the publications that a step of the working may cite."""


def limits(text: str, **fields: object) -> ThreadLimits:
    return thread_limits(designation=text, **fields)  # type: ignore[arg-type]


# --- the rule of the tables, written a second time, with 40 decimal digits -------------------


def rounded(value: Decimal, places: int) -> Decimal:
    return value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN)


def root3(value: Decimal) -> Decimal:
    """Cube root by Newton's iteration from the binary one."""
    root = Decimal(math.cbrt(float(value)))
    for _ in range(4):
        root -= (root**3 - value) / (3 * root**2)
    return root


STEPS = (0.19, 0.25, 0.375, 0.5, 0.625, 0.75, 1, 1.25, 1.5, 1.75, 2, 2.5, 3, 5, 6)
"""The diameters whose tolerance the printed tables carry in the series of nine pitches."""


def step_of(diameter: float) -> float:
    """The nearest step, the smaller one if two are as near; between 3 and 5.75 in none is known."""
    if 3 < diameter < 5.75:
        return diameter
    return min(STEPS, key=lambda step: (abs(step - diameter), step))


def table_rule(
    diameter: float, count: float, by_diameter: bool, tolerance_class: str
) -> dict[str, Decimal]:
    """The limits by sections 2 to 6.1 of the rule, in decimal arithmetic throughout."""
    with localcontext(prec=40):
        d, p = rounded(Decimal(diameter), 4), 1 / Decimal(count)
        engagement = d if by_diameter else 9 * p
        behind = d if by_diameter else rounded(Decimal(step_of(diameter)), 4)
        base = rounded(
            Decimal("0.0015") * root3(behind)
            + Decimal("0.0015") * engagement.sqrt()
            + Decimal("0.015") * root3(p * p),
            6,
        )
        tolerance = rounded(Decimal(FACTORS[tolerance_class]) * base, 4)
        pitch = rounded(d - Decimal("0.64951905") * p, 4)
        minor = rounded(d - Decimal("1.08253175") * p, 4)
        if tolerance_class.endswith("A"):
            allowance = Decimal(0) if tolerance_class == "3A" else rounded(Decimal("0.3") * base, 4)
            share = Decimal("0.09") if tolerance_class == "1A" else Decimal("0.06")
            return {
                "major_max": d - allowance,
                "major_min": d - allowance - rounded(share * root3(p * p), 4),
                "pitch_max": pitch - allowance,
                "pitch_min": pitch - allowance - tolerance,
            }
        small = Decimal("0.05") * root3(p * p) + Decimal("0.03") * p / d - Decimal("0.002")
        capped = min(small, Decimal("0.394") * p)
        if tolerance_class == "3B":
            floor = (
                Decimal("0.23") * p - Decimal("1.5") * p * p if count > 12 else Decimal("0.12") * p
            )
            minor_tolerance = max(capped, floor)
        elif d >= Decimal("0.25"):
            minor_tolerance = (
                Decimal("0.25") * p - Decimal("0.4") * p * p if count >= 4 else Decimal("0.15") * p
            )
        else:
            minor_tolerance = max(capped, Decimal("0.25") * p - Decimal("0.4") * p * p)
        places = 3 if d >= Decimal("0.138") else 4
        top = minor + rounded(minor_tolerance, 4)
        return {
            "pitch_min": pitch,
            "pitch_max": pitch + tolerance,
            "minor_min": rounded(minor, places),
            "minor_max": top if tolerance_class == "3B" else rounded(top, places),
        }


# 5/8-11, #6-32, 1-14, 13/16-16: single departures; 19/64-36: special, by its own diameter.
PECULIAR_PAIRS = {(0.625, 11.0), (0.138, 32.0), (1.0, 14.0), (0.8125, 16.0), (19 / 64, 36.0)}


@pytest.mark.parametrize("tolerance_class", ["2A", "3A", "2B", "3B"])
def test_every_standard_pair_agrees_with_the_decimal_model(tolerance_class: str) -> None:
    compared = 0
    for pair, diameter, count in PAIRS:
        if (diameter, count) in PECULIAR_PAIRS:
            continue
        by_diameter = pair.series in {"UNC", "UNF"} or (pair.series == "UN" and count in {4, 6, 8})
        found = limits(f"{pair.size}-{count:g} {pair.series}-{tolerance_class}").limits
        spans = {
            "major": found.major_diameter,
            "pitch": found.pitch_diameter,
            "minor": found.minor_diameter,
        }
        for quantity, value in table_rule(diameter, count, by_diameter, tolerance_class).items():
            which, end = quantity.split("_")
            got = spans[which].max if end == "max" else spans[which].min
            assert got == float(value), (pair.size, count, quantity)
            compared += 1
    assert compared > 1000


# --- what must always hold ------------------------------------------------------------------

pairs = st.sampled_from(PAIRS)
odd = st.tuples(
    st.integers(min_value=1000, max_value=60000).map(lambda n: n / 10000),
    st.integers(min_value=6, max_value=64),
).filter(lambda pair: pair[0] * pair[1] > 4)


@given(pairs, st.sampled_from(CLASSES), st.sampled_from(["table", "b130", "exact"]))
def test_order_of_the_diameters(
    pair: tuple[series.StandardPair, float, float], name: str, rule: str
) -> None:
    standard, _, count = pair
    found = limits(f"{standard.size}-{count:g} {standard.series}-{name}", rounding=rule)
    check_order(found)
    assert abs(found.basic.pitch_diameter - (found.nominal_diameter - 0.6495 * found.pitch)) < 2e-4


@given(odd, st.sampled_from(CLASSES))
def test_any_pair_computes_as_special(pair: tuple[float, int], name: str) -> None:
    diameter, count = pair
    try:
        found = limits(f"{diameter:.4f}-{count} UN-{name}")
    except InfeasibleError:
        # Only where the pitch is very fine for the diameter and the class coarse.
        assert count * diameter > 30
        return
    assert found.series in {"UNS", "UNC", "UNF", "UNEF", "UN"}
    check_order(found)


def check_order(found: ThreadLimits) -> None:
    major, pitch, minor = (
        found.limits.major_diameter,
        found.limits.pitch_diameter,
        found.limits.minor_diameter,
    )
    assert pitch.max is not None
    assert pitch.min is not None
    assert major.min is not None
    assert pitch.min < pitch.max < major.min
    if found.side == "external":
        assert major.max is not None
        assert major.min < major.max <= found.nominal_diameter
        assert pitch.max <= found.basic.pitch_diameter
        assert found.reference["minor_diameter_min"] < found.reference["unr_minor_diameter_max"]
        assert found.reference["unr_minor_diameter_max"] < found.reference["un_minor_diameter_max"]
        assert found.reference["un_minor_diameter_max"] < pitch.min
    else:
        assert minor.min is not None
        assert minor.max is not None
        assert minor.min < minor.max < pitch.min
        assert pitch.min >= found.basic.pitch_diameter - 1e-12
        assert found.reference["major_diameter_max"] > major.min


@given(pairs, st.sampled_from(["A", "B"]))
def test_tolerance_narrows_with_the_class(
    pair: tuple[series.StandardPair, float, float], side: str
) -> None:
    standard, _, count = pair
    widths = [
        limits(
            f"{standard.size}-{count:g} {standard.series}-{name}{side}", rounding="exact"
        ).limits.pitch_diameter.tolerance
        for name in "123"
    ]
    assert widths[0] > widths[1] > widths[2]  # type: ignore[operator]


@given(pairs)
def test_left_hand_and_starts_change_nothing_but_hand_and_lead(
    pair: tuple[series.StandardPair, float, float],
) -> None:
    standard, _, count = pair
    text = f"{standard.size}-{count:g} {standard.series}-2A"
    right, left = limits(text), limits(f"{text} (3 STARTS) LH")
    assert left.limits == right.limits
    assert (left.hand, left.starts) == ("left", 3)
    assert left.lead == pytest.approx(3 * right.lead)
    assert math.tan(math.radians(left.lead_angle_deg)) == pytest.approx(
        3 * math.tan(math.radians(right.lead_angle_deg))
    )


@given(pairs, st.sampled_from(CLASSES))
def test_the_normalised_call_out_reads_as_the_same_thread(
    pair: tuple[series.StandardPair, float, float], name: str
) -> None:
    standard, diameter, count = pair
    fields = thread_limits(
        series=standard.series,
        nominal_diameter=diameter,
        threads_per_inch=count,
        tolerance_class=name,
        length_unit="in",
        hand="left",
        starts=2,
    )
    assert limits(fields.designation) == fields


@pytest.mark.parametrize(
    "text",
    [
        "1.0-11 UNS-2A",
        "5.0-9 UNS-2B",
        "0.7505-16 UNS-3A",
        "#10-30 UNS-2A",
        "9/32-24 UNS-2A",
        "1.0-.09P UNS-2A",
    ],
)
def test_special_call_outs_are_written_so_that_they_can_be_read(text: str) -> None:
    found = limits(text)
    assert limits(found.designation).limits == found.limits


# --- rounding rules -------------------------------------------------------------------------


def test_the_rules_differ_where_the_standard_says_so() -> None:
    """1 3/4-5 UNC-2B: minor 1.534 to 1.568 in the tables, 1.533 to 1.567 by B1.30.

    Source: comparison of the two rules over the published rows of this size.
    """
    table, b130 = limits("1 3/4-5 UNC-2B"), limits("1 3/4-5 UNC-2B", rounding="b130")
    assert (table.limits.minor_diameter.min, table.limits.minor_diameter.max) == (1.534, 1.568)
    assert (b130.limits.minor_diameter.min, b130.limits.minor_diameter.max) == (1.533, 1.567)
    assert table.rounding_rule.startswith("table")
    assert b130.rounding_rule.startswith("b130")


def test_exact_is_the_bare_formula() -> None:
    found = limits("1/2-13 UNC-3A", rounding="exact")
    assert found.basic.pitch_diameter == 0.5 - 0.64951905 * (1 / 13)
    assert found.rounding_rule.startswith("exact")


def test_an_unknown_rule_is_refused() -> None:
    with pytest.raises(UnknownDesignationError) as caught:
        limits("1/2-13 UNC-3A", rounding="up")
    assert caught.value.parameter == "rounding"
    assert caught.value.accepted == "table, b130, exact"


# --- special engagement, classes, unfinished material ----------------------------------------


def test_engagement_within_its_range_changes_nothing() -> None:
    plain = limits("1-8 UNC-2A")
    assert limits("1-8 UNC-2A", length_of_engagement=1.5, length_unit="in").limits == plain.limits
    fine = limits("1-20 UNEF-2A")
    assert limits("1-20 UNEF-2A", length_of_engagement=0.75).limits == fine.limits


def test_engagement_outside_of_its_range_goes_into_the_tolerance() -> None:
    """1-8 UNC with 2.5 in of engagement, by hand.

    0.0015 + 0.0015 sqrt(2.5) + 0.015 / 4 = 0.007622; the allowance is 0.3 of it, 0.0023; the
    tolerance 0.0076.
    """
    trail = Trail()
    found = limits("1-8 UNC-2A", length_of_engagement=2.5, trail=trail)
    assert found.allowance == 0.0023
    assert found.limits.pitch_diameter.tolerance == pytest.approx(0.0076)
    assert found.tolerance_class == "SE2A"
    assert found.designation == "1-8 UNC-SE2A LE 2.5"
    assert found.length_of_engagement == 2.5
    assert [caution.code for caution in trail.cautions] == ["special-engagement"]
    assert limits("1-8 UNC-SE2A LE 2.5") == found


def test_short_engagement_of_a_fine_series_is_special_too() -> None:
    assert limits("1-20 UNEF-2A", length_of_engagement=0.2).tolerance_class == "SE2A"
    assert limits("1-20 UNEF-2A", length_of_engagement=0.25).tolerance_class == "2A"


@given(st.floats(min_value=1.6, max_value=9.0))
def test_a_longer_engagement_widens_the_tolerance(engagement: float) -> None:
    shorter = limits("1-8 UNC-SE2B", length_of_engagement=engagement, rounding="exact")
    longer = limits("1-8 UNC-SE2B", length_of_engagement=engagement + 0.5, rounding="exact")
    assert shorter.limits.pitch_diameter.tolerance < longer.limits.pitch_diameter.tolerance  # type: ignore[operator]


@pytest.mark.parametrize("engagement", [0.01, 10.5])
def test_absurd_engagement_is_refused(engagement: float) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        limits("1-8 UNC-2A", length_of_engagement=engagement)
    assert caught.value.parameter == "length_of_engagement"


def test_special_engagement_needs_its_length() -> None:
    with pytest.raises(MissingInputError) as caught:
        limits("1-8 UNC-SE2A")
    assert caught.value.parameter == "length_of_engagement"


@pytest.mark.parametrize(
    ("text", "cautioned"),
    [("1/4-20 UNC-1A", False), ("#10-24 UNC-1A", True), ("3/4-12 UN-1B", True)],
)
def test_class_1_outside_of_its_tables_is_cautioned(text: str, cautioned: bool) -> None:
    trail = Trail()
    limits(text, trail=trail)
    assert ("class-not-tabulated" in {caution.code for caution in trail.cautions}) is cautioned


@pytest.mark.parametrize(
    ("text", "has"),
    [
        ("1/4-20 UNC-2A", True),
        ("2 1/2-8 UN-2A", True),
        ("#10-24 UNC-2A", False),
        ("3/4-16 UNF-2A", False),
        ("1/4-20 UNC-3A", False),
        ("1/4-20 UNC-2B", False),
    ],
)
def test_unfinished_material_has_its_own_minimum(text: str, has: bool) -> None:
    for rule in ("table", "b130"):
        reference = limits(text, rounding=rule).reference
        assert ("major_diameter_min_unfinished" in reference) is has


def test_a_rounded_root_has_a_limit_and_a_radius() -> None:
    flat, rounded_root = limits("3/4-16 UNF-2A"), limits("3/4-16 UNRF-2A")
    assert flat.limits.minor_diameter.max is None
    assert flat.root_radius.min is None
    minor = rounded_root.limits.minor_diameter.max
    assert minor == flat.reference["unr_minor_diameter_max"]
    assert rounded_root.root_radius.min == pytest.approx(0.10825318 / 16, abs=0.5e-4)
    assert rounded_root.form != flat.form


def test_sizes_above_the_tables_are_cautioned() -> None:
    trail = Trail()
    found = limits("7-8 UN-2A", trail=trail)
    assert found.series == "UNS"
    assert {caution.code for caution in trail.cautions} == {"series-normalised", "beyond-tables"}


def test_tolerances_larger_than_the_thread_are_refused() -> None:
    with pytest.raises(InfeasibleError) as caught:
        limits("24.0-80 UNS-1A")
    assert caught.value.parameter == "tolerance_class"


# --- the working ----------------------------------------------------------------------------


@pytest.mark.parametrize("rule", ["table", "b130", "exact"])
@pytest.mark.parametrize(
    "text",
    [
        "5/8-11 UNC-2A",
        "9/16-20 UN-2B",
        "1-14 UNS-3B",
        "3/4-16 UNRF-2A",
        "#4-40 UNC-2B",
        "2.0-3 UNS-1B",
    ],
)
def test_the_working_shows_what_is_computed(text: str, rule: str) -> None:
    trail = Trail(steps=[])
    shown = limits(text, rounding=rule, trail=trail)
    assert shown == limits(text, rounding=rule)
    assert trail.steps
    names = {"cbrt": math.cbrt, "sqrt": math.sqrt, "pi": math.pi, "max": max, "min": min}
    for step in trail.steps:
        assert re.split("[,;]", step.source)[0] in SOURCES
        if not step.unit:
            continue
        value = eval(step.substituted, names)
        # The numbers put in are shown to ten digits, so an unrounded value agrees to nine.
        within = 0.5000001 * 10.0 ** -int(step.rounding.split()[0]) if step.rounding else 0.0
        assert value == pytest.approx(step.value, abs=within, rel=1e-9), step.quantity


def test_departures_of_the_tables_are_shown_and_named() -> None:
    trail = Trail(steps=[])
    found = limits("9/16-24 UNEF-2A", trail=trail)
    assert "tolerance of 1/2 in" in found.basis
    assert any(step.quantity == "departure of the printed table" for step in trail.steps or ())
    assert "tolerance of 1/2 in" not in limits("9/16-24 UNEF-2A", rounding="b130").basis
    assert "tolerance of 1/2 in" not in limits("9/16-18 UNF-2A").basis


# --- the series tables ----------------------------------------------------------------------


def test_series_tables_are_sane() -> None:
    assert len(series.standard_pairs()) > 350
    for (diameter, count), pair in series.standard_pairs().items():
        assert series.diameter_of_size_in(pair.size) == diameter
        assert 0.06 <= diameter <= 6
        assert 4 <= count <= 80
        assert 1 / count < 0.25 * diameter
        assert series.size_text(diameter, count) == pair.size


def test_coarse_is_coarser_than_fine_is_coarser_than_extra_fine() -> None:
    for diameter in series.diameters_in():
        pitches = series.pitches_of(diameter)
        order = [pitches[name][0] for name in ("UNC", "UNF", "UNEF") if name in pitches]
        assert order == sorted(set(order))


def test_every_departure_names_a_size_of_the_series() -> None:
    known = series.peculiarities()
    diameters = set(series.diameters_in())
    assert set(known.tolerance_diameter_in) <= diameters
    assert {diameter for diameter, _ in known.tolerance_diameter_in.values()} <= diameters
    for pair in (*known.engagement_diameters, *known.allowance_in):
        assert pair in series.standard_pairs()


def test_listed_sizes_are_those_of_the_series() -> None:
    sizes = UNIFIED.sizes()
    assert len(sizes) == len(series.standard_pairs())
    assert {size.series for size in sizes} == {"UNC", "UNF", "UNEF", "UN", "UNS"}
    assert all(size.pitch == 1 / (size.threads_per_inch or 0) for size in sizes)


@given(st.fractions(min_value=Fraction(1, 16), max_value=6, max_denominator=64))
def test_near_sizes_are_near(size: Fraction) -> None:
    near = series.nearest_diameters_in(float(size))
    assert near
    assert min(near) <= max(float(size), 0.06)
    assert series.near_text(float(size)).startswith("near ")
    assert series.pitches_text(float(size))
