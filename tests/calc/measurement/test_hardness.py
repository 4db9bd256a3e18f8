"""Hardness conversion: refusals, interpolation, tables kept apart."""

from __future__ import annotations

import csv
import math
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from threadwright_service.calc.errors import (
    CalcError,
    NotTabulatedError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.measurement.hardness.hardness import brinell, convert
from threadwright_service.calc.measurement.hardness.hardness_tables import (
    SCALES,
    Line,
    hardness_tables,
    materials,
)
from threadwright_service.calc.trail import Trail

TABLE = Path(__file__).parents[2] / "published" / "data" / "hardness_table.csv"


def _column_pairs(table: str, given_column: str, converted: str) -> list[tuple[float, float]]:
    with TABLE.open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["table"] == table]
    return sorted(
        {
            (float(row[given_column]), float(row[converted]))
            for row in rows
            if row[given_column] and row[converted]
        }
    )


@pytest.mark.parametrize(
    ("table", "given_column", "converted", "most"),
    [
        # Derived: the error of leaving out a row bounds that of interpolating inside half the gap.
        ("E140_T1", "HRC", "HV", 2.5),
        ("E140_T1", "HRC", "HBW", 2.5),
        ("E140_T1", "HV", "HRC", 0.2),
        ("E140_T1", "HBW", "HRC", 0.2),
        ("ISO18265_A1", "HV", "HRC", 0.2),
        ("ISO18265_A1", "HV", "Rm_MPa", 6.0),
        ("J417_by_HB", "HB_unspecified", "HRC", 0.2),
    ],
)
def test_the_stated_error_of_the_straight_line(
    table: str, given_column: str, converted: str, most: float
) -> None:
    pairs = _column_pairs(table, given_column, converted)
    for before, left_out, after in zip(pairs, pairs[1:], pairs[2:], strict=False):
        share = (left_out[0] - before[0]) / (after[0] - before[0])
        line = before[1] + share * (after[1] - before[1])
        assert abs(line - left_out[1]) <= most + 1e-9, left_out


def test_between_two_rows_the_line_and_the_rows_are_told() -> None:
    # ASTM E140, table 1: 42 HRC is 390 HB, 43 HRC is 400 HB; a quarter of the way is 392.5.
    trail = Trail(steps=[])
    answer = convert(value=42.25, scale="HRC", to="HBW", trail=trail)
    assert answer.value == pytest.approx(392.5, abs=1e-9)
    assert answer.printed is False
    assert [(row.given, row.converted) for row in answer.rows] == [(42, 390), (43, 400)]
    assert answer.report == "392 HBW (42.25 HRC)"
    assert trail.steps is not None
    assert trail.steps[-1].value == answer.value
    assert {"table", "material"} <= {each.parameter for each in trail.assumptions}


def test_every_conversion_names_one_table_and_uses_its_rows() -> None:
    for value, scale in ((45, "HRC"), (90, "HRB"), (300, "HV"), (900, "Rm"), (200, "HB")):
        for found in convert(value=value, scale=scale).conversions:
            if not found.table:
                assert found.scale == scale or {found.scale, scale} <= {"HB", "HBW", "Rm", "Rm-ksi"}
                continue
            lines = hardness_tables()[found.table].lines(scale, found.scale)
            assert any(
                {(row.given, row.converted) for row in found.rows}
                <= {(point.given, point.converted) for point in line.points}
                for line in lines
            )


def _lines() -> list[tuple[str, str, str, Line]]:
    return [
        (key, scale, to, line)
        for key, table in hardness_tables().items()
        for scale in SCALES
        for to in SCALES
        if scale != to
        for line in table.lines(scale, to)
    ]


def test_every_line_rises() -> None:
    for key, scale, to, line in _lines():
        for lower, upper in pairwise(line.points):
            told = f"{key} {scale} {to} at {upper.given}"
            assert lower.given <= upper.given, told
            assert lower.converted <= upper.converted, told


@given(st.floats(20, 68), st.floats(20, 68), st.sampled_from(["HV", "HRA"]))
def test_harder_is_never_converted_to_softer(one: float, other: float, to: str) -> None:
    low, high = sorted((one, other))
    first = convert(value=low, scale="HRC", to=to).value
    second = convert(value=high, scale="HRC", to=to).value
    assert first is not None
    assert second is not None
    assert first <= second


@given(st.floats(20, 65))
def test_there_and_back_in_one_table(hrc: float) -> None:
    there = convert(value=hrc, scale="HRC", to="HV", table="E140_T1").value
    assert there is not None
    back = convert(value=there, scale="HV", to="HRC", table="E140_T1").value
    assert back == pytest.approx(hrc, abs=1e-9)


@given(st.floats() | st.floats(1, 1200), st.sampled_from(SCALES))
def test_any_number_is_answered_or_refused(value: float, scale: str) -> None:
    refusal: CalcError | None = None
    try:
        answer = convert(value=value, scale=scale)
    except CalcError as raised:
        refusal = raised
    if refusal is None:
        assert all(math.isfinite(found.value) for found in answer.conversions)
    else:
        assert refusal.detail
        assert refusal.parameter == "value"
        assert refusal.accepted


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 0.0, -5.0])
def test_numbers_that_are_no_hardness(value: float) -> None:
    with pytest.raises(OutOfRangeError) as refusal:
        convert(value=value, scale="HRC", to="HB")
    assert refusal.value.parameter == "value"


