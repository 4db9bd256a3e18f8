"""The draws of a lot's band against the standard library's own triangular draws."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from threadwright_service.calc.times.lot.settled_terms import Spreads
from threadwright_service.calc.times.lot.spread import KINDS, drawn

SPREADS = Spreads(
    cycle_share=0.1,
    handling_share=0.25,
    setup_share=0.3,
    first_article_share=0.5,
    tool_life_share=0.4,
    samples=400,
    seed=7,
)


@pytest.mark.parametrize("spreads", [SPREADS, replace(SPREADS, handling_share=0.0, seed=11)])
def test_factors_are_triangular_draws_of_each_kind_in_turn(spreads: Spreads) -> None:
    shares = {
        "setup": spreads.setup_share,
        "first-article": spreads.first_article_share,
        "cycle": spreads.cycle_share,
        "handling": spreads.handling_share,
        "tool-life": spreads.tool_life_share,
    }
    draw = Random(spreads.seed).triangular
    wanted: dict[str, list[float]] = {kind: [] for kind in KINDS}
    for _ in range(spreads.samples):
        for kind in KINDS:
            wanted[kind].append(draw(1 - shares[kind], 1 + shares[kind], 1.0))
    assert drawn(spreads) == wanted
