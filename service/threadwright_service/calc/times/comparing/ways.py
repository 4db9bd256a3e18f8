"""One way of making a lot, and its cost as a line over the quantity."""

from __future__ import annotations

from dataclasses import dataclass

from threadwright_service.calc.errors import UnknownDesignationError
from threadwright_service.calc.times.comparing.break_even import WayCost
from threadwright_service.calc.times.lot import learning
from threadwright_service.calc.times.lot.cost import LotCost, lot_cost, minutes_cost
from threadwright_service.calc.times.lot.lot import FIRST_ARTICLE, SETUP, LotTime, lot_time
from threadwright_service.calc.times.lot.settled_terms import SettledTerms, settle
from threadwright_service.calc.times.lot.terms import LotTerms
from threadwright_service.calc.times.motion.machine_motion import MachineMotion
from threadwright_service.calc.times.operations.operation_time import Operation
from threadwright_service.calc.times.part import PartTime, part_time
from threadwright_service.calc.trail import Trail


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
    machine: MachineMotion
    part: PartTime
    terms: SettledTerms
    lot: LotTime
    cost: LotCost


def costed(way: Way, trail: Trail | None = None) -> CostedWay:
    """Times and costs of a way.

    Raises
    ------
    UnknownDesignationError
        If no operation uses a tool whose life or cost is given.
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
    _refuse_unused_tools(part, terms)
    lot = lot_time(part=part, terms=terms, trail=trail)
    return CostedWay(
        name=way.name,
        machine=way.machine,
        part=part,
        terms=terms,
        lot=lot,
        cost=lot_cost(lot=lot, terms=terms, trail=trail),
    )


def _refuse_unused_tools(part: PartTime, terms: SettledTerms) -> None:
    used = [tool.name for tool in part.tools]
    for tool in terms.tools:
        if tool.name not in used:
            raise UnknownDesignationError(
                f"life and cost of {tool.name!r} are given, but no operation uses it",
                parameter="tools",
                value=tool.name,
                accepted=", ".join(used) or "an operation with a tool",
            )


def way_cost(way: CostedWay, *, other: CostedWay, priced: bool) -> WayCost:
    """Cost of a way as a line over the quantity: once, for each lot, for each part.

    Parameters
    ----------
    way : CostedWay
    other : CostedWay
        The way that it is compared with: what both have alike is shared.
    priced : bool
        True: money; False: minutes at the machine.

    Notes
    -----
    Source: derivation. Measuring and worn cutters are taken on average, without the steps of whole
    ones; learning at this lot's quantity. Machine cycles of one machine are right or wrong
    together.
    """
    terms, others = way.terms, other.terms
    minutes = _minutes(way)
    cutters_setup, cutters_each = _cutters(way)
    each = {"cycle": (minutes.cycle_min, minutes.cycle_min * terms.attendance_share)}
    for name in ("load_min", "hand_min", "measuring_min", "replacing_min"):
        each[name] = (getattr(minutes, name), getattr(minutes, name))
    each["beside"] = (0.0, minutes.beside_min)
    alike = {
        "cycle": way.machine == other.machine,
        "load_min": terms.handling.load_time_s == others.handling.load_time_s,
        "hand_min": True,
        "measuring_min": terms.measure_time_s == others.measure_time_s,
        "replacing_min": True,
        "beside": True,
    }
    timed = {"own": 0.0, "shared": 0.0}
    for name, (time_min, labour_min) in each.items():
        timed["shared" if alike[name] else "own"] += _amount(time_min, labour_min, terms, priced)
    setup = {"own": 0.0, "shared": 0.0}
    for time_min, shared in (
        (minutes.setup_min, minutes.setup_min == _minutes(other).setup_min),
        (
            minutes.article_min,
            alike["cycle"] and alike["measuring_min"] and _trials_alike(way, other),
        ),
    ):
        setup["shared" if shared else "own"] += _amount(time_min, time_min, terms, priced)
    return WayCost(
        fixed=terms.fixture_cost if priced else 0.0,
        setup=setup["own"] + setup["shared"] + (cutters_setup if priced else 0.0),
        setup_timed=setup["own"],
        setup_shared=setup["shared"],
        each=timed["own"]
        + timed["shared"]
        + (cutters_each + terms.material_cost / (1 - terms.scrap_share) if priced else 0.0),
        each_timed=timed["own"],
        each_shared=timed["shared"],
    )


def _trials_alike(way: CostedWay, other: CostedWay) -> bool:
    return way.terms.first_article_trials == other.terms.first_article_trials


@dataclass(frozen=True, slots=True, kw_only=True)
class _Minutes:
    """Minutes of a way: of a lot, and of each good part."""

    setup_min: float
    article_min: float
    cycle_min: float
    load_min: float
    hand_min: float
    beside_min: float
    measuring_min: float
    replacing_min: float


def _minutes(way: CostedWay) -> _Minutes:
    part, terms = way.part, way.terms
    started = 1 / (1 - terms.scrap_share)
    hands = len(terms.sub_lots)
    practised = started * learning.mean_ratio(
        quantity=terms.quantity, learning_share=terms.learning_share
    )
    measured = 1 / terms.measure_every if terms.measure_every else 0.0
    return _Minutes(
        setup_min=SETUP.function(terms.setup_time_min, hands, terms.hand_change_time_min),
        article_min=FIRST_ARTICLE.function(
            hands,
            terms.first_article_trials,
            part.trial_time_s,
            terms.measure_time_s,
            terms.correction_time_s,
        ),
        cycle_min=started * part.cycle_time_s / 60,
        load_min=practised * part.load_time_s / 60,
        hand_min=practised * part.hand_time_s / 60,
        beside_min=(practised * part.beside_time_s + terms.inspection_time_s) / 60,
        measuring_min=measured * terms.measure_time_s / 60,
        replacing_min=sum(
            started
            * part.tool(tool.name).cutting_time_s
            / 60
            / tool.life_min
            * tool.replacement_time_s
            / 60
            for tool in terms.tools
            if tool.life_min is not None
        ),
    )


def _cutters(way: CostedWay) -> tuple[float, float]:
    """Money for cutters of a lot's trial cuts, and of each good part."""
    part, terms = way.part, way.terms
    trials = len(terms.sub_lots) * terms.first_article_trials
    setup = each = 0.0
    for tool in terms.tools:
        cutting = part.tool(tool.name)
        if tool.life_min is not None:
            setup += trials * cutting.trial_cutting_time_s / 60 / tool.life_min * tool.cost
            each += cutting.cutting_time_s / 60 / tool.life_min * tool.cost
        elif tool.charge == "whole" and cutting.cutting_time_s > 0:
            setup += tool.cost
    return setup, each / (1 - terms.scrap_share)


def _amount(time_min: float, labour_min: float, terms: SettledTerms, priced: bool) -> float:
    if not priced:
        return time_min
    return minutes_cost(time_min=time_min, labour_min=labour_min, terms=terms)
