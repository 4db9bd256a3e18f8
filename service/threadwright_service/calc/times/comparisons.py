"""Two ways of making the same lot: holdings, feeds, passes, cutters, milling or turning."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from threadwright_service.calc.errors import InfeasibleError, MissingInputError
from threadwright_service.calc.times import learning
from threadwright_service.calc.times.break_even import BreakEven, WayCost, break_even
from threadwright_service.calc.times.cost import LotCost, lot_cost, minutes_cost
from threadwright_service.calc.times.lot import FIRST_ARTICLE, SETUP, LotTime, lot_time
from threadwright_service.calc.times.machine_motion import MachineMotion
from threadwright_service.calc.times.operation_time import Operation
from threadwright_service.calc.times.part import PartTime, part_time
from threadwright_service.calc.times.ranges import above_zero, count
from threadwright_service.calc.times.settled_terms import SettledTerms, settle
from threadwright_service.calc.times.terms import LotTerms
from threadwright_service.calc.times.thread_operations import ThreadMilling
from threadwright_service.calc.trail import Trail

TIMES_SHARE: Final = 0.2
"""The spread of all times behind the band of a break-even quantity."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way of making the lot: its operations, machine and terms."""

    name: str
    operations: tuple[Operation, ...]
    machine: MachineMotion
    terms: LotTerms


@dataclass(frozen=True, slots=True, kw_only=True)
class CostedWay:
    """A way with its times and costs."""

    name: str
    part: PartTime
    terms: SettledTerms
    lot: LotTime
    cost: LotCost


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """The second way against the first, for this lot and by quantity."""

    name: str
    part_time_s: float
    lot_time_min: float
    cost: float | None
    cost_each: float | None
    saved_time_min: float
    """Minutes of the lot that the second way saves; negative where it takes longer."""
    saved_cost: float | None
    cheaper: Literal["first", "second", "alike"]
    basis: Literal["cost", "time"]
    """What break-even and ``cheaper`` go by: cost, or minutes where there is no rate."""
    break_even: BreakEven


def costed(way: Way, trail: Trail | None = None) -> CostedWay:
    """Times and costs of a way.

    Raises
    ------
    CalcError
        As the operations and the terms do.

    Notes
    -----
    Source: derivation.
    """
    terms = settle(way.terms, trail)
    part = part_time(
        operations=way.operations, machine=way.machine, handling=terms.handling, trail=trail
    )
    lot = lot_time(part=part, terms=terms, trail=trail)
    return CostedWay(
        name=way.name,
        part=part,
        terms=terms,
        lot=lot,
        cost=lot_cost(lot=lot, terms=terms, trail=trail),
    )


def compare(
    *,
    first: CostedWay,
    second: CostedWay,
    lot_quantity: float | None = None,
    times_share: float = TIMES_SHARE,
    trail: Trail | None = None,
) -> Comparison:
    """The second way against the first: what it saves, and from which quantity on it pays.

    Parameters
    ----------
    first, second : CostedWay
    lot_quantity : float or None
        Parts in each lot where the holding is paid once and the set-up for each lot.
    times_share : float
        Spread of the times behind the band of the break-even quantity.

    Raises
    ------
    CalcError
        As :func:`~threadwright_service.calc.times.break_even.break_even` does.

    Notes
    -----
    Source: derivation. The break-even takes measuring and worn cutters on average, without the
    steps of whole ones; learning is taken at this lot's quantity.
    """
    priced = first.terms.priced and second.terms.priced
    if not priced and trail is not None and first.terms.fixture_cost != second.terms.fixture_cost:
        trail.caution(
            "holding-cost-left-out",
            "The money spent on the holdings is not in the break-even: without a rate it goes by "
            "minutes alone.",
        )
    result = break_even(
        first=way_cost(first, priced=priced),
        second=way_cost(second, priced=priced),
        lot_quantity=lot_quantity,
        times_share=times_share,
        trail=trail,
    )
    saved_min = first.lot.time_min - second.lot.time_min
    saved_cost = (
        first.cost.cost - second.cost.cost
        if first.cost.cost is not None and second.cost.cost is not None
        else None
    )
    saved = saved_min if saved_cost is None else saved_cost
    return Comparison(
        name=second.name,
        part_time_s=second.part.time_s,
        lot_time_min=second.lot.time_min,
        cost=second.cost.cost,
        cost_each=second.cost.cost_each,
        saved_time_min=saved_min,
        saved_cost=saved_cost,
        cheaper="alike" if saved == 0 else "second" if saved > 0 else "first",
        basis="cost" if priced else "time",
        break_even=result,
    )


