"""Tables for people: what the shell shows of results that no example has."""

from __future__ import annotations

from dataclasses import dataclass

from support.answers import limits_answer
from threadwright.quantities import Length
from threadwright.record import Record
from threadwright.results.lists import StandardSize
from threadwright.results.threads import ThreadLimits
from threadwright.shell.table import rows_table, shown, table


def size(number: int) -> StandardSize:
    return StandardSize(
        series="M", size=f"M{number}", nominal_diameter=number, pitch=1.5, threads_per_inch=None
    )


def test_single_values() -> None:
    assert [shown(value) for value in (None, True, False, 24.0, 0.032, 7, "6g", 1e20)] == [
        "-", "yes", "no", "24", "0.032", "7", "6g", "1e+20",
    ]  # fmt: skip


def test_rows_stand_under_their_heads() -> None:
    assert rows_table([size(8), size(24)], 80).splitlines() == [
        "  series  size  nominal_diameter  pitch  threads_per_inch",
        "  M       M8                   8    1.5                 -",
        "  M       M24                 24    1.5                 -",
    ]


def test_a_wide_table_is_turned() -> None:
    assert rows_table([size(8), size(24)], 40).splitlines()[0].split() == ["series", "M", "M"]
    narrow = rows_table([size(number) for number in range(8, 20)], 30)
    assert narrow.count("nominal_diameter") > 1


def test_members_may_be_chosen() -> None:
    told = rows_table([size(8)], 80, ("size", "pitch"))
    assert told.splitlines() == ["  size  pitch", "  M8      1.5"]


def test_no_rows() -> None:
    assert rows_table([], 80, ("size", "pitch")) == "  size  pitch"


@dataclass(frozen=True, slots=True, kw_only=True)
class Point(Record):
    """A point of some curve."""

    radius: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits(ThreadLimits):
    """A result with a long list, and one with a long name."""

    points: tuple[Point, ...] = ()
    words: tuple[str, ...] = ()


def test_a_long_list_is_cut_and_says_so() -> None:
    answer = limits_answer()
    answer["result"] = {
        **answer["result"],
        "points": [{"radius": number / 100, "angle_deg": 5} for number in range(60)],
        "words": ["a" * 30, "b" * 30, "c" * 30],
        "later": {"depth_um": 3, "names": ["x", "y"]},
    }
    told = table(Limits.from_answer(answer), "limits", 10).splitlines()
    assert "  … 20 more; --format json shows all" in told
    assert "points (60)" in told
    head = told.index("points (60)")
    assert told[head + 1].split() == ["radius", "angle_deg"]
    assert told[head + 2].split() == ["mm", "deg"]
    assert any(line.split() == ["later.depth_um", "3", "µm"] for line in told)
    assert any(line.split() == ["later.names.1", "y"] for line in told)
    assert max(map(len, told)) < 90
