"""The search for a root: it finds it, and it ends whatever the function."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from threadwright_service.calc.milling.loads.peak import root


def counted(function: Callable[[float], float]) -> tuple[Callable[[float], float], list[float]]:
    places: list[float] = []

    def called(place: float) -> float:
        places.append(place)
        return function(place)

    return called, places


@pytest.mark.parametrize(
    ("function", "low", "high", "expected"),
    [
        (lambda x: x * x - 2, 0.0, 2.0, math.sqrt(2)),
        (lambda x: math.cos(x) - x, 0.0, 1.0, 0.7390851332151607),  # Dottie's number
        (lambda x: x**0.75 - 0.3, 0.0, 1.0, 0.3 ** (4 / 3)),
        (lambda x: math.expm1(5 * x) - 1, -1.0, 1.0, math.log(2) / 5),
    ],
)
def test_root_of_a_smooth_function_takes_few_steps(
    function: Callable[[float], float], low: float, high: float, expected: float
) -> None:
    called, places = counted(function)
    assert root(called, low, high) == pytest.approx(expected, abs=1e-6)
    assert len(places) < 14


@pytest.mark.parametrize("small", [1.0, 1e-3, 1e-9])
@pytest.mark.parametrize("jump", [1e-6, 0.3, 0.999999])
@pytest.mark.parametrize("sign", [1, -1])
def test_root_at_a_jump_ends(small: float, jump: float, sign: int) -> None:
    # D: halving at every other step at the least narrows to a billionth within 60 steps.
    called, places = counted(lambda x: sign * (-small if x < jump else 1.0))
    assert root(called, 0.0, 1.0, 1e-12) == pytest.approx(jump, abs=1e-5)
    assert len(places) < 120