@pytest.mark.parametrize(
    ("value", "scale", "to"),
    [
        (19.9, "HRC", "HB"),  # below the scale and the tables
        (68.1, "HRC", "HV"),
        (67, "HRC", "HB"),  # no table prints Brinell there
        (941, "HV", "HRC"),
        (79, "HV", "Rm"),  # ISO 18265 table A.1 begins at 80
        (101, "HRB", "HV"),  # beyond the end of the scale
        (35, "HRC", "HRB"),  # would be 108 HRB
    ],
)
def test_refused_outside_the_tables(value: float, scale: str, to: str) -> None:
    with pytest.raises(OutOfRangeError) as refusal:
        convert(value=value, scale=scale, to=to)
    assert refusal.value.accepted


@pytest.mark.parametrize("value", [20, 68])
def test_the_ends_of_the_table_are_inside(value: float) -> None:
    assert convert(value=value, scale="HRC", to="HV").printed


def test_a_named_table_is_not_left() -> None:
    with pytest.raises(OutOfRangeError, match="60 HRC is outside"):
        convert(value=60, scale="HRC", to="HV", table="ISO18265_A1")
    with pytest.raises(NotTabulatedError) as refusal:
        convert(value=40, scale="HRC", to="HRB", table="E140_T1")
    assert refusal.value.parameter == "table"


def test_a_parenthesised_rockwell_b_needs_the_tables_name() -> None:
    trail = Trail()
    answer = convert(value=352, scale="HB", to="HRB", table="J417_by_HB", trail=trail)
    assert answer.value == 110
    assert "outside-rockwell-b" in {each.code for each in trail.cautions}


@pytest.mark.parametrize(
    "material",
    ["austenitic-steel", "Cast Iron", "cold_worked_steel", "titanium alloy", "non-ferrous"],
)
def test_materials_that_the_tables_are_not_for(material: str) -> None:
    with pytest.raises(NotTabulatedError) as refusal:
        convert(value=40, scale="HRC", to="HB", material=material)
    assert refusal.value.parameter == "material"
    assert "tool-steel" in refusal.value.accepted


def test_a_material_that_is_near_the_scope_is_told_so() -> None:
    trail = Trail()
    convert(value=42, scale="HRC", to="HB", material="precipitation-hardening steel", trail=trail)
    (told,) = [each.detail for each in trail.cautions if each.code == "outside-scope"]
    assert told.startswith("The table was not made for ")


def test_tool_steel_takes_the_table_that_names_it_for_tensile_strength() -> None:
    assert convert(value=40, scale="HRC", to="Rm", material="tool-steel").table == "E140_T1"
    assert convert(value=40, scale="HRC", to="Rm", material="low-alloy-steel").table == (
        "ISO18265_A1"
    )


@pytest.mark.parametrize(
    ("scale", "to", "material", "table", "parameter"),
    [
        ("HRX", None, None, None, "scale"),
        ("HRC", "Mohs", None, None, "to"),
        ("HRC", None, "cheese", None, "material"),
        ("HRC", None, None, "E18", "table"),
    ],
)
def test_unknown_words(
    scale: str, to: str | None, material: str | None, table: str | None, parameter: str
) -> None:
    with pytest.raises(UnknownDesignationError) as refusal:
        convert(value=40, scale=scale, to=to, material=material, table=table)
    assert refusal.value.parameter == parameter
    assert refusal.value.accepted


@pytest.mark.parametrize(
    ("spelling", "value", "scale"),
    [
        ("hrc", 30, "HRC"),
        ("Rockwell C", 30, "HRC"),
        ("BHN", 300, "HB"),
        ("N/mm2", 900, "Rm"),
        ("ksi", 130, "Rm-ksi"),
    ],
)
def test_spellings(spelling: str, value: float, scale: str) -> None:
    assert convert(value=value, scale=spelling).given_scale == scale


def test_a_row_from_memory_is_told() -> None:
    # The one value that a reprint of ASTM E140 contradicts (it prints 64.8): both are told.
    trail = Trail()
    answer = convert(value=29, scale="HRC", to="HRA", trail=trail)
    assert answer.basis is not None
    assert "memory" in answer.basis
    assert "64.8" in answer.basis
    assert "from-memory" in {each.code for each in trail.cautions}


def test_the_two_balls_part_above_450() -> None:
    # ASTM E140, table 1: 52 HRC is 500 HB with a steel ball and 512 HB with a carbide ball.
    trail = Trail()
    assert convert(value=500, scale="HBS", to="HBW", trail=trail).value == 512
    assert "steel-ball" in {each.code for each in trail.cautions}
    # A table that does not name the ball speaks for the carbide ball only.
    with pytest.raises(CalcError):
        convert(value=500, scale="HBS", to="HV", table="ISO18265_A1")
    assert convert(value=300, scale="HBW", to="Rm", table="ISO18265_A1").value == pytest.approx(
        995 + 5 / 9 * 35
    )


def test_ksi_and_mpa_are_one_quantity() -> None:
    # 1 ksi = 6.894757 MPa (NIST SP 811).
    assert convert(value=100, scale="ksi", to="Rm").value == pytest.approx(689.4757, abs=1e-4)
    assert convert(value=689.4757, scale="Rm", to="ksi").value == pytest.approx(100, abs=1e-5)


def test_brinell_for_the_cutting_data() -> None:
    # ASTM E140, table 1; Brinell given as such is not touched, with either ball up to 450.
    assert brinell(58, "HRC") == 615
    assert brinell(200, "HB") == 200
    assert brinell(200, "HBW") == 200
    for value, scale in ((70.0, "HRC"), (1e9, "HB"), (math.nan, "HB")):
        with pytest.raises(OutOfRangeError):
            brinell(value, scale)


def test_every_material_row_gives_a_reason_where_it_is_not_plain() -> None:
    for name, row in materials().items():
        answers = {row["e140"], row["iso18265"], row["bs860"]}
        assert answers <= {"yes", "near", "no"}, name
        assert bool(row["reason"]) == (answers != {"yes"}), name
