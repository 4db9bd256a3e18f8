"""Published worked examples of break-even, ramps, machining time and centripetal acceleration.

Every row of ``data/cutting.csv`` with a function that belongs to times and costs is compared digit
for digit; its column ``source`` names the publication. Rows of cutting data belong to another
module. A row whose printed digits do not follow from its own printed inputs stands in
``NOT_FROM_ITS_INPUTS`` with the reason.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import pytest

from threadwright_service.calc.times.comparing.break_even import WayCost, break_even, total_cost
from threadwright_service.calc.times.lot.cost import cheapest_tool_life_min
from threadwright_service.calc.times.lot.learning import cumulative_ratio
from threadwright_service.calc.times.motion.motion import centripetal_acceleration_m_per_s2
from threadwright_service.calc.times.motion.ramps import cruise_speed_per_s
from threadwright_service.calc.times.operations.hole_operations import length_over_feed_min

Row = dict[str, str]
Inputs = dict[str, str]
DATA = Path(__file__).parent / "data" / "cutting.csv"


def _inputs(row: Row) -> Inputs:
    return dict(part.split("=", 1) for part in row["inputs"].split(";"))


def _break_even(given: Inputs) -> float:
    result = break_even(
        first=WayCost(fixed=float(given["F1"]), each=float(given["c1"])),
        second=WayCost(fixed=float(given["F2"]), each=float(given["c2"])),
    )
    assert result.exact_quantity_ratio is not None
    return result.exact_quantity_ratio


def _break_even_of_lots(given: Inputs) -> tuple[float, int]:
    result = break_even(
        first=WayCost(fixed=float(given["C1"]), setup=float(given["S1"]), each=float(given["c1"])),
        second=WayCost(fixed=float(given["C2"]), setup=float(given["S2"]), each=float(given["c2"])),
        lot_quantity=float(given["b"]),
    )
    assert result.exact_quantity_ratio is not None
    assert result.quantity is not None
    return result.exact_quantity_ratio, result.quantity


def _ramps(given: Inputs) -> float:
    speed, up_s, constant_s, down_s = cruise_speed_per_s(
        distance=float(given["s"]),
        time_s=float(given["T"]),
        acceleration_per_s2=float(given["a"]),
        deceleration_per_s2=float(given["d"]),
    )
    found = {"vmax": speed, "t_acc": up_s, "t_const": constant_s, "t_dec": down_s}
    return found[given["out"]]


CALCULATIONS: dict[str, Callable[[Inputs], float]] = {
    "breakeven": _break_even,
    "breakeven_batch": lambda given: _break_even_of_lots(given)[0],
    "breakeven_batch_ceil": lambda given: _break_even_of_lots(given)[1],
    "total_cost": lambda given: total_cost(
        way=WayCost(fixed=float(given["F"]), each=float(given["c"])), quantity=float(given["n"])
    ),
    "trap_from_time": _ramps,
    "time": lambda given: length_over_feed_min(
        length_mm=float(given["L"]), feed_mm_per_min=float(given["vf"])
    ),
    "centripetal": lambda given: centripetal_acceleration_m_per_s2(
        speed_m_per_s=float(given["v"]), radius_m=float(given["r"])
    ),
}

NOT_FROM_ITS_INPUTS = {
    # Printed 5.085 from a speed of 25.213; the printed speed 25.21 gives 5.084.
    "centripetal 3": "the source computed with more digits of the speed than it prints",
}


def _rows() -> list[Row]:
    with DATA.open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if _inputs(row)["fn"] in CALCULATIONS]


ROWS = _rows()


@pytest.mark.parametrize(
    "row",
    [
        pytest.param(row, id=f"{row['case']}: {row['source']}")
        for row in ROWS
        if row["case"] not in NOT_FROM_ITS_INPUTS
    ],
)
def test_the_printed_digits(row: Row) -> None:
    given = _inputs(row)
    value = CALCULATIONS[given["fn"]](given)
    printed = Decimal(row["value"])
    # Twelve decimals of a binary fraction are the decimal that a hand calculation would round.
    shown = Decimal(f"{value:.12f}").quantize(printed, ROUND_HALF_UP)
    assert shown == printed


def test_all_functions_are_covered() -> None:
    assert len(ROWS) >= 16
    assert {_inputs(row)["fn"] for row in ROWS} >= {
        "breakeven",
        "breakeven_batch_ceil",
        "total_cost",
        "trap_from_time",
        "time",
        "centripetal",
    }


def test_the_row_that_was_printed_from_more_digits() -> None:
    """The printed value lies between those of the ends of the printed speed's last digit."""
    row = next(row for row in ROWS if row["case"] == "centripetal 3")
    given = _inputs(row)
    ends = [
        centripetal_acceleration_m_per_s2(
            speed_m_per_s=float(given["v"]) + half_digit, radius_m=float(given["r"])
        )
        for half_digit in (-0.005, 0.005)
    ]
    assert ends[0] < float(row["value"]) < ends[1]


@pytest.mark.parametrize(
    ("quantity", "share", "factor"),
    [
        # Sums of the unit-time factors, as the learning-curve tables in textbooks of operations
        # management print them; from memory.
        (2, 0.8, "1.800"),
        (3, 0.8, "2.502"),
        (4, 0.8, "3.142"),
        (5, 0.8, "3.738"),
        (10, 0.8, "6.315"),
        (20, 0.8, "10.485"),
        (30, 0.8, "14.020"),
        (10, 0.9, "7.994"),
        (10, 0.7, "4.932"),
    ],
)
def test_learning_curve_tables(quantity: int, share: float, factor: str) -> None:
    value = cumulative_ratio(quantity=quantity, learning_share=share)
    assert Decimal(f"{value:.9f}").quantize(Decimal(factor), ROUND_HALF_UP) == Decimal(factor)


@pytest.mark.parametrize(
    ("part", "share", "factor"),
    [
        # 50, 40 and 32 minutes for the first, second and fourth cycle
        # (business-analysis-made-easy.com, learning curve).
        (2, 0.8, "0.80"),
        (4, 0.8, "0.64"),
        # Table 7S.1, 90 %, twentieth repetition (solution manual of a textbook of operations
        # management, coursepaper.com 978-0078024108, chapter 7S).
        (20, 0.9, "0.634"),
    ],
)
def test_learning_curve_of_one_part(part: int, share: float, factor: str) -> None:
    value = cumulative_ratio(quantity=part, learning_share=share) - cumulative_ratio(
        quantity=part - 1, learning_share=share
    )
    assert Decimal(f"{value:.9f}").quantize(Decimal(factor), ROUND_HALF_UP) == Decimal(factor)


def test_tool_life_of_lowest_cost() -> None:
    """A solved problem: n 0.13, 3 min to change, 3.33 an edge, 0.667 a minute (40 an hour).

    Tool 20, reground 15 times at 2: (20 + 15 * 2) / 15 = 3.33 (answer.ya.guru, question 7309021).
    The page prints the numbers put in, T = (3 + 3.33/0.667)(1/0.13 - 1); by hand 7.9925 * 6.6923.
    """
    life_min = cheapest_tool_life_min(
        taylor_exponent_ratio=0.13, replacement_min=3, edge_cost=3.33, rate_per_min=0.667
    )
    assert life_min == pytest.approx(53.49, abs=0.005)
