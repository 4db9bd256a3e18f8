"""The time of a lot: set-up, first article, parts, measuring, worn cutters."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

from threadwright_service.calc.times.lot import learning
from threadwright_service.calc.times.lot.settled_terms import SettledTerms, SettledTool, SubLot
from threadwright_service.calc.times.part import PartTime
from threadwright_service.calc.trail import Formula, Trail

Varies = Literal["setup", "first-article", "cycle", "handling", "tool"]

STARTED: Final = Formula(
    "parts started for the good ones, on average",
    "N_s",
    "N / (1 - s)",
    "N s",
    unit="",
    source="derivation",
)
MEASURED: Final = Formula(
    "parts of one hand that are measured", "M", "ceil(N / k)", "N k", unit="", source="derivation"
)
TOOL_MINUTES: Final = Formula(
    "minutes that a tool cuts in the lot",
    "u",
    "(N_s * t_c + H * k * t_k) / 60",
    "N_s t_c H k t_k",
    unit="min",
    source="derivation",
)
REPLACEMENTS: Final = Formula(
    "cutters replaced in the lot",
    "w",
    "max(0, ceil(u / T - 1e-9) - 1)",
    "u T",
    unit="",
    source="derivation",
)
SETUP: Final = Formula(
    "set-up of the lot", "t_su", "t_1 + (H - 1) * t_h", "t_1 H t_h", unit="min", source="derivation"
)
FIRST_ARTICLE: Final = Formula(
    "first article",
    "t_fa",
    "H * k * (t_k + t_m + t_x) / 60",
    "H k t_k t_m t_x",
    unit="min",
    source="derivation",
)
LOT_TIME: Final = Formula(
    "time of the lot at the machine",
    "t_lot",
    "t_su + t_fa + t_cy + t_ha + t_me + t_to",
    "t_su t_fa t_cy t_ha t_me t_to",
    unit="min",
    source="derivation",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LotLine:
    """One line of where the time of a lot goes."""

    name: str
    varies: Varies
    """The spread that it follows."""
    time_min: float
    """Minutes at the machine."""
    labour_min: float
    """Minutes of the operator."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolUse:
    """What a lot takes of one tool."""

    name: str
    """The tool, as the operations name it."""
    cutting_min: float
    """Minutes in the cut over the lot, trial cuts among them."""
    life_min: float | None
    """Life of one in the cut; null where none is known."""
    used_ratio: float | None
    """Cutters worn, in whole and parts; ``None`` without a life."""
    replacements: int
    """Worn cutters that are changed during the lot."""
    cost: float
    """Money for cutters: the worn share, or every one begun."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotTime:
    """Where the time of a lot goes."""

    quantity: int
    sub_lots: tuple[SubLot, ...]
    started_ratio: float
    """Parts started on average for the good ones."""
    measured: int
    lines: tuple[LotLine, ...]
    tools: tuple[ToolUse, ...]

    @property
    def time_min(self) -> float:
        """Time at the machine [min]."""
        return math.fsum(line.time_min for line in self.lines)

    @property
    def labour_min(self) -> float:
        """Time of the operator [min]."""
        return math.fsum(line.labour_min for line in self.lines)


def lot_time(*, part: PartTime, terms: SettledTerms, trail: Trail | None = None) -> LotTime:
    """Time of a lot from the time of its part.

    Parameters
    ----------
    part : PartTime
    terms : SettledTerms

    Raises
    ------
    OutOfRangeError
        If the learning share is out of range.

    Notes
    -----
    Source: derivation. Scrap is an average: N/(1 - s) parts are started. Every trial cut of the
    first article is made, measured and corrected; the first article itself is one of the parts.
    """
    hands, trials = len(terms.sub_lots), terms.first_article_trials
    started = STARTED(trail, terms.quantity, terms.scrap_share)
    measured = _measured(terms, trail)
    practice = learning.mean_ratio(
        quantity=terms.quantity, learning_share=terms.learning_share, trail=trail
    )
    tools = tuple(_use(tool, part, terms, started, trail) for tool in terms.tools)
    setup_min = SETUP(trail, terms.setup_time_min, hands, terms.hand_change_time_min)
    article_min = FIRST_ARTICLE(
        trail, hands, trials, part.trial_time_s, terms.measure_time_s, terms.correction_time_s
    )
    replaced_min = math.fsum(
        use.replacements * tool.replacement_time_s / 60
        for use, tool in zip(tools, terms.tools, strict=True)
    )
    measuring_min = measured * terms.measure_time_s / 60
    by_hand = _by_hand_lines(part, terms, started * practice, measuring_min)
    LOT_TIME(
        trail,
        setup_min,
        article_min,
        started * part.cycle_time_s / 60,
        started * practice * (part.load_time_s + part.hand_time_s) / 60,
        measuring_min,
        replaced_min,
    )
    return LotTime(
        quantity=terms.quantity,
        sub_lots=terms.sub_lots,
        started_ratio=started,
        measured=measured,
        lines=(
            _attended("set-up", "setup", setup_min),
            _attended("first article", "first-article", article_min),
            *_cycle_lines(part, started, terms.attendance_share),
            *by_hand,
            _attended("worn cutters", "tool", replaced_min),
        ),
        tools=tools,
    )


def _measured(terms: SettledTerms, trail: Trail | None) -> int:
    if not terms.measure_every:
        return 0
    return sum(
        int(MEASURED(trail, sub_lot.quantity, terms.measure_every)) for sub_lot in terms.sub_lots
    )


def _attended(name: str, varies: Varies, minutes: float) -> LotLine:
    return LotLine(name=name, varies=varies, time_min=minutes, labour_min=minutes)


def _cycle_lines(part: PartTime, started: float, attendance_share: float) -> tuple[LotLine, ...]:
    return tuple(
        LotLine(
            name=name,
            varies="cycle",
            time_min=started * each_s / 60,
            labour_min=started * each_s / 60 * attendance_share,
        )
        for name, each_s in (
            ("cutting", part.cutting_time_s),
            ("rapid moves", part.rapid_time_s),
            ("tool changes", part.tool_change_time_s),
            ("spindle start and stop", part.spindle_time_s),
            ("dwells and fixed times", part.other_time_s),
        )
    )


def _by_hand_lines(
    part: PartTime, terms: SettledTerms, practised: float, measuring_min: float
) -> tuple[LotLine, ...]:
    beside_min = practised * part.beside_time_s / 60
    inspection_min = terms.quantity * terms.inspection_time_s / 60
    return (
        _attended("loading", "handling", practised * part.load_time_s / 60),
        _attended("work by hand", "handling", practised * part.hand_time_s / 60),
        _attended("measuring", "handling", measuring_min),
        LotLine(
            name="work beside the machine",
            varies="handling",
            time_min=0.0,
            labour_min=beside_min,
        ),
        LotLine(
            name="inspection beside the machine",
            varies="handling",
            time_min=0.0,
            labour_min=inspection_min,
        ),
    )


def _use(
    tool: SettledTool, part: PartTime, terms: SettledTerms, started: float, trail: Trail | None
) -> ToolUse:
    minutes = TOOL_MINUTES(
        trail,
        started,
        part.tool(tool.name).cutting_time_s,
        len(terms.sub_lots),
        terms.first_article_trials,
        part.tool(tool.name).trial_cutting_time_s,
    )
    if tool.life_min is None:
        used, replacements = None, 0
    else:
        used = minutes / tool.life_min
        replacements = int(REPLACEMENTS(trail, minutes, tool.life_min))
    cutters = (replacements + 1 if minutes > 0 else 0) if tool.charge == "whole" else (used or 0.0)
    return ToolUse(
        name=tool.name,
        cutting_min=minutes,
        life_min=tool.life_min,
        used_ratio=used,
        replacements=replacements,
        cost=cutters * tool.cost,
    )
