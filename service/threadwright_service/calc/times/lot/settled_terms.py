"""The terms of a lot with every gap filled, and what was filled in said."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright_service.calc.errors import AmbiguousError, InfeasibleError, MissingInputError
from threadwright_service.calc.times.lot.terms import LotTerms, ToolCharge, ToolTerms
from threadwright_service.calc.times.lot.typical import or_typical
from threadwright_service.calc.times.part import Handling
from threadwright_service.calc.trail import Trail


@dataclass(frozen=True, slots=True, kw_only=True)
class SubLot:
    """Parts of one hand; ``hand`` is empty where the lot has only one kind."""

    hand: Literal["", "right", "left"]
    """Hand of the thread on these parts; empty where the lot has only one kind."""
    quantity: int
    """Good parts of this hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SettledTool:
    """Life and cost of one tool, nothing left open but what is left out."""

    name: str
    life_min: float | None
    cost: float
    replacement_time_s: float
    charge: ToolCharge


@dataclass(frozen=True, slots=True, kw_only=True)
class Spreads:
    """Half widths of the spreads, as shares, and how the band is drawn."""

    cycle_share: float
    handling_share: float
    setup_share: float
    first_article_share: float
    tool_life_share: float
    seed: int
    samples: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SettledTerms:
    """The terms of a lot with every gap filled; ``None`` rates: times only."""

    sub_lots: tuple[SubLot, ...]
    handling: Handling
    setup_time_min: float
    hand_change_time_min: float
    first_article_trials: int
    measure_time_s: float
    correction_time_s: float
    measure_every: int
    inspection_time_s: float
    tools: tuple[SettledTool, ...]
    scrap_share: float
    learning_share: float
    machine_rate: float | None
    labour_rate: float | None
    attendance_share: float
    material_cost: float
    fixture_cost: float
    currency: str
    spreads: Spreads

    @property
    def quantity(self) -> int:
        """Good parts of all sub-lots."""
        return sum(sub_lot.quantity for sub_lot in self.sub_lots)

    @property
    def priced(self) -> bool:
        """Whether there is a rate to turn minutes into money."""
        return self.machine_rate is not None or self.labour_rate is not None


def settle(terms: LotTerms, trail: Trail | None = None) -> SettledTerms:
    """Fill the gaps of the terms, each noted as an assumption with its reason.

    Raises
    ------
    AmbiguousError
        If two tools have one name.
    InfeasibleError
        If the hands do not add up to the quantity, or there is no part at all.

    Notes
    -----
    Source: common practice (``tables/typical_times.toml``).
    """
    sub_lots = _sub_lots(terms, trail)
    priced = terms.machine_rate is not None or terms.labour_rate is not None
    if trail is not None:
        _note_money(terms, priced, trail)
    hands = len(sub_lots)
    trials = int(or_typical("first_article_trials", terms.first_article_trials, trail))
    return SettledTerms(
        sub_lots=sub_lots,
        handling=Handling(
            load_time_s=or_typical("load_time_s", terms.load_time_s, trail),
            tool_change_time_s=or_typical("tool_change_time_s", terms.tool_change_time_s, trail),
            spindle_start_time_s=or_typical(
                "spindle_start_time_s", terms.spindle_start_time_s, trail
            ),
            spindle_stop_time_s=or_typical("spindle_stop_time_s", terms.spindle_stop_time_s, trail),
        ),
        setup_time_min=or_typical("setup_time_min", terms.setup_time_min, trail),
        hand_change_time_min=or_typical("hand_change_time_min", terms.hand_change_time_min, trail)
        if hands > 1
        else 0.0,
        first_article_trials=trials,
        measure_time_s=or_typical("measure_time_s", terms.measure_time_s, trail),
        correction_time_s=or_typical("correction_time_s", terms.correction_time_s, trail)
        if trials
        else 0.0,
        measure_every=int(or_typical("measure_every", terms.measure_every, trail)),
        inspection_time_s=terms.inspection_time_s,
        tools=_tools(terms, trail),
        scrap_share=terms.scrap_share or 0.0,
        learning_share=1.0 if terms.learning_share is None else terms.learning_share,
        machine_rate=terms.machine_rate,
        labour_rate=terms.labour_rate,
        attendance_share=or_typical("attendance_share", terms.attendance_share, trail)
        if terms.labour_rate
        else 1.0,
        material_cost=terms.material_cost or 0.0,
        fixture_cost=terms.fixture_cost or 0.0,
        currency=terms.currency,
        spreads=_spreads(terms, trail),
    )


