"""Published limits and basic dimensions of trapezoidal, Acme, pipe, Whitworth and other threads.

Every row of ``data/other_limits.csv`` for these standards is compared digit for digit; its column
``source`` names the publication it was taken from. A row that is not reproduced stands in
``NOT_REPRODUCED`` with the reason. The metric rows of the file belong to another module.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from decimal import ROUND_DOWN, Decimal
from functools import cache
from pathlib import Path

import pytest

from threadwright_service.calc.threads.designation import tidied
from threadwright_service.calc.threads.registry import Family
from threadwright_service.calc.threads.thread import Span, ThreadLimits
from threadwright_service.calc.threads import iso_2904

Row = dict[str, str]
FILE = Path(__file__).parent / "data" / "other_limits.csv"
NOT_REPRODUCED: dict[tuple[str, str, str, str], str] = {}


def rows() -> list[Row]:
    with FILE.open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if row["standard"] in CHECKS]


@cache
def limits_of(family: Family, text: str) -> ThreadLimits:
    call_out = family.parse(tidied(text))
    assert call_out is not None, text
    return family.limits(call_out)


def limit(thread: ThreadLimits, quantity: str) -> float | None:
    """``ext_minor_max`` and the like."""
    side, diameter, end = quantity.split("_")
    assert thread.side.startswith(side)
    span: Span = getattr(thread.limits, f"{diameter}_diameter")
    return span.max if end == "max" else span.min


def trapezoidal(row: Row) -> float | None:
    thread = limits_of(iso_2904.FAMILY, f"{row['designation']}-{row['class']}")
    return limit(thread, row["quantity"])


CHECKS: dict[str, Callable[[Row], float | None]] = {"DIN 103 / ISO 2903": trapezoidal}


@pytest.mark.parametrize(
    "row",
    rows(),
    ids=lambda row: " ".join(row[key] for key in ("standard", "designation", "class", "quantity")),
)
def test_row(row: Row) -> None:
    key = (row["standard"], row["designation"], row["class"], row["quantity"])
    got = CHECKS[row["standard"]](row)
    assert got is not None
    printed, computed = Decimal(row["value"]), Decimal(f"{got:.9f}")
    if "trunc" in row["quantity"]:  # the catalogue cuts the standard's third decimal off
        computed = computed.quantize(printed, ROUND_DOWN)
    same = computed == printed
    assert same is (key not in NOT_REPRODUCED), f"{got} against {printed}"