def way_cost(way: CostedWay, *, priced: bool) -> WayCost:
    """Cost of a way as a line over the quantity: fixed, for each lot, for each part.

    Parameters
    ----------
    way : CostedWay
    priced : bool
        True: money; False: minutes at the machine.

    Notes
    -----
    Source: derivation.
    """
    part, terms = way.part, way.terms
    hands, trials = len(terms.sub_lots), terms.first_article_trials
    started = 1 / (1 - terms.scrap_share)
    practice = learning.mean_ratio(quantity=terms.quantity, learning_share=terms.learning_share)
    setup_min = SETUP.function(terms.setup_time_min, hands, terms.hand_change_time_min)
    setup_min += FIRST_ARTICLE.function(
        hands, trials, part.trial_time_s, terms.measure_time_s, terms.correction_time_s
    )
    by_hand_min = started * practice * (part.load_time_s + part.hand_time_s) / 60
    by_hand_min += terms.measure_time_s / terms.measure_every / 60 if terms.measure_every else 0.0
    beside_min = (started * practice * part.beside_time_s + terms.inspection_time_s) / 60
    cycle_min = started * part.cycle_time_s / 60
    setup_cutters = each_cutters = 0.0
    for tool in terms.tools:
        each = started * part.tool(tool.name).cutting_time_s / 60
        trial = hands * trials * part.tool(tool.name).trial_cutting_time_s / 60
        if tool.life_min is not None:
            by_hand_min += each / tool.life_min * tool.replacement_time_s / 60
            each_cutters += each / tool.life_min * tool.cost
            setup_cutters += trial / tool.life_min * tool.cost
        elif tool.charge == "whole" and each > 0:
            setup_cutters += tool.cost
    if not priced:
        each_min = cycle_min + by_hand_min
        return WayCost(
            fixed=0.0, setup=setup_min, setup_timed=setup_min, each=each_min, each_timed=each_min
        )
    setup_timed = minutes_cost(time_min=setup_min, labour_min=setup_min, terms=terms)
    each_timed = minutes_cost(
        time_min=cycle_min + by_hand_min,
        labour_min=cycle_min * terms.attendance_share + by_hand_min + beside_min,
        terms=terms,
    )
    return WayCost(
        fixed=terms.fixture_cost,
        setup=setup_timed + setup_cutters,
        setup_timed=setup_timed,
        each=each_timed + each_cutters + started * terms.material_cost,
        each_timed=each_timed,
    )


def other_holding(
    way: Way,
    *,
    name: str = "other holding",
    setup_time_min: float | None = None,
    load_time_s: float | None = None,
    fixture_cost: float | None = None,
    scrap_share: float | None = None,
    measure_every: int | None = None,
    first_article_trials: int | None = None,
) -> Way:
    """The same way with the work held differently; what is not given stays as it was.

    Notes
    -----
    Source: derivation. A holding that repeats better needs fewer trial cuts, wants measuring
    less often and loses fewer parts.
    """
    changed = {
        "setup_time_min": setup_time_min,
        "load_time_s": load_time_s,
        "fixture_cost": fixture_cost,
        "scrap_share": scrap_share,
        "measure_every": measure_every,
        "first_article_trials": first_article_trials,
    }
    given = {key: value for key, value in changed.items() if value is not None}
    terms: LotTerms = replace(way.terms, **given)  # type: ignore[arg-type]
    return replace(way, name=name, terms=terms)


def other_feed(way: Way, *, feed_ratio: float, name: str = "other feed") -> Way:
    """The same way with the feed of every thread pass multiplied.

    Raises
    ------
    OutOfRangeError
        If the factor is not above zero.
    MissingInputError
        If no operation mills a thread.

    Notes
    -----
    Source: derivation. Times alone: whether the cutter stands it, the pass plan says.
    """
    above_zero("feed_ratio", feed_ratio)

    def faster(thread: ThreadMilling) -> ThreadMilling:
        return replace(
            thread,
            passes=tuple(
                replace(each, feed_centre_mm_per_min=each.feed_centre_mm_per_min * feed_ratio)
                for each in thread.passes
            ),
        )

    return replace(way, name=name, operations=_threads_changed(way.operations, faster))


def fewer_passes(way: Way, *, passes: int, name: str = "fewer passes") -> Way:
    """The same way with the last so many of the thread's passes.

    Raises
    ------
    OutOfRangeError
        If the count is below 1.
    InfeasibleError
        If the thread has not as many passes.
    MissingInputError
        If no operation mills a thread.

    Notes
    -----
    Source: derivation. Times alone: the load that each pass then has, the pass plan says.
    """
    count("passes", passes, least=1)

    def fewer(thread: ThreadMilling) -> ThreadMilling:
        single = [replace(each, times=1) for each in thread.passes for _ in range(each.times)]
        if passes > len(single):
            raise InfeasibleError(
                f"the thread has {len(single)} passes, fewer than {passes}",
                parameter="passes",
                value=passes,
                accepted=f"1 to {len(single)}",
            )
        return replace(thread, passes=tuple(single[-passes:]))

    return replace(way, name=name, operations=_threads_changed(way.operations, fewer))


def _threads_changed(
    operations: Sequence[Operation], change: Callable[[ThreadMilling], ThreadMilling]
) -> tuple[Operation, ...]:
    if not any(isinstance(operation, ThreadMilling) for operation in operations):
        raise MissingInputError(
            "no operation mills a thread, so there is no feed and no pass to change",
            parameter="operations",
            accepted="at least one operation of kind thread-milling",
        )
    return tuple(
        change(operation) if isinstance(operation, ThreadMilling) else operation
        for operation in operations
    )
