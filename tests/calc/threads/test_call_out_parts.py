"""Parts that several families share in reading: sizes in inch and mm, side words, near sizes."""

from __future__ import annotations

import re

import pytest

from threadwright_service.calc.errors import (
    AmbiguousError,
    CalcError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads import inch_call_out, metric_size
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.registry import Fields
from threadwright_service.calc.threads.rounding_rule import only_rule
from threadwright_service.calc.threads.side_words import side_of, without_side
from threadwright_service.calc.trail import Trail

SERIES = re.compile("XX")


@pytest.mark.parametrize(
    ("text", "size", "count", "rest"),
    [
        ("1 1/2-6 XX-2", "1 1/2", 6, "2"),
        ("1-1/2-6-XX-2", "1 1/2", 6, "2"),
        ("1.500-6XX2", "1 1/2", 6, "2"),
        ("1-5 XX", "1", 5, ""),
        ("XX 1-5 2", "1", 5, "2"),
        ("2-4 1/2 XX", "2", 4.5, ""),
        ("2-4-1/2 XX", "2", 4.5, ""),
        ("1-11.5 XX", "1", 11.5, ""),
        ('3/4" x 10 TPI XX', "3/4", 10, ""),
        (".5 in-10 XX 3", "1/2", 10, "3"),
        ("2.875-0.4P XX", "2 7/8", 2.5, ""),
        ("0.33-10 XX", "0.33", 10, ""),
        ("3/8 XX", "3/8", None, ""),
    ],
)
def test_inch_call_outs(text: str, size: str, count: float | None, rest: str) -> None:
    found = inch_call_out.take_apart(text, SERIES)
    assert found is not None
    assert (found.size, found.threads_per_inch, found.tolerance_class) == (size, count, rest)


@pytest.mark.parametrize(
    ("text", "starts"),
    [
        ("2.875-0.4P-0.8L-XX-3 (Two Start)", 2),
        ("2.500-0.3333P-0.6667L XX", 2),
        ("1-5-0.6L XX", 3),
        ("1-5 XX (4 starts)", 4),
    ],
)
def test_starts_from_lead_or_words(text: str, starts: int) -> None:
    found = inch_call_out.take_apart(text, SERIES)
    assert found is not None
    assert found.starts == starts


@pytest.mark.parametrize(
    ("text", "error", "parameter"),
    [
        ("1-5-0.5L XX", AmbiguousError, "lead"),
        ("1-5-0.4L XX (3 START)", AmbiguousError, "starts"),
        ("1-5-99L XX", OutOfRangeError, "starts"),
        ("1-0.005P XX", OutOfRangeError, "threads_per_inch"),
        ("1-0.0P XX", OutOfRangeError, "threads_per_inch"),
        ("1-999 XX", OutOfRangeError, "threads_per_inch"),
        ("1-1 1/0 XX", OutOfRangeError, "threads_per_inch"),
        ("1/0-5 XX", UnknownDesignationError, "nominal_diameter"),
        ("0-5 XX", OutOfRangeError, "nominal_diameter"),
        ("999-5 XX", OutOfRangeError, "nominal_diameter"),
        ("one-5 XX", UnknownDesignationError, "designation"),
        ("1-5 XX LH RH", AmbiguousError, "hand"),
        ("1-5 XX bolt and nut", AmbiguousError, "side"),
    ],
)
def test_inch_refusals(text: str, error: type[CalcError], parameter: str) -> None:
    with pytest.raises(error) as raised:
        inch_call_out.take_apart(text, SERIES)
    assert raised.value.parameter == parameter


def test_no_series_is_not_ours() -> None:
    assert inch_call_out.take_apart("1-5 YY", SERIES) is None
    assert inch_call_out.take_apart("1-5 LH", re.compile("LH")) is None


def test_a_pitch_that_is_no_rounded_count_stays() -> None:
    found = inch_call_out.take_apart("2-0.137P XX", SERIES)
    assert found is not None
    assert found.threads_per_inch == pytest.approx(1 / 0.137)


def test_inch_fields() -> None:
    found = inch_call_out.from_fields(
        Fields(nominal_diameter="3/4", pitch=1 / 6, starts=2, hand="left", length_unit="in")
    )
    assert (found.diameter_in, found.threads_per_inch, found.starts) == (0.75, 6, 2)
    number = inch_call_out.from_fields(Fields(nominal_diameter=0.75, threads_per_inch=6))
    assert number.size == "3/4"


@pytest.mark.parametrize(
    ("fields", "parameter"),
    [
        (Fields(), "nominal_diameter"),
        (Fields(nominal_diameter=-1.0), "nominal_diameter"),
        (Fields(nominal_diameter="1", pitch=0.2, threads_per_inch=6), "threads_per_inch"),
        (Fields(nominal_diameter="1", pitch=-0.2), "threads_per_inch"),
        (Fields(nominal_diameter="1", starts=0), "starts"),
    ],
)
def test_inch_field_refusals(fields: Fields, parameter: str) -> None:
    with pytest.raises(CalcError) as raised:
        inch_call_out.from_fields(fields)
    assert raised.value.parameter == parameter


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("X32x6", (32, 6, 1, "right", "")),
        ("X 32 x 6 - 7e", (32, 6, 1, "right", "- 7e")),
        ("X20x8(P4)LH-7e", (20, 4, 2, "left", "-7e")),
        ("X20x8 P4-7e LH", (20, 4, 2, "left", "-7e")),
        ("X20x8(P=4)", (20, 4, 2, "right", "")),
        ("X20x12(P4) (3 starts)", (20, 4, 3, "right", "")),
        ("X20*4", (20, 4, 1, "right", "")),
        ("X9", (9, None, 1, "right", "")),
    ],
)
def test_metric_sizes(text: str, expected: tuple[object, ...]) -> None:
    found = metric_size.take_apart(text, re.compile("X"))
    assert found is not None
    assert (found.diameter_mm, found.pitch_mm, found.starts, found.hand, found.rest) == expected


