"""From which quantity on the second of two ways pays."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from itertools import product
from typing import Final, Literal

from threadwright_service.calc.times.ranges import above_zero, not_negative, share
from threadwright_service.calc.trail import Formula, Trail

Pays = Literal["always", "never", "from", "up-to", "alike"]

BREAK_EVEN: Final = Formula(
    "quantity at which both ways cost the same",
    "N*",
    "(F2 - F1) / ((S1 - S2)/b + c1 - c2)",
    "F1 F2 S1 S2 b c1 c2",
    unit="",
    source="derivation",
)
TOTAL_COST: Final = Formula(
    "cost of a quantity", "C", "F + S * N / b + c * N", "F S b c N", unit="", source="derivation"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class WayCost:
    """Cost of one way of making a part; money, or minutes where there is no rate.

    ``fixed`` is paid once, ``setup`` for each lot, ``each`` for each part. Of these, ``…_timed``
    follows from times that this way has by itself, ``…_shared`` from times that both ways have
    alike and that are right or wrong together.
    """

    fixed: float
    each: float
    setup: float = 0.0
    setup_timed: float = 0.0
    each_timed: float = 0.0
    setup_shared: float = 0.0
    each_shared: float = 0.0

    def __post_init__(self) -> None:
        for field in fields(self):
            not_negative(field.name, getattr(self, field.name))


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakEven:
    """From which quantity on the second way costs less than the first."""

    pays: Pays
    """``from``: the second pays from ``quantity`` parts on; ``up-to``: up to it; ``always``,
    ``never``; ``alike``: both cost the same."""
    exact_quantity_ratio: float | None
    """Where both cost the same, unrounded; null where they never do."""
    quantity: int | None
    """The first (``from``) or last (``up-to``) whole quantity at which the second is no dearer;
    null without one."""
    quantity_low: int | None = None
    """Lowest such quantity with all times spread; null where there is none."""
    quantity_high: int | None = None
    """Highest such quantity with all times spread; ``None``: no end within the spread."""
    times_share: float | None = None
    """The spread of the times behind low and high; null without one."""
    sure: bool | None = None
    """Whether the verdict is the same everywhere within the spread; null without one."""


def break_even(
    *,
    first: WayCost,
    second: WayCost,
    lot_quantity: float | None = None,
    times_share: float | None = None,
    trail: Trail | None = None,
) -> BreakEven:
    r"""From which quantity on the second of two ways pays.

    .. math:: N^* = \frac{F_2 - F_1}{(S_1 - S_2)/b + c_1 - c_2}

    Parameters
    ----------
    first, second : WayCost
        What is done now, and the alternative.
    lot_quantity : float or None
        Parts in each lot, b, where the quantity is made in lots that each pay the set-up;
        ``None``: one lot, the set-up is paid once.
    times_share : float or None
        Share by which the times are spread for the low and high quantity: set-up and part of
        either way each by itself, what both have alike together.

    Raises
    ------
    OutOfRangeError
        If a cost is negative or the lot not above zero.

    Notes
    -----
    Source: derivation.

    Examples
    --------
    A machining centre (200,000 and 15 a part) against a lathe (80,000 and 75 a part):

    >>> break_even(
    ...     first=WayCost(fixed=80_000, each=75), second=WayCost(fixed=200_000, each=15)
    ... ).quantity
    2000
    """
    if lot_quantity is not None:
        above_zero("lot_quantity", lot_quantity)
    result = _verdict(first, second, lot_quantity, (1, 1, 1, 1, 1), trail)
    if times_share is None:
        return result
    share("times_share", times_share)
    corners = [
        _verdict(first, second, lot_quantity, factors, None)
        for factors in product((1 - times_share, 1 + times_share), repeat=5)
    ]
    low, high = _range(corners, result.pays)
    return BreakEven(
        pays=result.pays,
        exact_quantity_ratio=result.exact_quantity_ratio,
        quantity=result.quantity,
        quantity_low=low,
        quantity_high=high,
        times_share=times_share,
        sure=all(corner.pays == result.pays for corner in corners),
    )


def total_cost(*, way: WayCost, quantity: float, lot_quantity: float | None = None) -> float:
    """Cost of a quantity made one way.

    Parameters
    ----------
    way : WayCost
    quantity : float
        Parts; 0 or more.
    lot_quantity : float or None
        Parts in each lot; ``None``: one lot.

    Raises
    ------
    OutOfRangeError
        If the quantity is negative or the lot not above zero.

    Notes
    -----
    Source: derivation. Lots are not rounded up to whole ones.

    Examples
    --------
    >>> total_cost(way=WayCost(fixed=80_000, each=75), quantity=1000)
    155000.0
    """
    not_negative("quantity", quantity)
    if lot_quantity is None:
        return TOTAL_COST.function(way.fixed + way.setup, 0.0, 1.0, way.each, quantity)
    above_zero("lot_quantity", lot_quantity)
    return TOTAL_COST.function(way.fixed, way.setup, lot_quantity, way.each, quantity)


def _verdict(
    first: WayCost,
    second: WayCost,
    lot_quantity: float | None,
    factors: tuple[float, ...],
    trail: Trail | None,
) -> BreakEven:
    """The break-even with times multiplied: set-up and part of either way, then the shared."""
    fixed, setups, eaches, lot = [], [], [], lot_quantity or 1.0
    for way, setup_factor, each_factor in (
        (first, factors[0], factors[1]),
        (second, factors[2], factors[3]),
    ):
        setup = way.setup + way.setup_timed * (setup_factor - 1)
        setup += way.setup_shared * (factors[4] - 1)
        fixed.append(way.fixed if lot_quantity is not None else way.fixed + setup)
        setups.append(setup if lot_quantity is not None else 0.0)
        each = way.each + way.each_timed * (each_factor - 1)
        eaches.append(each + way.each_shared * (factors[4] - 1))
    more_fixed = fixed[1] - fixed[0]
    less_each = (setups[0] - setups[1]) / lot + eaches[0] - eaches[1]
    if more_fixed == 0 and less_each == 0:
        return BreakEven(pays="alike", exact_quantity_ratio=None, quantity=None)
    if more_fixed <= 0 and less_each >= 0:
        return BreakEven(pays="always", exact_quantity_ratio=None, quantity=1)
    if more_fixed >= 0 and less_each <= 0:
        return BreakEven(pays="never", exact_quantity_ratio=None, quantity=None)
    quantity = BREAK_EVEN(
        trail, fixed[0], fixed[1], setups[0], setups[1], lot, eaches[0], eaches[1]
    )
    # A rounding error's worth over a whole number is that number.
    if less_each > 0:
        whole = max(1, math.ceil(quantity - 1e-9 * max(1.0, quantity)))
        return BreakEven(pays="from", exact_quantity_ratio=quantity, quantity=whole)
    whole = math.floor(quantity + 1e-9 * max(1.0, quantity))
    if whole < 1:
        return BreakEven(pays="never", exact_quantity_ratio=quantity, quantity=None)
    return BreakEven(pays="up-to", exact_quantity_ratio=quantity, quantity=whole)


def _range(corners: list[BreakEven], pays: Pays) -> tuple[int | None, int | None]:
    """Lowest and highest quantity among the corners of the spread; ``None``: without an end."""
    if pays == "up-to":
        last = [each.quantity for each in corners if each.pays == "up-to" and each.quantity]
        low = 0 if any(each.pays == "never" for each in corners) else min(last)
        ends = all(each.pays in ("up-to", "never") for each in corners)
        return low, max(last) if ends else None
    begin = [each.quantity for each in corners if each.pays in ("from", "always") and each.quantity]
    if not begin:
        return None, None
    return min(begin), max(begin) if len(begin) == len(corners) else None
