"""Result on times and costs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from threadwright.quantities import FeedRate, Length
from threadwright.record import Record
from threadwright.results.answer import Result


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolCutting(Record):
    """How long a tool cuts on each part, and in a trial cut."""

    name: str
    cutting_time_s: float
    trial_cutting_time_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OperationTime(Record):
    """Times of one operation on one part."""

    name: str
    kind: str
    tool: str
    """The tool that it uses; empty for work without one."""
    cutting_time_s: float
    rapid_time_s: float
    other_time_s: float
    """Dwells, reversals, probing, free-form time, hand work at the machine."""
    beside_time_s: float
    """Hand work beside the machine, while it runs another part."""
    hand: bool
    """True: the operator does it by hand."""
    sized: bool
    """True: repeated in a trial cut of the first article, because it makes the measured size."""
    path_length: Length
    feed_reached: FeedRate | None
    """Highest feed reached in its longest feed move."""
    limited_by: (
        Literal[
            "feed",
            "feed-rate-max",
            "rapid-rate",
            "acceleration",
            "centripetal",
            "block-rate",
            "look-ahead",
            "spindle",
        ]
        | None
    )
    """What kept its longest feed move from being faster."""
    time_s: float
    """Time at the machine."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartTime(Record):
    """Where the time of one part goes."""

    cutting_time_s: float
    rapid_time_s: float
    other_time_s: float
    """Dwells, probing, free-form time."""
    tool_changes: int
    tool_change_time_s: float
    spindle_time_s: float
    load_time_s: float
    hand_time_s: float
    """Work by hand while the machine waits."""
    beside_time_s: float
    """Work by hand while the machine runs another part."""
    time_s: float
    """From part to part at the machine."""
    trial_time_s: float
    """Machine time of one trial cut: the operations that make the measured size."""
    tools: tuple[ToolCutting, ...]
    operations: tuple[OperationTime, ...]
    cycle_time_s: float
    """The part's machine cycle: all but loading and work by hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SubLot(Record):
    """Parts of one hand; ``hand`` is empty where the lot has only one kind."""

    hand: Literal["", "right", "left"]
    quantity: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Contribution(Record):
    """The lot with one kind of time at its lowest and highest, the others as stated."""

    kind: Literal["setup", "first-article", "cycle", "handling", "tool-life"]
    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread(Record):
    """The band of a lot."""

    of: Literal["cost", "time_min"]
    """What ``low`` and ``high`` are of: the cost, or the minutes where there is no rate."""
    low: float
    high: float
    mean: float
    time_low_min: float
    time_high_min: float
    level_share: float
    samples: int
    seed: int
    contributions: tuple[Contribution, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolUse(Record):
    """What a lot takes of one tool."""

    name: str
    cutting_min: float
    life_min: float | None
    used: float | None
    """Cutters worn, in whole and parts; ``None`` without a life."""
    replacements: int
    cost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LotTime(Record):
    """Time and cost of the lot."""

    quantity: int
    sub_lots: tuple[SubLot, ...]
    parts_started: float
    """Parts started on average for the good ones."""
    parts_to_start: int
    """The same in whole parts: blanks to order."""
    measured: int
    """Measurements in process, the first part of each hand among them."""
    time_min: float
    """At the machine."""
    machine_hours: float
    labour_min: float
    cost: float | None
    cost_each: float | None
    """For each good part."""
    currency: str
    spread: Spread
    tools: tuple[ToolUse, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakdownLine(Record):
    """One line of where time and money of a lot go."""

    name: str
    time_min: float
    labour_min: float
    cost: float | None
    time_share: float
    cost_share: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBreak(Record):
    """The lot at another quantity, on the same terms."""

    quantity: int
    time_min: float
    time_each_min: float
    cost: float | None
    cost_each: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakEven(Record):
    """From which quantity on the second way costs less than the first."""

    pays: Literal["always", "never", "from", "up-to", "alike"]
    """``from``: the second pays from ``quantity`` parts on; ``up-to``: up to it; ``always``,
    ``never``; ``alike``: both cost the same.
    """
    exact_quantity: float | None
    """Where both cost the same, unrounded."""
    quantity: int | None
    """The first (``from``) or last (``up-to``) whole quantity at which the second is no dearer."""
    quantity_low: int | None
    quantity_high: int | None
    """The same with all times spread; ``None``: no end within the spread."""
    times_share: float | None
    """The spread of the times behind low and high."""
    sure: bool | None
    """Whether the verdict is the same everywhere within the spread."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison(Record):
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
    price_breaks: tuple[PriceBreak, ...]
    """The second way at the same quantities as the first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleTime(Result):
    """Times of a part and of a lot, its cost, and what other ways would save."""

    part: PartTime
    lot: LotTime
    breakdown: tuple[BreakdownLine, ...]
    """Where the lot's time and cost go."""
    price_breaks: tuple[PriceBreak, ...]
    break_even_quantity: int | None
    """Of the first alternative: the quantity from which (or up to which) it pays."""
    alternatives: tuple[Comparison, ...]