@pytest.mark.parametrize(
    ("text", "parameter"),
    [
        ("X20x8 (2 starts)", "pitch"),
        ("X20x9(P4)", "pitch"),
        ("X20x8(P4) (3 starts)", "starts"),
        ("X20x0", "pitch"),
        ("X0x4", "nominal_diameter"),
        ("X99999x4", "nominal_diameter"),
        ("X20x400(P4)", "starts"),
    ],
)
def test_metric_refusals(text: str, parameter: str) -> None:
    with pytest.raises(CalcError) as raised:
        metric_size.take_apart(text, re.compile("X"))
    assert raised.value.parameter == parameter


@pytest.mark.parametrize("text", ["Y20x4", "X20x4x4", "X", "X20..4"])
def test_metric_texts_that_are_not_ours(text: str) -> None:
    assert metric_size.take_apart(text, re.compile("X")) is None


@pytest.mark.parametrize(
    ("fields", "parameter"),
    [
        (Fields(pitch=4), "nominal_diameter"),
        (Fields(nominal_diameter=20), "pitch"),
        (Fields(nominal_diameter="twenty", pitch=4), "nominal_diameter"),
        (Fields(nominal_diameter=20, pitch=-4), "pitch"),
    ],
)
def test_metric_field_refusals(fields: Fields, parameter: str) -> None:
    with pytest.raises(CalcError) as raised:
        metric_size.from_fields(fields, symbol="Tr")
    assert raised.value.parameter == parameter


@pytest.mark.parametrize(
    ("text", "side"),
    [
        ("1-5 ACME-2G internal", "internal"),
        ("1-5 ACME-2G (NUT)", "internal"),
        ("female 1/2 NPT", "internal"),
        ("1-5 ACME-2G ext.", "external"),
        ("1/4-20 BSW close bolt", "external"),
        ("1-5 ACME-2G", None),
        ("1-5 ACME minute", None),
    ],
)
def test_side_words(text: str, side: str | None) -> None:
    rest, found = without_side(text)
    assert found == side
    assert "internal" not in rest
    assert "NUT" not in rest


def _call_out(*, stated: bool) -> CallOut:
    return CallOut(
        family="acme",
        series="Acme",
        size="1",
        nominal_diameter=1,
        pitch=0.2,
        tolerance_class="2G",
        side="external",
        side_stated=stated,
    )


def test_an_open_side_is_assumed_aloud() -> None:
    trail = Trail()
    assert side_of(_call_out(stated=False), None, trail, reason="open") == "external"
    assert [each.parameter for each in trail.assumptions] == ["side"]


def test_a_given_side_settles_an_open_one_and_contradicts_a_stated_one() -> None:
    trail = Trail()
    assert side_of(_call_out(stated=False), "internal", trail, reason="open") == "internal"
    assert not trail.assumptions
    with pytest.raises(AmbiguousError):
        side_of(_call_out(stated=True), "internal", trail, reason="open")


def test_rounding_rules() -> None:
    only_rule(None)
    only_rule("table")
    with pytest.raises(UnknownDesignationError):
        only_rule("b130")


def test_missing_pitch_of_a_lead() -> None:
    with pytest.raises(UnknownDesignationError):
        inch_call_out.take_apart("1-0.8L XX", SERIES)
