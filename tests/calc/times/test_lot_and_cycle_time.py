"""Parts, lots, terms and the whole of cycle-time: what is assumed, refused, and always true."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from threadwright_service.calc.errors import (
    AmbiguousError,
    CalcError,
    InfeasibleError,
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.times.comparing.comparisons import (
    fewer_passes,
    other_feed,
    other_holding,
    other_thread,
)
from threadwright_service.calc.times.comparing.ways import Way, costed, way_cost
from threadwright_service.calc.times.cycle_time import CycleTime, cycle_time
from threadwright_service.calc.times.lot.cost import cheapest_tool_life_min
from threadwright_service.calc.times.lot.learning import SUMMED, cumulative_ratio, mean_ratio
from threadwright_service.calc.times.lot.settled_terms import settle
from threadwright_service.calc.times.lot.terms import LotTerms, ToolTerms
from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.times.operations.bench_operations import FixedTime, HandWork
from threadwright_service.calc.times.operations.operation_time import Operation
from threadwright_service.calc.times.operations.thread_milling import ThreadMilling, ThreadPass
from threadwright_service.calc.times.operations.thread_operations import SinglePointThreading
from threadwright_service.calc.times.part import Handling, part_time
from threadwright_service.calc.trail import Trail

MACHINE = MachineMotion(rapid_rate_mm_per_min=15_000, acceleration_m_per_s2=4.0)
HANDLING = Handling(
    load_time_s=60, tool_change_time_s=10, spindle_start_time_s=2, spindle_stop_time_s=2
)
THREAD = ThreadMilling(
    passes=(
        ThreadPass(
            path_length_mm=1200, cutter_centre_radius_mm=19, feed_centre_mm_per_min=400, times=4
        ),
    ),
    lead_mm=1.5,
    clearance_mm=5,
)
TERMS = LotTerms(
    quantity=20,
    setup_time_min=30,
    first_article_trials=1,
    measure_time_s=120,
    correction_time_s=60,
    measure_every=5,
    load_time_s=60,
    tool_change_time_s=10,
    spindle_start_time_s=2,
    spindle_stop_time_s=2,
    scrap_share=0,
    machine_rate=60,
    labour_rate=0,
    material_cost=0,
    fixture_cost=0,
    attendance_share=1,
)


def _cycle(
    terms: LotTerms = TERMS, operations: tuple[Operation, ...] = (THREAD,), **more: Any
) -> CycleTime:
    return cycle_time(operations=operations, machine=MACHINE, lot=terms, **more)


def test_tools_change_between_different_ones_and_back() -> None:
    """A A B - by hand - A C: A to B, B to A, A to C and C back to A: four changes."""
    operations: list[Operation] = [
        FixedTime(time_s=1, tool="A"),
        FixedTime(time_s=1, tool="A"),
        FixedTime(time_s=1, tool="B"),
        HandWork(time_s=1, beside=False),
        FixedTime(time_s=1, tool="A"),
        FixedTime(time_s=1, tool="C"),
    ]
    part = part_time(operations=operations, machine=MACHINE, handling=HANDLING)
    assert part.tool_changes == 4
    # 5 s of cutting, 1 by hand, 40 of changes, 4 of spindle, 60 of loading.
    assert part.time_s == 110
    assert part.tool("A").cutting_time_s == 3
    assert part.tool("D").cutting_time_s == 0
    # None is sized: a trial repeats everything that has a tool, and the spindle.
    assert part.trial_time_s == 9


def test_one_tool_never_changes_and_hand_work_alone_turns_no_spindle() -> None:
    one = part_time(operations=[FixedTime(time_s=7, tool="A")], machine=MACHINE, handling=HANDLING)
    assert (one.tool_changes, one.time_s) == (0, 71)
    hand = part_time(
        operations=[HandWork(time_s=7, beside=False)], machine=MACHINE, handling=HANDLING
    )
    assert (hand.spindle_time_s, hand.time_s, hand.trial_time_s) == (0, 67, 0)
    with pytest.raises(MissingInputError):
        part_time(operations=[], machine=MACHINE, handling=HANDLING)


def test_twice_the_feed_halves_the_time() -> None:
    """Common practice; the ramps of four passes are all that is not halved."""
    faster = replace(THREAD, passes=(replace(THREAD.passes[0], feed_centre_mm_per_min=800.0),))
    slow, fast = _cycle(), _cycle(operations=(faster,))
    assert fast.part.cutting_time_s == pytest.approx(slow.part.cutting_time_s / 2, rel=1e-4)


@given(
    quantity=st.integers(1, 500),
    more=st.integers(1, 100),
    scrap=st.floats(0, 0.5),
    every=st.integers(0, 9),
)
def test_a_larger_lot_takes_longer_and_costs_less_each(
    quantity: int, more: int, scrap: float, every: int
) -> None:
    """Without scrap of tools and steps of sampling the set-up is shared by more parts."""
    small, large = (
        _cycle(
            replace(
                TERMS,
                quantity=count,
                scrap_share=scrap,
                measure_every=every,
                spread_samples=100,
                price_break_quantities=(),
            )
        ).lot
        for count in (quantity, quantity + more)
    )
    assert small.cost_each is not None
    assert large.cost_each is not None
    assert large.time_min > small.time_min
    # A measurement begun is at most one more than the lot's average asks for.
    step = 0.0 if every == 0 else 60 / 60 * 120 / 60 / (quantity + more)
    assert large.cost_each <= small.cost_each * (1 + 1e-9) + step


@given(quantity=st.integers(1, 300), share=st.floats(0.55, 0.999))
def test_learning_lies_between_the_last_part_and_the_first(quantity: int, share: float) -> None:
    mean = mean_ratio(quantity=quantity, learning_share=share)
    assert quantity ** (math.log(share) / math.log(2)) <= mean * (1 + 1e-12)
    assert mean <= 1 + 1e-12


@pytest.mark.parametrize("share", [0.5, 0.7, 0.9, 0.99])
def test_the_tail_of_the_learning_curve_is_its_sum(share: float) -> None:
    """Beyond the parts that are added one by one, against adding them one by one."""
    exponent = math.log(share) / math.log(2)
    counted = math.fsum(i**exponent for i in range(1, SUMMED + 3001))
    found = cumulative_ratio(quantity=SUMMED + 3000, learning_share=share)
    assert found == pytest.approx(counted, rel=1e-9)


def test_learning_is_refused_outside_its_range() -> None:
    with pytest.raises(OutOfRangeError):
        cumulative_ratio(quantity=5, learning_share=0.4)
    with pytest.raises(OutOfRangeError):
        cumulative_ratio(quantity=0, learning_share=0.8)


def test_every_gap_is_said_and_no_money_is_made_up() -> None:
    trail = Trail()
    answer = _cycle(LotTerms(), trail=trail)
    assert answer.lot.cost is None
    assert answer.lot.cost_each is None
    assert all(line.cost is None for line in answer.breakdown)
    assert all(each.cost is None for each in answer.price_breaks)
    assert answer.lot.spread.of == "time_min"
    said = {each.parameter for each in trail.assumptions}
    assert said >= {
        "quantity",
        "setup_time_min",
        "load_time_s",
        "measure_time_s",
        "measure_every",
        "first_article_trials",
        "correction_time_s",
        "tool_change_time_s",
        "spindle_start_time_s",
        "spindle_stop_time_s",
        "scrap_share",
        "tool_life_min",
        "spread_seed",
        "price_break_quantities",
    }
    assert all(each.reason for each in trail.assumptions)
    codes = {each.code for each in trail.cautions}
    assert codes == {"no-rates", "typical-times", "prove-out", "times-are-computed"}


def test_one_rate_holds_both_and_says_so() -> None:
    trail = Trail()
    settle(replace(TERMS, labour_rate=None), trail)
    assert {"labour_rate"} <= {each.parameter for each in trail.assumptions}
    trail = Trail()
    settle(replace(TERMS, machine_rate=None, labour_rate=40, material_cost=None), trail)
    assert {"machine_rate", "material_cost", "tool_cost"} <= {
        each.parameter for each in trail.assumptions
    }


def test_how_cutters_are_charged_where_nothing_is_said() -> None:
    """A cutter without a life is charged whole, one with a life by its worn share; both said."""
    trail = Trail()
    answer = _cycle(replace(TERMS, tools=(ToolTerms(name="thread mill", cost=90),)), trail=trail)
    assert answer.lot.tools[0].cost == 90
    assert answer.lot.tools[0].used_ratio is None
    charged = next(each for each in trail.assumptions if each.parameter == "tool_charge")
    assert charged.value == "whole"
    trail = Trail()
    _cycle(
        replace(TERMS, tools=(ToolTerms(name="thread mill", cost=90, life_min=60),)), trail=trail
    )
    charged = next(each for each in trail.assumptions if each.parameter == "tool_charge")
    assert charged.value == "used"
    with pytest.raises(MissingInputError, match="worn share"):
        _cycle(replace(TERMS, tool_charge="used", tools=(ToolTerms(name="thread mill", cost=90),)))


def test_a_tool_that_no_operation_uses_is_refused() -> None:
    """Its cost would otherwise be missing from the quote without a word: a name misspelt."""
    tools = (ToolTerms(name="reamer", cost=90, life_min=10, replacement_time_s=60),)
    with pytest.raises(UnknownDesignationError) as refusal:
        _cycle(replace(TERMS, tools=tools, tool_charge="whole"))
    assert refusal.value.parameter == "tools"
    assert refusal.value.value == "reamer"
    assert "thread mill" in refusal.value.accepted


def test_price_breaks_share_the_hands_in_proportion() -> None:
    terms = replace(
        TERMS,
        quantity=None,
        quantity_right=9,
        quantity_left=9,
        hand_change_time_min=10,
        price_break_quantities=(1, 5, 18),
    )
    answer = _cycle(terms)
    at_one, at_five, at_lot = answer.price_breaks
    assert at_lot.time_min == pytest.approx(answer.lot.time_min, rel=1e-12)
    assert at_lot.cost == pytest.approx(answer.lot.cost, rel=1e-12)
    # One part is of one hand: no change to the other and one first article less.
    part_min = answer.part.time_s / 60
    trial_min = (answer.part.trial_time_s + 180) / 60
    assert at_one.time_min == pytest.approx(30 + trial_min + part_min + 2, rel=1e-9)
    assert at_five.time_min == pytest.approx(40 + 2 * trial_min + 5 * part_min + 2 * 2, rel=1e-9)
    assert at_five.time_each_min == pytest.approx(at_five.time_min / 5)


def test_an_alternative_has_its_own_price_breaks() -> None:
    way = Way(name="vice", operations=(THREAD,), machine=MACHINE, terms=TERMS)
    jig = other_holding(way, name="jig", setup_time_min=90, load_time_s=20)
    first = _cycle(alternatives=[jig])
    second = first.alternatives[0]
    ours = {each.quantity: each for each in first.price_breaks}
    theirs = {each.quantity: each for each in second.price_breaks}
    assert ours.keys() == theirs.keys()
    lot = first.lot.quantity
    assert theirs[lot].time_min == pytest.approx(second.lot_time_min, rel=1e-12)
    # 60 min more of set-up for each lot, the loading of every part 40 s shorter.
    for quantity in ours:
        more_min = theirs[quantity].time_min - ours[quantity].time_min
        assert more_min == pytest.approx(90 - 30 - quantity * (60 - 20) / 60, rel=1e-9)


def test_only_one_hand_is_one_sub_lot() -> None:
    answer = _cycle(replace(TERMS, quantity=None, quantity_left=9))
    assert [(each.hand, each.quantity) for each in answer.lot.sub_lots] == [("left", 9)]


def test_another_holding_by_hand() -> None:
    """Set-up 15 min longer and 100 of money against 40 s of loading: 60 an hour, 1 a minute.

    (100 + 15)/(40/60) = 172.5, so from 173 parts on. The 20 parts cost 115 - 13.33 more.
    With the load times 20 % off: (100 + 0.8·45 - 1.2·30)/(1.2·1 - 0.8/3) and the other way.
    """
    way = Way(name="vice", operations=(THREAD,), machine=MACHINE, terms=TERMS)
    jig = other_holding(way, name="jig", setup_time_min=45, load_time_s=20, fixture_cost=100)
    answer = _cycle(alternatives=[jig])
    found = answer.alternatives[0]
    assert answer.break_even_quantity == 173
    assert found.break_even.exact_quantity_ratio == pytest.approx(172.5, rel=1e-9)
    assert found.saved_cost == pytest.approx(-115 + 20 * 40 / 60, rel=1e-9)
    assert found.saved_time_min == pytest.approx(-15 + 20 * 40 / 60, rel=1e-9)
    assert (found.cheaper, found.basis) == ("first", "cost")
    near = (100 + 0.8 * 45 - 1.2 * 30) / (1.2 * 1 - 0.8 / 3)
    far = (100 + 1.2 * 45 - 0.8 * 30) / (0.8 * 1 - 1.2 / 3)
    assert found.break_even.quantity_low == math.ceil(near) == 108
    assert found.break_even.quantity_high == math.ceil(far) == 325


def test_repeated_lots_pay_the_holding_once() -> None:
    """Lots of 20: 100/((30 - 45)/20 + 40/60) is below zero: never.

    With the set-up alike 100/(2/3) = 150.
    """
    way = Way(name="vice", operations=(THREAD,), machine=MACHINE, terms=TERMS)
    slow = other_holding(way, setup_time_min=45, load_time_s=20, fixture_cost=100)
    assert _cycle(alternatives=[slow], lot_quantity=20).break_even_quantity is None
    alike = other_holding(way, load_time_s=20, fixture_cost=100)
    assert _cycle(alternatives=[alike], lot_quantity=20).break_even_quantity == 150


def test_a_holding_that_repeats_better() -> None:
    """Fewer trial cuts, measured less often, nothing lost: cheaper at once."""
    terms = replace(TERMS, scrap_share=0.1, first_article_trials=2, measure_every=1)
    way = Way(name="vice", operations=(THREAD,), machine=MACHINE, terms=terms)
    jig = other_holding(way, scrap_share=0, first_article_trials=1, measure_every=5)
    found = _cycle(terms, alternatives=[jig]).alternatives[0]
    assert found.cheaper == "second"
    assert found.break_even.pays == "always"


def test_without_a_rate_the_break_even_goes_by_minutes() -> None:
    """15 min of set-up against 40 s: 22.5, and the money of the holding is said to be left out."""
    terms = replace(TERMS, machine_rate=None, labour_rate=None)
    way = Way(name="vice", operations=(THREAD,), machine=MACHINE, terms=terms)
    jig = other_holding(way, setup_time_min=45, load_time_s=20, fixture_cost=100)
    trail = Trail()
    answer = _cycle(terms, alternatives=[jig], trail=trail)
    assert answer.break_even_quantity == 23
    assert answer.alternatives[0].basis == "time"
    assert "holding-cost-left-out" in {each.code for each in trail.cautions}


def test_a_higher_feed_saves_minutes_of_the_lot() -> None:
    """Half the feed more: a third of four passes of 180 s, on 20 parts and a trial cut: 84 min."""
    trail = Trail()
    way = Way(name="", operations=(THREAD,), machine=MACHINE, terms=TERMS)
    faster = other_feed(way, feed_ratio=1.5, trail=trail)
    found = _cycle(alternatives=[faster]).alternatives[0]
    assert found.saved_time_min == pytest.approx(21 * 4 * 60 / 60, rel=1e-3)
    assert found.break_even.pays == "always"
    assert [each.code for each in trail.cautions] == ["load-not-checked"]
    # At a feed that the path does not allow, no more is saved, and the limit is named.
    trail = Trail()
    way_up = other_feed(way, feed_ratio=1000, name="far too fast")
    _cycle(alternatives=[way_up], trail=trail)
    told = [each.detail for each in trail.cautions if each.code == "feed-not-reached"]
    assert len(told) == 1
    assert "far too fast" in told[0]
    assert "highest feed" in told[0]


def test_fewer_passes() -> None:
    """Three passes in place of four: 180 s and a return less, on 20 parts and a trial cut."""
    way = Way(name="", operations=(THREAD,), machine=MACHINE, terms=TERMS)
    found = _cycle(alternatives=[fewer_passes(way, passes=3)]).alternatives[0]
    assert found.saved_time_min == pytest.approx(21 * 180 / 60, rel=2e-3)
    with pytest.raises(InfeasibleError, match="has 4 passes"):
        fewer_passes(way, passes=5)
    with pytest.raises(OutOfRangeError):
        fewer_passes(way, passes=0)
    with pytest.raises(OutOfRangeError):
        other_feed(way, feed_ratio=0)


def test_a_full_length_cutter_against_a_single_row() -> None:
    """One turn of 119.4 mm and 30° at 300 mm/min, twice, against 4 · 180 s; 250 of money a cutter.

    Each cutter lasts: the single row 60 min and 90, the rows 30 min and 250. By hand, a part:
    cutting 720 s against 2 · 25.9 s.
    """
    turn = math.hypot(2 * math.pi * 19, 1.5)
    rows = replace(
        THREAD,
        passes=(
            ThreadPass(
                path_length_mm=turn * 13 / 12,
                cutter_centre_radius_mm=19,
                feed_centre_mm_per_min=300,
                times=2,
            ),
        ),
    )
    single = (ToolTerms(name="thread mill", life_min=60, cost=90, replacement_time_s=300),)
    full = (ToolTerms(name="thread mill", life_min=30, cost=250, replacement_time_s=300),)
    terms = replace(TERMS, tools=single, tool_charge="whole")
    way = Way(name="", operations=(THREAD,), machine=MACHINE, terms=terms)
    other = other_thread(way, thread=rows, tools=full, name="rows over the whole length")
    answer = _cycle(terms, alternatives=[other])
    found = answer.alternatives[0]
    assert found.part_time_s < answer.part.time_s - 660
    first_min, second_min = 20 * 12 + 12, 21 * 2 * turn * 13 / 12 / 300
    assert answer.lot.tools[0].cutting_min == pytest.approx(first_min, rel=1e-3)
    # 252 min of the single row: five of 60; 18.1 min of the rows: one.
    assert answer.lot.tools[0].cost == 5 * 90
    saved_min = first_min - second_min + 4 * 5
    assert found.saved_time_min == pytest.approx(saved_min, rel=0.01)
    assert found.saved_cost == pytest.approx(saved_min + 450 - 250, rel=0.01)


def test_turning_against_milling() -> None:
    """Another machine, another set-up: what is alike does not move together any more."""
    turned = SinglePointThreading(
        thread_length_mm=28, lead_mm=1.5, cuts=9, spindle_speed_rev_per_min=400, overrun_mm=2
    )
    lathe = MachineMotion(rapid_rate_mm_per_min=10_000, acceleration_m_per_s2=3.0)
    way = Way(name="milled", operations=(THREAD,), machine=MACHINE, terms=TERMS)
    other = other_thread(way, thread=turned, machine=lathe, setup_time_min=60, name="turned")
    found = _cycle(alternatives=[other]).alternatives[0]
    assert found.break_even.pays == "from"
    # Set-up 30 more, the trial cut less; a part: 720 s of passes against 9 cuts of 34.5/600 min.
    each_min = 720 / 60 - 9 * 34.5 / 600
    assert found.break_even.exact_quantity_ratio == pytest.approx(
        (30 - each_min) / each_min, rel=0.02
    )
    first, second = costed(way), costed(other)
    assert way_cost(first, other=second, priced=True).each_shared > 0
    assert way_cost(first, other=second, priced=True).each_timed > (
        way_cost(first, other=first, priced=True).each_timed
    )
    with pytest.raises(MissingInputError):
        other_thread(replace(way, operations=(FixedTime(time_s=1),)), thread=turned)


@given(
    feed_ratio=st.floats(1.0, 3.0),
    trials=st.integers(0, 3),
    scrap=st.floats(0, 0.3),
    rate=st.floats(0, 100),
)
def test_the_line_over_the_quantity_meets_the_lot(
    feed_ratio: float, trials: int, scrap: float, rate: float
) -> None:
    """Measured every part and no cutter worn, the cost is the line exactly."""
    terms = replace(
        TERMS,
        first_article_trials=trials,
        scrap_share=scrap,
        measure_every=1,
        labour_rate=rate,
        attendance_share=0.3,
        inspection_time_s=15,
        material_cost=3,
        fixture_cost=40,
        tools=(ToolTerms(name="thread mill", life_min=1e6, cost=90, replacement_time_s=0),),
        tool_charge="used",
    )
    way = costed(
        other_feed(
            Way(name="", operations=(THREAD,), machine=MACHINE, terms=terms), feed_ratio=feed_ratio
        )
    )
    line = way_cost(way, other=way, priced=True)
    assert line.fixed + line.setup + 20 * line.each == pytest.approx(way.cost.cost, rel=1e-9)
    minutes = way_cost(way, other=way, priced=False)
    assert minutes.setup + 20 * minutes.each == pytest.approx(way.lot.time_min, rel=1e-9)


def test_an_alternative_that_takes_something_for_granted_says_so() -> None:
    trail = Trail()
    other = Way(
        name="other", operations=(THREAD,), machine=MACHINE, terms=replace(TERMS, load_time_s=None)
    )
    _cycle(alternatives=[other], trail=trail)
    assert "alternatives[0].load_time_s" in {each.parameter for each in trail.assumptions}


def test_the_working_leads_to_the_lots_time_and_cost() -> None:
    trail = Trail(steps=[])
    answer = _cycle(trail=trail)
    assert trail.steps is not None
    steps = {step.symbol: step.value for step in trail.steps}
    assert steps["t_lot"] == pytest.approx(answer.lot.time_min)
    assert steps["C"] == pytest.approx(answer.lot.cost)
    assert steps["c"] == pytest.approx(answer.lot.cost_each)


def test_the_tool_life_of_highest_output_needs_no_money() -> None:
    """n = 0.25 and 5 min to change: (4 - 1) · 5 = 15 min, checked against a search of the minimum.

    Time a part at life T: cutting T^n shorter with less speed, and its share of a change.
    """
    life = cheapest_tool_life_min(taylor_exponent_ratio=0.25, replacement_min=5)
    assert life == pytest.approx(15)

    def part_min(tool_life_min: float) -> float:
        cutting_min = math.sqrt(math.sqrt(tool_life_min))
        return cutting_min + cutting_min / tool_life_min * 5

    assert min(range(1, 60), key=part_min) == 15
    with pytest.raises(OutOfRangeError):
        cheapest_tool_life_min(taylor_exponent_ratio=1, replacement_min=5)
    with pytest.raises(OutOfRangeError):
        cheapest_tool_life_min(taylor_exponent_ratio=0.25, replacement_min=5, edge_cost=3)


@pytest.mark.parametrize(
    ("given", "error"),
    [
        ({"quantity": 0}, OutOfRangeError),
        ({"quantity": 2.5}, OutOfRangeError),
        ({"quantity": True}, OutOfRangeError),
        ({"setup_time_min": -1.0}, OutOfRangeError),
        ({"machine_rate": math.nan}, OutOfRangeError),
        ({"scrap_share": 1.0}, OutOfRangeError),
        ({"attendance_share": 1.1}, OutOfRangeError),
        ({"learning_share": 0.3}, OutOfRangeError),
        ({"measure_every": -1}, OutOfRangeError),
        ({"spread_samples": 10}, OutOfRangeError),
        ({"spread_setup_share": 1.0}, OutOfRangeError),
        ({"price_break_quantities": (5, 0)}, OutOfRangeError),
        ({"quantity_right": 9, "quantity_left": 9, "quantity": 20}, InfeasibleError),
        ({"quantity_right": 0, "quantity_left": 0, "quantity": None}, InfeasibleError),
        ({"tools": (ToolTerms(name="a"), ToolTerms(name="a"))}, AmbiguousError),
    ],
)
def test_bad_terms_are_refused(given: dict[str, Any], error: type[CalcError]) -> None:
    with pytest.raises(error) as refusal:
        _cycle(replace(TERMS, **given))
    assert refusal.value.parameter
    assert refusal.value.accepted


@pytest.mark.parametrize("given", [{"life_min": 0.0}, {"cost": -1.0}, {"replacement_time_s": -1.0}])
def test_bad_tools_are_refused(given: dict[str, float]) -> None:
    with pytest.raises(OutOfRangeError):
        ToolTerms(name="thread mill", **given)


def test_a_whole_cutter_without_a_life_is_paid_once_a_lot() -> None:
    """In the line over the quantity it belongs to the lot, not to the part."""
    tools = (ToolTerms(name="thread mill", cost=90),)
    terms = replace(TERMS, tools=tools, tool_charge="whole", measure_every=1)
    way = costed(Way(name="", operations=(THREAD,), machine=MACHINE, terms=terms))
    bare = costed(Way(name="", operations=(THREAD,), machine=MACHINE, terms=TERMS))
    line = way_cost(way, other=way, priced=True)
    assert line.setup == pytest.approx(way_cost(bare, other=bare, priced=True).setup + 90)
    assert line.fixed + line.setup + 20 * line.each == pytest.approx(way.cost.cost, rel=1e-9)


def test_the_same_without_a_trail() -> None:
    """Notes change no number, and a lot of one kind says nothing twice."""
    tools = (ToolTerms(name="thread mill", cost=90),)
    terms = LotTerms(machine_rate=60, tools=tools)
    operations = (THREAD, HandWork(time_s=10))
    noted = _cycle(terms, operations, trail=Trail(steps=[]))
    assert _cycle(terms, operations) == noted
