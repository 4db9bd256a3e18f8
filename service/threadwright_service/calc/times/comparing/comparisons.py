"""Two ways of making the same lot: holdings, feeds, passes, cutters, milling or turning."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, Literal

from threadwright_service.calc.errors import InfeasibleError, MissingInputError
from threadwright_service.calc.times.comparing.break_even import BreakEven, break_even
from threadwright_service.calc.times.comparing.ways import CostedWay, Way, way_cost
from threadwright_service.calc.times.lot.price_breaks import PriceBreak
from threadwright_service.calc.times.lot.terms import LotTerms, ToolTerms
from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.times.operations.bench_operations import FixedTime
from threadwright_service.calc.times.operations.operation_time import Operation
from threadwright_service.calc.times.operations.thread_milling import ThreadMilling
from threadwright_service.calc.times.operations.thread_operations import (
    SinglePointThreading,
    Tapping,
)
from threadwright_service.calc.times.ranges import above_zero, count
from threadwright_service.calc.trail import Trail

TIMES_SHARE: Final = 0.2
"""The spread of all times behind the band of a break-even quantity."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """The second way against the first, for this lot and by quantity."""

    name: str
    """What is done otherwise, in words."""
    part_time_s: float
    """Machine time of the second way from part to part."""
    lot_time_min: float
    """Machine time of the second way for the lot."""
    cost: float | None
    """Of the second way for the lot; null where there is no rate."""
    cost_each: float | None
    """Of the second way for each good part; null where there is no rate."""
    saved_time_min: float
    """Minutes of the lot that the second way saves; negative where it takes longer."""
    saved_cost: float | None
    """Money of the lot that the second way saves; negative where it costs more, null where
    there is no rate."""
    cheaper: Literal["first", "second", "alike"]
    """Which way takes less for this lot, by what basis says."""
    basis: Literal["cost", "time"]
    """What break-even and ``cheaper`` go by: cost, or minutes where there is no rate."""
    break_even: BreakEven
    price_breaks: tuple[PriceBreak, ...] = ()
    """The second way at the same quantities as the first."""


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
        As :func:`~threadwright_service.calc.times.comparing.break_even.break_even` does.

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
        first=way_cost(first, other=second, priced=priced),
        second=way_cost(second, other=first, priced=priced),
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


def other_thread(
    way: Way,
    *,
    thread: ThreadMilling | SinglePointThreading | Tapping | FixedTime,
    tools: tuple[ToolTerms, ...] | None = None,
    machine: MachineMotion | None = None,
    setup_time_min: float | None = None,
    name: str = "other thread",
) -> Way:
    """The same way with the thread made otherwise: another cutter, or turned instead of milled.

    Parameters
    ----------
    way : Way
    thread : operation
        What takes the place of the operations that make the size.
    tools : tuple of ToolTerms or None
        Life and cost of the tools; ``None``: as before.
    machine : MachineMotion or None
        The machine, if it is another one.
    setup_time_min : float or None
        The set-up, if it is another one [min].

    Raises
    ------
    MissingInputError
        If there is no thread whose place it could take.

    Notes
    -----
    Source: derivation.
    """
    terms = way.terms
    if tools is not None:
        terms = replace(terms, tools=tools)
    if setup_time_min is not None:
        terms = replace(terms, setup_time_min=setup_time_min)
    return replace(
        way,
        name=name,
        machine=machine or way.machine,
        terms=terms,
        operations=_threads_changed(way.operations, lambda _: thread, THREADS),
    )


def other_feed(
    way: Way, *, feed_ratio: float, name: str = "other feed", trail: Trail | None = None
) -> Way:
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
    if feed_ratio > 1:
        _load_caution(name, trail)

    def faster(thread: ThreadMilling) -> ThreadMilling:
        return replace(
            thread,
            passes=tuple(
                replace(each, feed_centre_mm_per_min=each.feed_centre_mm_per_min * feed_ratio)
                for each in thread.passes
            ),
        )

    return replace(way, name=name, operations=_threads_changed(way.operations, faster))


def fewer_passes(
    way: Way, *, passes: int, name: str = "fewer passes", trail: Trail | None = None
) -> Way:
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
    _load_caution(name, trail)

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


THREADS: Final = (ThreadMilling, SinglePointThreading, Tapping)
"""Operations that make a thread."""


def _threads_changed(
    operations: Sequence[Operation],
    change: Callable[[Any], Operation],
    kinds: tuple[type, ...] = (ThreadMilling,),
) -> tuple[Operation, ...]:
    if not any(isinstance(operation, kinds) for operation in operations):
        raise MissingInputError(
            "none of the operations makes a thread in a way that could be changed",
            parameter="operations",
            accepted="at least one operation of kind thread-milling",
        )
    return tuple(
        change(operation) if isinstance(operation, kinds) else operation for operation in operations
    )


def _load_caution(name: str, trail: Trail | None) -> None:
    if trail is not None:
        trail.caution(
            "load-not-checked",
            f"The time of {name} is computed, the load on cutter and machine is not. Their makers' "
            "limits come first; ask for a pass plan with these values.",
        )
