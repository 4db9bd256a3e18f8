"""The terms of a lot as they were asked for."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Literal

from threadwright_service.calc.errors import OutOfRangeError
from threadwright_service.calc.times.ranges import above_zero, count, not_negative, share

ToolCharge = Literal["used", "whole"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolTerms:
    """Life and cost of one tool; money in the lot's currency.

    Parameters
    ----------
    name : str
        The tool's name in the operations.
    life_min : float or None
        Cutting time that one cutter (or edge) lasts [min]; ``None``: never replaced in the lot.
    cost : float or None
        Cost of one cutter (or edge); ``None``: left out, and said.
    replacement_time_s : float or None
        Time to change the worn cutter and set it [s].
    """

    name: str
    life_min: float | None = None
    cost: float | None = None
    replacement_time_s: float | None = None

    def __post_init__(self) -> None:
        if self.life_min is not None:
            above_zero("tool_life_min", self.life_min)
        if self.cost is not None:
            not_negative("tool_cost", self.cost)
        if self.replacement_time_s is not None:
            not_negative("tool_replacement_time_s", self.replacement_time_s)


@dataclass(frozen=True, slots=True, kw_only=True)
class LotTerms:
    """Terms of a lot as they were asked for; ``None`` where nothing was given.

    Parameters
    ----------
    quantity : int or None
        Good parts wanted.
    quantity_right, quantity_left : int or None
        Good parts of either hand, where the lot has both.
    setup_time_min : float or None
        Set-up of the lot [min]; paid once.
    hand_change_time_min : float or None
        Change to the other hand [min].
    first_article_trials : int or None
        Trial cuts of each hand, each measured and corrected.
    measure_time_s, correction_time_s : float or None
        One measurement at the machine; to work out and enter a correction [s].
    measure_every : int or None
        The first part of each hand and then every so many; 0: none is measured.
    load_time_s, tool_change_time_s, spindle_start_time_s, spindle_stop_time_s : float or None
        See :class:`~threadwright_service.calc.times.part.Handling`.
    inspection_time_s : float
        Inspection of each part beside the machine [s].
    tools : tuple of ToolTerms
    tool_charge : "used" or "whole" or None
        Charge the worn share of the cutters, or every cutter begun.
    scrap_share : float or None
        Share of the started parts that are lost.
    learning_share : float or None
        Time of work by hand at twice the quantity as a share of the time before, 0.8 to 1 as a
        rule; ``None``: no learning.
    machine_rate, labour_rate : float or None
        Money for an hour.
    attendance_share : float or None
        Share of the machine cycle in which the operator stands by.
    currency : str
        Only repeated in the answer.
    material_cost : float or None
        Material of one part.
    fixture_cost : float or None
        Money spent on the holding, paid once.
    spread_…_share : float or None
        Half width of the triangular spread of a kind of time, as a share.
    spread_seed, spread_samples : int or None
    price_break_quantities : tuple of int or None
    """

    quantity: int | None = None
    quantity_right: int | None = None
    quantity_left: int | None = None
    setup_time_min: float | None = None
    hand_change_time_min: float | None = None
    first_article_trials: int | None = None
    measure_time_s: float | None = None
    correction_time_s: float | None = None
    measure_every: int | None = None
    load_time_s: float | None = None
    tool_change_time_s: float | None = None
    spindle_start_time_s: float | None = None
    spindle_stop_time_s: float | None = None
    inspection_time_s: float = 0.0
    tools: tuple[ToolTerms, ...] = ()
    tool_charge: ToolCharge | None = None
    scrap_share: float | None = None
    learning_share: float | None = None
    machine_rate: float | None = None
    labour_rate: float | None = None
    attendance_share: float | None = None
    currency: str = ""
    material_cost: float | None = None
    fixture_cost: float | None = None
    spread_cycle_share: float | None = None
    spread_handling_share: float | None = None
    spread_setup_share: float | None = None
    spread_first_article_share: float | None = None
    spread_tool_life_share: float | None = None
    spread_seed: int | None = None
    spread_samples: int | None = None
    price_break_quantities: tuple[int, ...] | None = None

    def __post_init__(self) -> None:
        for field in fields(self):
            value = getattr(self, field.name)
            if value is None:
                continue
            if field.name in _COUNTS:
                count(field.name, value, least=_COUNTS[field.name])
            elif field.name in _SHARES:
                share(field.name, value, below=_SHARES[field.name])
            elif field.name not in _OTHERS:
                not_negative(field.name, value)
        if self.learning_share is not None and not 0.5 <= self.learning_share <= 1:
            raise OutOfRangeError(
                f"learning_share is {self.learning_share}; it must be between 0.5 and 1",
                parameter="learning_share",
                value=self.learning_share,
                accepted="0.5 to 1; 1 is no learning",
            )
        for quantity in self.price_break_quantities or ():
            count("price_break_quantities", quantity, least=1)


_COUNTS = {
    "quantity": 1,
    "quantity_right": 0,
    "quantity_left": 0,
    "first_article_trials": 0,
    "measure_every": 0,
    "spread_samples": 100,
}
_SHARES = {
    "scrap_share": 1.0,
    "attendance_share": 1.0 + 1e-12,
    "spread_cycle_share": 1.0,
    "spread_handling_share": 1.0,
    "spread_setup_share": 1.0,
    "spread_first_article_share": 1.0,
    "spread_tool_life_share": 1.0,
}
_OTHERS = {
    "tools",
    "tool_charge",
    "currency",
    "learning_share",
    "spread_seed",
    "price_break_quantities",
}
