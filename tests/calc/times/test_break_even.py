"""From which quantity on the second way pays: every case, against plain counting."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.times.comparing.break_even import WayCost, break_even, total_cost
from threadwright_service.calc.trail import Trail

money = st.integers(0, 400)


def _pays(first: WayCost, second: WayCost, quantity: int) -> bool:
    return second.fixed + second.each * quantity <= first.fixed + first.each * quantity


@given(fixed_1=money, fixed_2=money, each_1=money, each_2=money)
def test_against_counting(fixed_1: int, fixed_2: int, each_1: int, each_2: int) -> None:
    """Whole amounts, so that the counting is exact."""
    first = WayCost(fixed=fixed_1, each=each_1)
    second = WayCost(fixed=fixed_2, each=each_2)
    result = break_even(first=first, second=second)
    pays = [quantity for quantity in range(1, 402) if _pays(first, second, quantity)]
    match result.pays:
        case "always" | "alike":
            assert len(pays) == 401
        case "never":
            # At most a quantity at which both cost the same is left.
            assert all(
                first.fixed + first.each * quantity == second.fixed + second.each * quantity
                for quantity in pays
            )
        case "from":
            assert result.quantity is not None
            assert pays == list(range(result.quantity, 402))
        case "up-to":
            assert result.quantity is not None
            assert pays == list(range(1, min(result.quantity, 401) + 1))


def test_every_verdict() -> None:
    dear, cheap = WayCost(fixed=100, each=10), WayCost(fixed=50, each=8)
    assert break_even(first=dear, second=cheap).pays == "always"
    assert break_even(first=cheap, second=dear).pays == "never"
    assert break_even(first=dear, second=dear).pays == "alike"
    # 60 more once, 4 less each: 15.
    jig = WayCost(fixed=160, each=6)
    later = break_even(first=dear, second=jig)
    assert (later.pays, later.quantity) == ("from", 15)
    sooner = break_even(first=jig, second=dear)
    assert (sooner.pays, sooner.quantity) == ("up-to", 15)
    # 1 less once, 4 more each: not even one part.
    assert break_even(first=jig, second=WayCost(fixed=159, each=10)).pays == "never"


def test_set_up_of_one_lot_and_of_repeated_lots() -> None:
    """First: holding 0, set-up 30, 5 a part. Second: holding 40, set-up 10, 4 a part.

    One lot: (40 + 10 - 30)/1 = 20. Lots of 10 parts: 40/(20/10 + 1) = 13.33. 25 parts in one lot:
    30 + 125 = 155 and 50 + 100 = 150; in lots of 10: 2.5 · 30 + 125 = 200 and 40 + 25 + 100 = 165.
    """
    first = WayCost(fixed=0, setup=30, each=5)
    second = WayCost(fixed=40, setup=10, each=4)
    assert break_even(first=first, second=second).quantity == 20
    lots = break_even(first=first, second=second, lot_quantity=10)
    assert lots.exact_quantity_ratio == pytest.approx(40 / 3)
    assert lots.quantity == 14
    assert [total_cost(way=way, quantity=25) for way in (first, second)] == [155, 150]
    assert [total_cost(way=way, quantity=25, lot_quantity=10) for way in (first, second)] == [
        200,
        165,
    ]


def test_the_band_by_hand() -> None:
    """Set-up 20 against 50, 10 against 7 a part, all of it times; 20 % either way.

    Furthest: set-up 16 and 60, part 8 and 8.4: never. Nearest: 24 and 40, 12 and 5.6: 16/6.4 = 2.5.
    """
    result = break_even(
        first=WayCost(fixed=0, setup=20, setup_timed=20, each=10, each_timed=10),
        second=WayCost(fixed=0, setup=50, setup_timed=50, each=7, each_timed=7),
        times_share=0.2,
    )
    assert result.quantity == 10
    assert (result.quantity_low, result.quantity_high, result.sure) == (3, None, False)


def test_what_both_ways_have_alike_moves_together() -> None:
    """The same, but 6 of the part's times are alike: 4 against 1 differ.

    Furthest: 16 and 60, 3.2 and 1.2: 44/2 = 22. Nearest: 24 and 40, 4.8 and 0.8: 16/4 = 4.
    """
    result = break_even(
        first=WayCost(fixed=0, setup=20, setup_timed=20, each=10, each_timed=4, each_shared=6),
        second=WayCost(fixed=0, setup=50, setup_timed=50, each=7, each_timed=1, each_shared=6),
        times_share=0.2,
    )
    assert (result.quantity_low, result.quantity, result.quantity_high) == (4, 10, 22)
    assert result.sure


def test_the_band_of_a_way_that_pays_up_to_a_quantity() -> None:
    """The other way round: the same quantities, now the last ones."""
    one = WayCost(fixed=0, setup=50, setup_timed=50, each=7, each_timed=1, each_shared=6)
    other = WayCost(fixed=0, setup=20, setup_timed=20, each=10, each_timed=4, each_shared=6)
    result = break_even(first=one, second=other, times_share=0.2)
    assert result.pays == "up-to"
    assert (result.quantity_low, result.quantity, result.quantity_high) == (4, 10, 22)
    unsure = break_even(
        first=WayCost(fixed=0, setup=50, setup_timed=50, each=7, each_timed=7),
        second=WayCost(fixed=0, setup=20, setup_timed=20, each=10, each_timed=10),
        times_share=0.2,
    )
    assert (unsure.quantity_high, unsure.sure) == (None, False)


def test_a_verdict_without_a_quantity_has_no_band() -> None:
    result = break_even(
        first=WayCost(fixed=0, each=5), second=WayCost(fixed=10, each=6), times_share=0.2
    )
    assert (result.pays, result.quantity_low, result.quantity_high) == ("never", None, None)


def test_the_working_shows_the_break_even() -> None:
    trail = Trail(steps=[])
    break_even(first=WayCost(fixed=0, each=200), second=WayCost(fixed=80_000, each=75), trail=trail)
    assert trail.steps is not None
    assert [step.value for step in trail.steps] == [640]


def test_refusals() -> None:
    with pytest.raises(OutOfRangeError):
        WayCost(fixed=-1, each=1)
    one = WayCost(fixed=0, each=1)
    with pytest.raises(OutOfRangeError):
        break_even(first=one, second=one, lot_quantity=0)
    with pytest.raises(OutOfRangeError):
        break_even(first=one, second=one, times_share=1.5)
    with pytest.raises(OutOfRangeError):
        total_cost(way=one, quantity=-1)
