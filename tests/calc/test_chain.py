"""Chains of equations, computed in one go, against decimal arithmetic and against their working."""

from __future__ import annotations

from decimal import ROUND_HALF_DOWN, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from threadwright_service.calc.chain import Chain, Link, RoundingTo
from threadwright_service.calc.rounding import half_down, half_even, half_up
from threadwright_service.calc.trail import Formula, Trail

RULES: list[tuple[RoundingTo, str]] = [
    (half_even, ROUND_HALF_EVEN),
    (half_up, ROUND_HALF_UP),
    (half_down, ROUND_HALF_DOWN),
]
SAME = Formula("itself", "b", "a", "a", unit="in", source="derivation")
SUM = Formula("sum", "s", "a + b - sqrt(c)", "a b c", unit="in", source="derivation")
TWICE = Formula("twice", "t", "2 * s", "s", unit="in", source="derivation")


@pytest.mark.parametrize(("to", "decimal_rule"), RULES)
@given(
    digits=st.integers(-9_999_999_999, 9_999_999_999),
    places=st.integers(0, 6),
    more=st.integers(0, 3),
)
def test_rounding_is_that_of_decimal_arithmetic(
    to: RoundingTo, decimal_rule: str, digits: int, places: int, more: int
) -> None:
    # A decimal number of a few places more than are kept, so that ties are frequent.
    exact = Decimal(digits).scaleb(-places - more)
    if abs(exact) >= 9999:
        exact = exact.scaleb(-6)
    wanted = exact.quantize(Decimal(1).scaleb(-places), decimal_rule)
    (found,) = Chain("a", Link(SAME, places), to=to)(None, float(exact))
    assert found == float(wanted)


@pytest.mark.parametrize(("to", "decimal_rule"), RULES)
@given(digits=st.integers(0, 9_999_999), places=st.integers(0, 4))
def test_ties_of_large_numbers_too(
    to: RoundingTo, decimal_rule: str, digits: int, places: int
) -> None:
    """Above 8192 half a binary digit shows in the twelfth decimal: 8200.53065 is a tie."""
    exact = Decimal(digits).scaleb(-places) + 8_192 + Decimal(5).scaleb(-places - 1)
    wanted = float(exact.quantize(Decimal(1).scaleb(-places), decimal_rule))
    assert to(float(exact), places) == wanted
    (found,) = Chain("a", Link(SAME, places), to=to)(None, float(exact))
    assert found == wanted


@pytest.mark.parametrize(("to", "wanted"), [(half_down, 8200.5306), (half_up, 8200.5307)])
def test_a_tie_just_above_8192(to: RoundingTo, wanted: float) -> None:
    assert to(8200.53065, 4) == wanted


@given(st.integers(0, 355_000))
def test_ties_are_seen_through_binary_noise(thousandths: int) -> None:
    # x.xxx5 as a sum of binary fractions, which is seldom the nearest one to the decimal number.
    exact = Decimal(thousandths) / 1000 + Decimal("0.0005")
    noisy = thousandths * 0.001 + 0.0005
    (found,) = Chain("a", Link(SAME, 3), to=half_even)(None, noisy)
    assert found == float(exact.quantize(Decimal("0.001"), ROUND_HALF_EVEN))


@given(st.floats(0.1, 300), st.floats(0.1, 300), st.floats(0.01, 9))
def test_working_holds_the_values_that_are_computed_without_it(
    a: float, b: float, c: float
) -> None:
    chain = Chain("a b c", Link(SUM, 4), Link(TWICE, None), to=half_even)
    trail = Trail(steps=[])
    assert chain(trail, a, b, c) == chain(None, a, b, c) == chain(Trail(), a, b, c)
    assert trail.steps is not None
    assert [(step.symbol, step.value) for step in trail.steps] == [
        ("s", chain(None, a, b, c)[0]),
        ("t", chain(None, a, b, c)[1]),
    ]
    assert [step.rounding for step in trail.steps] == ["4 decimals, half even", ""]


FLOOR = Formula("lower", "low", "a - t / 1000 + u / 100", "a t u", unit="mm", source="derivation")
LOWER = Formula("still lower", "lower", "low - t / 1000", "low t", unit="mm", source="derivation")


@given(st.integers(0, 355_000), st.integers(-999, 999), st.integers(-99, 99))
def test_sums_of_whole_units_are_those_of_decimal_arithmetic(a: int, t: int, u: int) -> None:
    chain = Chain(
        "a_written t u10",
        Link(SAME, 3, "a", "a_written"),
        Link(SAME, 1, "u", "u10"),
        Link(FLOOR, 3),
        Link(LOWER, 3),
        to=half_up,
        results="low lower",
        whole="t",
    )
    sizes = Decimal(a) / 1000, Decimal(t) / 1000, Decimal(u) / 10
    low = sizes[0] - sizes[1] + sizes[2] / 100
    wanted = float(low), float(low - sizes[1])
    assert chain(None, a / 1000, t, u / 10) == wanted
    assert chain(Trail(steps=[]), a / 1000, t, u / 10) == wanted


def test_a_chain_without_a_rule_rounds_nothing() -> None:
    assert Chain("a b c", Link(SUM, 2), to=None)(None, 1.23456, 2.0, 4.0) == (1.23456 + 2.0 - 2.0,)


def test_symbols_that_are_no_names_and_arguments_under_other_names() -> None:
    odd = Formula("odd", "T(2A)", "a + b", "a b", unit="in", source="derivation")
    chain = Chain("x y", Link(odd, None, "", "x y"), Link(odd, None, "u", "y T(2A)"), to=None)
    assert chain(None, 1.0, 2.0) == (3.0, 5.0)


@pytest.mark.parametrize("steps", [None, []])
def test_a_given_value_takes_the_place_of_a_link(steps: list[object] | None) -> None:
    chain = Chain("a b c", Link(SUM, 4), Link(TWICE, 4), to=half_even, results="t s")
    trail = Trail(steps=[]) if steps is not None else None
    assert chain.given("s")(trail, 1.0, 2.0, 4.0, 7.5) == (15.0, 7.5)
    assert chain.given("s") is chain.given("s")


def test_a_wrong_number_of_values_is_an_error() -> None:
    chain = Chain("a b c", Link(SUM, 4), to=half_even)
    with pytest.raises(TypeError):
        chain(None, 1.0, 2.0)
    with pytest.raises(ValueError, match="zip"):
        chain(Trail(steps=[]), 1.0, 2.0)
