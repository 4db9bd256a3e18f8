"""The rounding at the edge against decimal arithmetic on the exact value of the binary number."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_EVEN, Context, Decimal

from hypothesis import given
from hypothesis import strategies as st

from threadwright_service.calc.rounding import nearest

WIDE = Context(prec=400)
SIZES = st.floats(allow_nan=False, allow_infinity=False) | st.floats(-1000, 1000)


@given(SIZES, st.integers(0, 9))
def test_nearest_is_the_correctly_rounded_number(value: float, places: int) -> None:
    step = Decimal(1).scaleb(-places)
    wanted = Decimal(value).quantize(step, ROUND_HALF_EVEN, WIDE)
    assert nearest(value, places) == float(wanted)


@given(st.integers(-10_000_000, 10_000_000), st.integers(0, 6), st.integers(-2, 2))
def test_around_a_tie_the_binary_number_decides(units: int, places: int, steps: int) -> None:
    value = (units + 0.5) / 10**places
    for _ in range(abs(steps)):
        value = math.nextafter(value, math.copysign(math.inf, steps))
    wanted = Decimal(value).quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN, WIDE)
    assert nearest(value, places) == float(wanted)


@given(st.floats(-0.4, 0.0), st.integers(0, 6))
def test_there_is_no_negative_zero(value: float, places: int) -> None:
    assert math.copysign(1.0, nearest(value / 10**places, places)) == 1.0
