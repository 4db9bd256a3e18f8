"""The band of a lot's time and cost from the spreads of its inputs: a quote is a bet.

Each kind of time is drawn from a triangular spread about its stated value, all kinds independent of
one another, within a kind all together (a cutter that cuts slower does so on every part). Scrap is
an average here as everywhere; the luck of a single lot is not in the band.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil, floor, fsum, sqrt
from random import Random
from types import MappingProxyType
from typing import Final, Literal

from threadwright_service.calc.times.lot.cost import minutes_cost
from threadwright_service.calc.times.lot.lot import LotTime
from threadwright_service.calc.times.lot.settled_terms import SettledTerms, SettledTool, Spreads

LEVEL_SHARE: Final = 0.9
"""The band holds nine of ten lots: from the 5th to the 95th of a hundred."""

Kind = Literal["setup", "first-article", "cycle", "handling", "tool-life"]
KINDS: Final[tuple[Kind, ...]] = ("setup", "first-article", "cycle", "handling", "tool-life")
_PLAIN_KINDS: Final[tuple[Kind, ...]] = ("setup", "first-article", "cycle", "handling")


@dataclass(frozen=True, slots=True, kw_only=True)
class Contribution:
    """The lot with one kind of time at its lowest and highest, the others as stated."""

    kind: Kind
    """Kind of time or life that is spread."""
    share: float
    """Half width of its spread, as a share of the stated value."""
    low: float
    """Cost or minutes of the lot at the better end of that spread."""
    high: float
    """Cost or minutes of the lot at the worse end of that spread."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """The band of a lot."""

    of: Literal["cost", "time_min"]
    """What ``low`` and ``high`` are of: the cost, or the minutes where there is no rate."""
    low: float
    """One lot in twenty stays below."""
    high: float
    """One lot in twenty goes above."""
    mean: float
    """Mean of all draws."""
    time_low_min: float
    """Machine time that one lot in twenty stays below."""
    time_high_min: float
    """Machine time that one lot in twenty goes above."""
    level_share: float
    """Share of the drawn lots that lie between low and high."""
    samples: int
    """Lots that were drawn."""
    seed: int
    """Start of the random numbers; the same one draws the same lots."""
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
    times_min, costs = _outcomes(model, drawn(terms.spreads))
    ordered = sorted(costs if terms.priced else times_min)
    ordered_min = sorted(times_min)
    return Spread(
        of="cost" if terms.priced else "time_min",
        low=_quantile(ordered, (1 - LEVEL_SHARE) / 2),
        high=_quantile(ordered, (1 + LEVEL_SHARE) / 2),
        mean=fsum(ordered) / len(ordered),
        time_low_min=_quantile(ordered_min, (1 - LEVEL_SHARE) / 2),
        time_high_min=_quantile(ordered_min, (1 + LEVEL_SHARE) / 2),
        level_share=LEVEL_SHARE,
        samples=terms.spreads.samples,
        seed=terms.spreads.seed,
        contributions=_contributions(model, _shares(terms.spreads), priced=terms.priced),
    )


def _shares(spreads: Spreads) -> Mapping[Kind, float]:
    return MappingProxyType(
        {
            "setup": spreads.setup_share,
            "first-article": spreads.first_article_share,
            "cycle": spreads.cycle_share,
            "handling": spreads.handling_share,
            "tool-life": spreads.tool_life_share,
        }
    )


def drawn(spreads: Spreads) -> dict[Kind, list[float]]:
    """Factors of each kind, drawn from a triangle about 1, one draw of every kind after another.

    The same numbers as ``Random.triangular`` gives, all draws of a kind at once.

    Notes
    -----
    Source: derivation, the inverse of the triangle's cumulative share.
    """
    random = Random(spreads.seed).random  # noqa: S311 - a band, not a secret
    places = [random() for _ in range(spreads.samples * len(KINDS))]
    shares = _shares(spreads)
    factors: dict[Kind, list[float]] = {}
    for first, kind in enumerate(KINDS):
        low, high = 1 - shares[kind], 1 + shares[kind]
        if high == low:
            factors[kind] = [low] * spreads.samples
            continue
        width, peak = high - low, (1.0 - low) / (high - low)
        fall = 1.0 - peak
        factors[kind] = [
            low + width * sqrt(place * peak)
            if place <= peak
            else high - width * sqrt((1.0 - place) * fall)
            for place in places[first :: len(KINDS)]
        ]
    return factors


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


def _outcomes(
    model: _Model, factors: Mapping[Kind, list[float]]
) -> tuple[list[float], list[float]]:
    """Minutes and money of the lot, each kind of time multiplied by each of its factors in turn."""
    plain = [factors[kind] for kind in _PLAIN_KINDS]
    minutes, money = ([of[kind] for kind in _PLAIN_KINDS] for of in (model.minutes, model.money))
    times_min = [
        minutes[0] * a + minutes[1] * b + minutes[2] * c + minutes[3] * d
        for a, b, c, d in zip(*plain, strict=True)
    ]
    fixed = model.fixed_money
    costs = [
        fixed + money[0] * a + money[1] * b + money[2] * c + money[3] * d
        for a, b, c, d in zip(*plain, strict=True)
    ]
    for tool, cutting_min in model.tools:
        for index, (slower, longer) in enumerate(
            zip(factors["cycle"], factors["tool-life"], strict=True)
        ):
            worn_min, worn_money = _of_tool(tool, cutting_min * slower, longer, model.rate_per_min)
            times_min[index] += worn_min
            costs[index] += worn_money
    return times_min, costs


def _of_tool(
    tool: SettledTool, cutting_min: float, longer: float, rate_per_min: float
) -> tuple[float, float]:
    """Minutes for changing a worn cutter, and its money; ``longer`` is the factor on its life."""
    used, replacements = 0.0, 0
    if tool.life_min is not None:
        used = cutting_min / (tool.life_min * longer)
        replacements = max(0, ceil(used - 1e-9) - 1)
    replaced_min = replacements * tool.replacement_time_s / 60
    whole = replacements + 1 if cutting_min > 0 else 0
    cutters = whole if tool.charge == "whole" else used
    return replaced_min, replaced_min * rate_per_min + tool.cost * cutters


def _contributions(
    model: _Model, shares: Mapping[Kind, float], *, priced: bool
) -> tuple[Contribution, ...]:
    found = []
    for kind in KINDS:
        stated = {each: [1.0, 1.0] for each in KINDS}
        ends = _outcomes(model, {**stated, kind: [1 - shares[kind], 1 + shares[kind]]})[int(priced)]
        found.append(Contribution(kind=kind, share=shares[kind], low=min(ends), high=max(ends)))
    return tuple(sorted(found, key=lambda each: each.low - each.high))


def _quantile(ordered: list[float], share: float) -> float:
    """The value below which a share of the draws lies, between two neighbours in proportion."""
    place = share * (len(ordered) - 1)
    below = floor(place)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (place - below) * (ordered[above] - ordered[below])
