"""``cycle-time``: the operations of a part and the terms of a lot -> times, cost, break-even.

Proposed flat keys (a row of a sheet), beside the list ``operations`` for anything else. Lengths and
feeds follow ``unit``; "typical" is a value of ``tables/typical_times.toml``, noted when used.

========================= ======== =================== ==========================================
key                       kind     default             meaning
========================= ======== =================== ==========================================
operations                list     none                ``kind`` and its fields (``operations.py``)
thread_process            choice   milled              milled, turned, tapped
passes                    count    from the pass plan  passes of one start, spring passes among them
path_length               length   from thread_length  one pass with its arcs, all starts
thread_length             length   none                length of the thread
pitch, starts             length   from the call-out   lead = pitch x starts
cutter_profile            choice   single              one row of teeth, or rows over the thread
cutter_centre_radius      length   from the pass plan  radius of the cutter-centre path
feed_centre               feed     from the pass plan  feed of the cutter centre
spindle_speed             rev/min  none                turned, tapped
thread_cutting_time_s     time     none                the thread's time where it is known
drill_*                   group    not done            diameter, depth, feed; peck_depth
step_*                    group    not done            start_diameter, diameter, length,
                                                       cutter_diameter, radial_depth, feed;
                                                       axial_depth (typical: whole, up to 2 D)
chamfer_*                 group    not done            diameter, cutter_diameter, feed
probing_points            count    not done            with probing_time_per_point_s
other_time_s              time     not done            anything else at the machine
deburr_time_s             time     not done            by hand; deburr_beside: machine runs on
rapid_rate                feed     typical 15,000      mm/min
acceleration_g            number   typical 0.3         of the axes
feed_rate_max             feed     rapid_rate          highest feed
centripetal_g, braking_g  number   acceleration_g      towards the centre; slowing down
block_rate_per_s          number   never limits        program blocks a second
look_ahead_blocks         count    never limits        0 stops at each block
load_time_s               time     typical 60          unload, clean, load, clamp
tool_change_time_s        time     typical 10          from cut to cut, each part
spindle_start_time_s      time     typical 2           also spindle_stop_time_s
quantity                  count    1                   or quantity_right and quantity_left
setup_time_min            time     typical 30          once for the lot
hand_change_time_min      time     typical 10          to the other hand
first_article_trials      count    typical 1           trial cuts of each hand
measure_time_s            time     typical 120         one measurement at the machine
correction_time_s         time     typical 60          after each trial cut
measure_every             count    typical 5           first part and every k-th; 0: none
inspection_time_s         time     0, not done         each part, beside the machine
tool_life_min             time     not counted         of the thread's tool; tools[] for more
tool_cost                 money    left out            one cutter (or edge)
tool_replacement_time_s   time     typical 300         worn cutter
tool_charge               choice   used                used, whole
scrap_share               share    0                   of the parts started
learning_share            share    no learning         work by hand at twice the quantity
machine_rate, labour_rate money    no cost             for an hour
attendance_share          share    typical 1           of the machine cycle, if labour_rate
material_cost             money    0                   each part started
fixture_cost              money    0                   the holding, once
currency                  text     empty               repeated in the answer
spread_*_share            share    typical             cycle 0.1, handling 0.25, setup 0.3,
                                                       first_article 0.5, tool_life 0.4
spread_seed               count    1                   also spread_samples 1000
price_break_quantities    list     1 2 5 10 20 50 100  quantities of price_breaks
alternative_*             group    not compared        setup_time_min, load_time_s, fixture_cost,
                                                       scrap_share, measure_every,
                                                       first_article_trials: the other holding
alternative_thread_*      group    not compared        another cutter: cutter_profile, passes,
                                                       feed_centre, cutter_centre_radius,
                                                       tool_cost, tool_life_min
what_if_feed_ratio        number   not compared        all thread feeds multiplied
what_if_passes            count    not compared        only the last so many passes
lot_quantity              count    one lot             repeated lots: set-up paid in each
========================= ======== =================== ==========================================
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from threadwright_service.calc.prove_out import PROVE_OUT
from threadwright_service.calc.times.comparing.comparisons import Comparison, compare
from threadwright_service.calc.times.comparing.ways import CostedWay, Way, costed
from threadwright_service.calc.times.lot.cost import BreakdownLine
from threadwright_service.calc.times.lot.lot import ToolUse
from threadwright_service.calc.times.lot.price_breaks import PriceBreak, price_breaks
from threadwright_service.calc.times.lot.settled_terms import SubLot
from threadwright_service.calc.times.lot.spread import Spread, spread
from threadwright_service.calc.times.lot.terms import LotTerms
from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.times.operations.operation_time import Operation, OperationTime
from threadwright_service.calc.times.part import PartTime
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class LotResult:
    """Time and cost of the lot."""

    quantity: int
    """Good parts of the lot, both hands together."""
    sub_lots: tuple[SubLot, ...]
    parts_started_ratio: float
    """Parts started on average for the good ones."""
    parts_to_start: int
    """The same in whole parts: blanks to order."""
    measured: int
    """Measurements in process, the first part of each hand among them."""
    time_min: float
    """At the machine."""
    machine_hours: float
    """Machine time of the lot in hours."""
    labour_min: float
    """The operator's minutes, at the machine and beside it."""
    cost: float | None
    """Of the whole lot; null where there is no rate."""
    cost_each: float | None
    """For each good part; null where there is no rate."""
    currency: str
    """As the request names it; empty if it does not."""
    spread: Spread
    tools: tuple[ToolUse, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleTime:
    """Times of a part and of a lot, its cost, and what other ways would save."""

    part: PartTime
    lot: LotResult
    breakdown: tuple[BreakdownLine, ...]
    """Where the lot's time and cost go."""
    price_breaks: tuple[PriceBreak, ...]
    break_even_quantity: int | None
    """Of the first alternative: the quantity from which (or up to which) it pays;
    null without one."""
    alternatives: tuple[Comparison, ...]


def cycle_time(
    *,
    operations: Sequence[Operation],
    machine: MachineMotion,
    lot: LotTerms,
    alternatives: Sequence[Way] = (),
    lot_quantity: int | None = None,
    trail: Trail | None = None,
) -> CycleTime:
    """Times of a part and of a lot, its cost, and what other ways would save.

    Parameters
    ----------
    operations : sequence of Operation
        In the order in which they are done.
    machine : MachineMotion
    lot : LotTerms
        What is not given is filled with a typical value and noted; without a rate there is no cost.
    alternatives : sequence of Way
        Other ways of making the same lot, compared with this one.
    lot_quantity : int or None
        Parts in each lot for the break-even of repeated lots; ``None``: one lot.

    Raises
    ------
    MissingInputError
        If there is no operation, or the worn share of a tool without a life is to be charged.
    OutOfRangeError
        If a value is outside its range.
    InfeasibleError
        If values contradict one another.
    AmbiguousError
        If two tools have one name.

    Notes
    -----
    Source: derivation; typical values: common practice.
    """
    way = Way(name="as asked", operations=tuple(operations), machine=machine, terms=lot)
    base = costed(way, trail)
    if trail is not None:
        _cautions(base, lot, trail)
    compared = []
    for i, alternative in enumerate(alternatives):
        second = _costed_alternative(alternative, i, trail)
        comparison = compare(
            first=base,
            second=second,
            lot_quantity=lot_quantity,
            # One break-even is worked, the one that the answer's quantity is of.
            trail=trail if i == 0 else None,
        )
        compared.append(replace(comparison, price_breaks=price_breaks(second, lot)))
    return CycleTime(
        part=base.part,
        lot=_lot_result(base),
        breakdown=base.cost.breakdown,
        price_breaks=price_breaks(base, lot, trail),
        break_even_quantity=compared[0].break_even.quantity if compared else None,
        alternatives=tuple(compared),
    )


def _costed_alternative(way: Way, place: int, trail: Trail | None) -> CostedWay:
    """An alternative; what it takes for granted is noted where the first way does not."""
    own = Trail()
    alternative = costed(way, own)
    if trail is not None:
        for assumption in own.assumptions:
            if assumption not in trail.assumptions:
                trail.assume(
                    f"alternatives[{place}].{assumption.parameter}",
                    assumption.value,
                    assumption.reason,
                    unit=assumption.unit,
                )
        for operation in alternative.part.operations:
            _speed_caution(operation, trail, f"{way.name}: ")
    return alternative


def _lot_result(base: CostedWay) -> LotResult:
    lot, terms = base.lot, base.terms
    return LotResult(
        quantity=lot.quantity,
        sub_lots=lot.sub_lots,
        parts_started_ratio=lot.started_ratio,
        parts_to_start=math.ceil(lot.started_ratio - 1e-9),
        measured=lot.measured,
        time_min=lot.time_min,
        machine_hours=lot.time_min / 60,
        labour_min=lot.labour_min,
        cost=base.cost.cost,
        cost_each=base.cost.cost_each,
        currency=terms.currency,
        spread=spread(lot=lot, terms=terms),
        tools=lot.tools,
    )


_GUESSED: Final = ("setup_time_min", "load_time_s", "measure_time_s", "first_article_trials")


def _cautions(base: CostedWay, asked: LotTerms, trail: Trail) -> None:
    for operation in base.part.operations:
        _speed_caution(operation, trail)
    guessed = [name for name in _GUESSED if getattr(asked, name) is None]
    if guessed:
        trail.caution(
            "typical-times",
            f"Typical values stand in for {', '.join(guessed)}: give the shop's own "
            "before quoting.",
        )
    trail.caution(*PROVE_OUT)
    trail.caution(
        "times-are-computed",
        "The times are computed, and no proof of the program: put the time of the first part in "
        "their place.",
    )


_SLOWED: Final = {
    "feed-rate-max": "the machine's highest feed",
    "centripetal": "the acceleration towards the centre of the path",
    "block-rate": "the rate at which the control prepares blocks",
    "look-ahead": "the control's look-ahead",
    "acceleration": "the ramps; the moves are short",
}


def _speed_caution(operation: OperationTime, trail: Trail, where: str = "") -> None:
    reason = _SLOWED.get(operation.limited_by or "")
    if reason is not None and operation.feed_reached_mm_per_min is not None:
        trail.caution(
            "feed-not-reached",
            f"{where}the programmed feed of {operation.name} is not reached, "
            f"{operation.feed_reached_mm_per_min:.0f} mm/min is; the limit is {reason}.",
        )