def _sub_lots(terms: LotTerms, trail: Trail | None) -> tuple[SubLot, ...]:
    right, left = terms.quantity_right, terms.quantity_left
    if right is None and left is None:
        quantity = terms.quantity
        if quantity is None:
            quantity = 1
            if trail is not None:
                trail.assume("quantity", 1, "none given; one part")
        return (SubLot(hand="", quantity=quantity),)
    right, left = right or 0, left or 0
    if right + left == 0 or (terms.quantity is not None and terms.quantity != right + left):
        raise InfeasibleError(
            f"{right} right hand and {left} left hand parts are not a lot of "
            f"{'one or more' if terms.quantity is None else terms.quantity}",
            parameter="quantity",
            value=terms.quantity,
            accepted="the sum of quantity_right and quantity_left, or nothing",
        )
    both = (SubLot(hand="right", quantity=right), SubLot(hand="left", quantity=left))
    return tuple(sub_lot for sub_lot in both if sub_lot.quantity)


def _tools(terms: LotTerms, trail: Trail | None) -> tuple[SettledTool, ...]:
    names = [tool.name for tool in terms.tools]
    for name in names:
        if names.count(name) > 1:
            raise AmbiguousError(
                f"two tools are named {name!r}",
                parameter="tools",
                value=name,
                accepted="one entry for each tool",
            )
    return tuple(
        SettledTool(
            name=tool.name,
            life_min=tool.life_min,
            cost=tool.cost or 0.0,
            replacement_time_s=0.0
            if tool.life_min is None
            else or_typical("tool_replacement_time_s", tool.replacement_time_s, trail),
            charge=_charge(tool, terms.tool_charge, trail),
        )
        for tool in terms.tools
    )


def _charge(tool: ToolTerms, asked: ToolCharge | None, trail: Trail | None) -> ToolCharge:
    if not tool.cost:
        return "used"
    if asked == "used" and tool.life_min is None:
        raise MissingInputError(
            f"the worn share of {tool.name!r} follows from its life, and none is given",
            parameter="tool_life_min",
            accepted="minutes of cutting, or tool_charge=whole",
        )
    if asked is not None:
        return asked
    charge: ToolCharge = "whole" if tool.life_min is None else "used"
    if trail is not None:
        reason = (
            "none given; without a tool life one whole cutter is charged"
            if charge == "whole"
            else "none given; the worn share of the cutters is charged"
        )
        trail.assume("tool_charge", charge, reason)
    return charge


def _spreads(terms: LotTerms, trail: Trail | None) -> Spreads:
    return Spreads(
        cycle_share=or_typical("spread_cycle_share", terms.spread_cycle_share, trail),
        handling_share=or_typical("spread_handling_share", terms.spread_handling_share, trail),
        setup_share=or_typical("spread_setup_share", terms.spread_setup_share, trail),
        first_article_share=or_typical(
            "spread_first_article_share", terms.spread_first_article_share, trail
        ),
        tool_life_share=or_typical("spread_tool_life_share", terms.spread_tool_life_share, trail),
        seed=int(or_typical("spread_seed", terms.spread_seed, trail)),
        samples=int(or_typical("spread_samples", terms.spread_samples, trail)),
    )


def _note_money(terms: LotTerms, priced: bool, trail: Trail) -> None:
    if terms.scrap_share is None:
        trail.assume("scrap_share", 0.0, "none given; every part that is started is good")
    if all(tool.life_min is None for tool in terms.tools):
        trail.assume("tool_life_min", "not counted", "none given; no cutter is replaced in the lot")
    if not priced:
        trail.caution(
            "no-rates", "No cost is told, for neither machine_rate nor labour_rate was given."
        )
        return
    if terms.labour_rate is None:
        trail.assume("labour_rate", 0.0, "none given; machine_rate is taken to hold the operator")
    if terms.machine_rate is None:
        trail.assume("machine_rate", 0.0, "none given; labour_rate is taken to hold the machine")
    if terms.material_cost is None:
        trail.assume("material_cost", 0.0, "none given; the cost is without material")
    if terms.fixture_cost is None:
        trail.assume("fixture_cost", 0.0, "none given; no money is spent on the holding")
    if all(tool.cost is None for tool in terms.tools):
        trail.assume("tool_cost", 0.0, "none given; the cost is without cutters")
