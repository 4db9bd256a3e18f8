"""The band of a quote, against closed forms of the triangular spread."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from threadwright_service.calc.times.comparing.ways import Way, costed
from threadwright_service.calc.times.lot.spread import Spread, spread
from threadwright_service.calc.times.lot.terms import LotTerms, ToolTerms
from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.times.operations.bench_operations import FixedTime

MACHINE = MachineMotion(rapid_rate_mm_per_min=15_000, acceleration_m_per_s2=4.0)
TERMS = LotTerms(
    quantity=10,
    setup_time_min=0,
    first_article_trials=0,
    measure_every=0,
    load_time_s=0,
    tool_change_time_s=0,
    spindle_start_time_s=0,
    spindle_stop_time_s=0,
    spread_cycle_share=0,
    spread_handling_share=0,
    spread_setup_share=0,
    spread_first_article_share=0,
    spread_tool_life_share=0,
    spread_seed=1,
    spread_samples=20_000,
)


def _spread(terms: LotTerms, cutting_s: float = 60.0) -> Spread:
    way = costed(
        Way(
            name="",
            operations=(FixedTime(time_s=cutting_s, tool="mill"),),
            machine=MACHINE,
            terms=terms,
        )
    )
    return spread(lot=way.lot, terms=way.terms)


def _triangular(share: float, half_width: float) -> float:
    """The value below which a share of a triangular spread about 1 lies (closed form)."""
    if share <= 0.5:
        return 1 - half_width * (1 - math.sqrt(2 * share))
    return 1 + half_width * (1 - math.sqrt(2 * (1 - share)))


def test_nothing_spread_is_the_stated_value() -> None:
    band = _spread(TERMS)
    assert (band.low, band.mean, band.high) == pytest.approx((10, 10, 10), rel=1e-12)
    assert band.of == "time_min"


def test_one_spread_is_the_closed_form() -> None:
    """Ten parts of a minute, within 20 %: 5th and 95th of a triangular spread."""
    band = _spread(replace(TERMS, spread_cycle_share=0.2))
    assert band.low == pytest.approx(10 * _triangular(0.05, 0.2), rel=0.003)
    assert band.high == pytest.approx(10 * _triangular(0.95, 0.2), rel=0.003)
    assert band.mean == pytest.approx(10, rel=0.003)


def test_independent_spreads_add_in_squares() -> None:
    """Set-up 10 min and parts 10 min, each within 30 %: variance a²/6 each, about normal.

    The sum of two triangular spreads is near enough to a normal one that the 5th and 95th lie
    1.645 standard deviations out within 2 % of the band.
    """
    band = _spread(
        replace(TERMS, setup_time_min=10, spread_cycle_share=0.3, spread_setup_share=0.3)
    )
    deviation = math.sqrt(2 * (10 * 0.3) ** 2 / 6)
    assert (band.high - band.low) / 2 == pytest.approx(1.645 * deviation, rel=0.02)


def test_the_same_seed_repeats_the_band_and_another_does_not() -> None:
    terms = replace(TERMS, spread_cycle_share=0.2, spread_samples=500)
    assert _spread(terms) == _spread(terms)
    other = _spread(replace(terms, spread_seed=2))
    assert other.low != _spread(terms).low
    assert other.low == pytest.approx(_spread(terms).low, rel=0.02)


def test_money_where_there_is_a_rate() -> None:
    """60 an hour and 4 of material: 10 min and 40 are 50; within 20 % of the minutes."""
    band = _spread(replace(TERMS, machine_rate=60, material_cost=4, spread_cycle_share=0.2))
    assert band.of == "cost"
    assert band.low == pytest.approx(40 + 10 * _triangular(0.05, 0.2), rel=0.003)
    assert band.time_low_min == pytest.approx(10 * _triangular(0.05, 0.2), rel=0.003)


def test_worn_cutters_step() -> None:
    """Life 5 min within half: ten minutes take two cutters as stated, one replaced, two or three if
    the life is short: 10/5 = 2 cutters, at 2.5 min four, at 7.5 min two.
    """
    terms = replace(
        TERMS,
        tools=(ToolTerms(name="mill", life_min=5, replacement_time_s=60),),
        spread_tool_life_share=0.5,
    )
    band = _spread(terms)
    by_kind = {each.kind: each for each in band.contributions}
    assert (by_kind["tool-life"].low, by_kind["tool-life"].high) == (11, 13)
    assert by_kind["cycle"].low == by_kind["cycle"].high == 11
    assert band.contributions[0].kind == "tool-life"


def test_cutters_by_the_worn_share_and_by_the_whole() -> None:
    """Ten minutes, life 4 min, 20 each: 2.5 cutters are 50, three whole ones 60; the hour is 6."""
    terms = replace(TERMS, machine_rate=6, tools=(ToolTerms(name="mill", life_min=4, cost=20),))
    terms = replace(terms, tools=(replace(terms.tools[0], replacement_time_s=0),))
    assert _spread(replace(terms, tool_charge="used")).mean == pytest.approx(51)
    assert _spread(replace(terms, tool_charge="whole")).mean == pytest.approx(61)
