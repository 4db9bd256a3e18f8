"""The lot at other quantities, on the same terms."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from threadwright_service.calc.rounding import half_up
from threadwright_service.calc.times.comparing.ways import CostedWay
from threadwright_service.calc.times.lot.cost import lot_cost
from threadwright_service.calc.times.lot.lot import LotTime, lot_time
from threadwright_service.calc.times.lot.settled_terms import SettledTerms
from threadwright_service.calc.times.lot.terms import LotTerms
from threadwright_service.calc.trail import Trail

PRICE_BREAKS: Final = (1, 2, 5, 10, 20, 50, 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBreak:
    """The lot at another quantity, on the same terms."""

    quantity: int
    """Good parts of such a lot."""
    time_min: float
    """Machine time of the whole lot."""
    time_each_min: float
    """The same for each good part."""
    cost: float | None
    """Of the whole lot; null where there is no rate."""
    cost_each: float | None
    """For each good part; null where there is no rate."""


def at_quantity(terms: SettledTerms, quantity: int) -> SettledTerms:
    """The same terms for another quantity, the hands in the same proportion.

    Notes
    -----
    Source: derivation. The first hand's share is rounded to a whole part, half up.
    """
    if len(terms.sub_lots) == 1:
        return replace(terms, sub_lots=(replace(terms.sub_lots[0], quantity=quantity),))
    first, second = terms.sub_lots
    of_first = int(half_up(quantity * first.quantity / terms.quantity, 0))
    sub_lots = (
        replace(first, quantity=of_first),
        replace(second, quantity=quantity - of_first),
    )
    made = tuple(sub_lot for sub_lot in sub_lots if sub_lot.quantity)
    change_min = terms.hand_change_time_min if len(made) > 1 else 0.0
    return replace(terms, sub_lots=made, hand_change_time_min=change_min)


def price_breaks(
    base: CostedWay, asked: LotTerms, trail: Trail | None = None
) -> tuple[PriceBreak, ...]:
    """The lot at the quantities asked for, or at the usual steps and its own quantity.

    Notes
    -----
    Source: derivation.
    """
    quantities = asked.price_break_quantities
    if quantities is None:
        quantities = tuple(sorted({*PRICE_BREAKS, base.lot.quantity}))
        if trail is not None:
            trail.assume(
                "price_break_quantities",
                " ".join(str(quantity) for quantity in quantities),
                "none given; the usual steps and this lot's quantity",
            )
    return tuple(_price_break(base, quantity) for quantity in quantities)


def _price_break(base: CostedWay, quantity: int) -> PriceBreak:
    terms = at_quantity(base.terms, quantity)
    lot: LotTime = lot_time(part=base.part, terms=terms)
    cost = lot_cost(lot=lot, terms=terms)
    return PriceBreak(
        quantity=quantity,
        time_min=lot.time_min,
        time_each_min=lot.time_min / quantity,
        cost=cost.cost,
        cost_each=cost.cost_each,
    )
