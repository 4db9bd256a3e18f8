"""The band of a lot's time and cost from the spreads of its inputs: a quote is a bet.

Each kind of time is drawn from a triangular spread about its stated value, all kinds independent of
one another, within a kind all together (a cutter that cuts slower does so on every part). Scrap is
an average here as everywhere; the luck of a single lot is not in the band.
"""

from __future__ import annotations

import math
import random
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

from threadwright_service.calc.times.cost import minutes_cost
from threadwright_service.calc.times.lot import LotTime
from threadwright_service.calc.times.settled_terms import SettledTerms, SettledTool

LEVEL_SHARE: Final = 0.9
"""The band holds nine of ten lots: from the 5th to the 95th of a hundred."""

Kind = Literal["setup", "first-article", "cycle", "handling", "tool-life"]
KINDS: Final[tuple[Kind, ...]] = ("setup", "first-article", "cycle", "handling", "tool-life")


@dataclass(frozen=True, slots=True, kw_only=True)
class Contribution:
    """The lot with one kind of time at its lowest and highest, the others as stated."""

    kind: Kind
    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
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
class _Model:
    """A lot reduced to what the spreads act on."""

    minutes: Mapping[str, float]
    money: Mapping[str, float]
    fixed_money: float
    tools: tuple[tuple[SettledTool, float], ...]
    rate_per_min: float


def spread(*, lot: LotTime, terms: SettledTerms) -> Spread:
    """The band of a lot's cost, or of its time where there is no rate.

    Parameters
    ----------
    lot : LotTime
    terms : SettledTerms
        With the spreads, the seed and the number of draws.

    Notes
    -----
    Source: derivation (Monte Carlo with the seed that is stated in the answer).
    """
    model = _model(lot, terms)
    shares = _shares(terms)
    draw = random.Random(terms.spreads.seed).triangular  # noqa: S311 - a band, not a secret
    times_min: list[float] = []
    costs: list[float] = []
    for _ in range(terms.spreads.samples):
        factors = {kind: draw(1 - shares[kind], 1 + shares[kind], 1.0) for kind in KINDS}
        time_min, cost = _outcome(model, factors)
        times_min.append(time_min)
        costs.append(cost)
    drawn = costs if terms.priced else times_min
    return Spread(
        of="cost" if terms.priced else "time_min",
        low=_quantile(drawn, (1 - LEVEL_SHARE) / 2),
        high=_quantile(drawn, (1 + LEVEL_SHARE) / 2),
        mean=math.fsum(drawn) / len(drawn),
        time_low_min=_quantile(times_min, (1 - LEVEL_SHARE) / 2),
        time_high_min=_quantile(times_min, (1 + LEVEL_SHARE) / 2),
        level_share=LEVEL_SHARE,
        samples=terms.spreads.samples,
        seed=terms.spreads.seed,
        contributions=_contributions(model, shares, priced=terms.priced),
    )


def _shares(terms: SettledTerms) -> Mapping[Kind, float]:
    spreads = terms.spreads
    return MappingProxyType(
        {
            "setup": spreads.setup_share,
            "first-article": spreads.first_article_share,
            "cycle": spreads.cycle_share,
            "handling": spreads.handling_share,
            "tool-life": spreads.tool_life_share,
        }
    )


def _model(lot: LotTime, terms: SettledTerms) -> _Model:
    minutes: dict[str, float] = dict.fromkeys(KINDS, 0.0)
    money: dict[str, float] = dict.fromkeys(KINDS, 0.0)
    for line in lot.lines:
        # The time of worn cutters steps with their number; it is found anew for each draw.
        if line.varies != "tool":
            minutes[line.varies] += line.time_min
            money[line.varies] += minutes_cost(
                time_min=line.time_min, labour_min=line.labour_min, terms=terms
            )
    return _Model(
        minutes=minutes,
        money=money,
        fixed_money=lot.started_ratio * terms.material_cost + terms.fixture_cost,
        tools=tuple(
            (tool, use.cutting_min) for tool, use in zip(terms.tools, lot.tools, strict=True)
        ),
        rate_per_min=minutes_cost(time_min=1.0, labour_min=1.0, terms=terms),
    )


def _outcome(model: _Model, factors: Mapping[Kind, float]) -> tuple[float, float]:
    """Minutes and money of the lot with each kind of time multiplied by its factor."""
    time_min, cost = 0.0, model.fixed_money
    for kind in ("setup", "first-article", "cycle", "handling"):
        time_min += model.minutes[kind] * factors[kind]
        cost += model.money[kind] * factors[kind]
    for tool, cutting_min in model.tools:
        minutes = cutting_min * factors["cycle"]
        used, replacements = 0.0, 0
        if tool.life_min is not None:
            used = minutes / (tool.life_min * factors["tool-life"])
            replacements = max(0, math.ceil(used - 1e-9) - 1)
        replaced_min = replacements * tool.replacement_time_s / 60
        time_min += replaced_min
        cost += replaced_min * model.rate_per_min
        whole = replacements + 1 if minutes > 0 else 0
        cost += tool.cost * (whole if tool.charge == "whole" else used)
    return time_min, cost


def _contributions(
    model: _Model, shares: Mapping[Kind, float], *, priced: bool
) -> tuple[Contribution, ...]:
    found = []
    for kind in KINDS:
        ends = [
            _outcome(model, {**dict.fromkeys(KINDS, 1.0), kind: factor})[int(priced)]
            for factor in (1 - shares[kind], 1 + shares[kind])
        ]
        found.append(Contribution(kind=kind, share=shares[kind], low=min(ends), high=max(ends)))
    return tuple(sorted(found, key=lambda each: each.low - each.high))


def _quantile(values: list[float], share: float) -> float:
    """The value below which a share of the draws lies, between two neighbours in proportion."""
    ordered = sorted(values)
    place = share * (len(ordered) - 1)
    below = math.floor(place)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (place - below) * (ordered[above] - ordered[below])
