"""The cost of a lot: rates, cutters, material, holding; the tool life that costs least."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.times.lot.lot import LotTime
from threadwright_service.calc.times.lot.settled_terms import SettledTerms
from threadwright_service.calc.times.ranges import above_zero, not_negative
from threadwright_service.calc.trail import Formula, Trail

COST: Final = Formula(
    "cost of the lot",
    "C",
    "r_m * t_m / 60 + r_l * t_l / 60 + C_t + N_s * C_w + C_f",
    "r_m t_m r_l t_l C_t N_s C_w C_f",
    unit="",
    source="derivation",
)
COST_EACH: Final = Formula(
    "cost of each good part", "c", "C / N", "C N", unit="", source="derivation"
)
CHEAPEST_LIFE: Final = Formula(
    "tool life of lowest cost",
    "T_c",
    "(1/n - 1) * (t_w + C_e / r)",
    "n t_w C_e r",
    unit="min",
    source="fundamentals-of-machining-processes",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakdownLine:
    """One line of where time and money of a lot go."""

    name: str
    """What the time or money goes to."""
    time_min: float
    """Minutes at the machine, over the lot."""
    labour_min: float
    """Minutes of the operator, over the lot."""
    cost: float | None
    """Money of these minutes, or spent otherwise; null where there is no rate."""
    time_share: float
    """Share of the lot's machine time."""
    cost_share: float | None
    """Share of the lot's money; null where there is none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotCost:
    """Cost of a lot; ``None`` where no rate was given."""

    cost: float | None
    cost_each: float | None
    breakdown: tuple[BreakdownLine, ...]


def minutes_cost(*, time_min: float, labour_min: float, terms: SettledTerms) -> float:
    """Cost of minutes at the machine and of the operator, in the lot's currency.

    Notes
    -----
    Source: derivation.
    """
    return ((terms.machine_rate or 0.0) * time_min + (terms.labour_rate or 0.0) * labour_min) / 60


def lot_cost(*, lot: LotTime, terms: SettledTerms, trail: Trail | None = None) -> LotCost:
    """Cost of a lot, and where it goes.

    Parameters
    ----------
    lot : LotTime
    terms : SettledTerms

    Notes
    -----
    Source: derivation. Without a rate there is no cost, and the lines carry times only.
    """
    cost = cost_each = None
    money: list[tuple[str, float]] = []
    if terms.priced:
        cutters = math.fsum(use.cost for use in lot.tools)
        money = [
            ("cutters", cutters),
            ("material", lot.started_ratio * terms.material_cost),
            ("holding", terms.fixture_cost),
        ]
        cost = COST(
            trail,
            terms.machine_rate or 0.0,
            lot.time_min,
            terms.labour_rate or 0.0,
            lot.labour_min,
            cutters,
            lot.started_ratio,
            terms.material_cost,
            terms.fixture_cost,
        )
        cost_each = COST_EACH(trail, cost, lot.quantity)
    return LotCost(cost=cost, cost_each=cost_each, breakdown=_breakdown(lot, terms, money, cost))


def _breakdown(
    lot: LotTime, terms: SettledTerms, money: list[tuple[str, float]], cost: float | None
) -> tuple[BreakdownLine, ...]:
    total_min = lot.time_min
    lines = [
        (
            line.name,
            line.time_min,
            line.labour_min,
            _money_of(line.time_min, line.labour_min, terms),
        )
        for line in lot.lines
    ] + [(name, 0.0, 0.0, amount) for name, amount in money]
    return tuple(
        BreakdownLine(
            name=name,
            time_min=time_min,
            labour_min=labour_min,
            cost=amount,
            time_share=time_min / total_min if total_min else 0.0,
            cost_share=amount / cost if amount is not None and cost else None,
        )
        for name, time_min, labour_min, amount in lines
        if time_min or labour_min or amount
    )


def _money_of(time_min: float, labour_min: float, terms: SettledTerms) -> float | None:
    if not terms.priced:
        return None
    return minutes_cost(time_min=time_min, labour_min=labour_min, terms=terms)


def cheapest_tool_life_min(
    *,
    taylor_exponent_ratio: float,
    replacement_min: float,
    edge_cost: float = 0.0,
    rate_per_min: float | None = None,
    trail: Trail | None = None,
) -> float:
    r"""Tool life at which a part costs least; without a cost, at which most parts come out [min].

    .. math:: T = \left(\frac{1}{n} - 1\right)\left(t_w + \frac{C_e}{r}\right)

    Parameters
    ----------
    taylor_exponent_ratio : float
        Exponent n of V Tⁿ = C; above 0, below 1.
    replacement_min : float
        Time to replace the worn cutter, t_w [min].
    edge_cost : float
        Cost of one cutter or edge, C_e.
    rate_per_min : float or None
        Money for a minute of machine and operator, r; needed where the edge costs money.

    Raises
    ------
    OutOfRangeError
        If the exponent is not between 0 and 1, or a value is negative.

    Notes
    -----
    Source: fundamentals-of-machining-processes, economics of machining.

    Examples
    --------
    >>> cheapest_tool_life_min(
    ...     taylor_exponent_ratio=0.25, replacement_min=5, edge_cost=60, rate_per_min=1.5
    ... )
    135.0
    """
    if not 0 < taylor_exponent_ratio < 1:
        raise OutOfRangeError(
            f"taylor_exponent_ratio is {taylor_exponent_ratio}; it lies between 0 and 1",
            parameter="taylor_exponent_ratio",
            value=taylor_exponent_ratio,
            accepted="above 0, below 1",
        )
    not_negative("replacement_min", replacement_min)
    not_negative("edge_cost", edge_cost)
    if edge_cost == 0:
        return CHEAPEST_LIFE(trail, taylor_exponent_ratio, replacement_min, 0.0, 1.0)
    above_zero("rate_per_min", rate_per_min or 0.0)
    return CHEAPEST_LIFE(
        trail, taylor_exponent_ratio, replacement_min, edge_cost, rate_per_min or 1.0
    )
