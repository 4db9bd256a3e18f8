"""Parallel pipe threads G: call-outs and classes. Limits: tests/published."""

from __future__ import annotations

import pytest

from threadwright_service.calc.errors import (
    AmbiguousError,
    CalcError,
    MissingInputError,
    NotTabulatedError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.pipe import iso_228_1, whitworth_pipe
from threadwright_service.calc.threads.registry import Fields
from threadwright_service.calc.threads.thread import Span, ThreadLimits
from threadwright_service.calc.trail import Trail
from threadwright_service.calc.units import MM_PER_IN


def of(text: str, tolerance_class: str | None = None) -> ThreadLimits:
    call_out = iso_228_1.parse(text, tolerance_class)
    assert call_out is not None
    return iso_228_1.limits(call_out)


def test_recalled_limits() -> None:
    """ISO 228-1 Table 1, the row of 1/2, recalled, not read."""
    screw, nut = of("G1/2 A").limits, of("G1/2").limits
    assert screw.major_diameter == Span(max=20.955, min=20.671)
    assert screw.pitch_diameter == Span(max=19.793, min=19.651)
    assert screw.minor_diameter == Span(max=None, min=None)
    assert nut.minor_diameter == Span(max=19.172, min=18.631)
    assert nut.pitch_diameter == Span(max=19.935, min=19.793)
    assert nut.major_diameter == Span(max=None, min=20.955)
    assert of("G1/2 B").limits.pitch_diameter == Span(max=19.793, min=19.509)


@pytest.mark.parametrize(
    ("text", "normal"),
    [
        ("G1/2 A", "G1/2 A"),
        ("G1/2A", "G1/2 A"),
        ("g 1/2-a", "G1/2 A"),
        ("G 3/4", "G3/4"),
        ("G1 1/2 B LH", "G1 1/2 B LH"),
        ("G1-1/2 B", "G1 1/2 B"),
        ("G0.5 A", "G1/2 A"),
        ('G1/2" A', "G1/2 A"),
        ("1/2 BSPP", "G1/2"),
        ("1/2-14 BSPP A", "G1/2 A"),
        ("BSPP 1/2 x 14", "G1/2"),
        ("G 2 internal", "G2"),
    ],
)
def test_spellings_and_their_normal_form(text: str, normal: str) -> None:
    thread = of(text)
    assert thread.designation == normal
    assert of(normal) == thread


@pytest.mark.parametrize(
    ("text", "error", "parameter"),
    [
        ("G1/3 A", NotTabulatedError, "nominal_diameter"),
        ("G7", NotTabulatedError, "nominal_diameter"),
        ("G1/2 C", UnknownDesignationError, "tolerance_class"),
        ("G1/2 external", MissingInputError, "tolerance_class"),
        ("G1/2 A internal", AmbiguousError, "side"),
        ("1/2 BSP", AmbiguousError, "designation"),
        ("1/2 BSPT", AmbiguousError, "designation"),
        ("1/2-11 BSPP", UnknownDesignationError, "threads_per_inch"),
        ("G1/2 A LH RH", AmbiguousError, "hand"),
        ("G1/2 A (2 START)", NotTabulatedError, "starts"),
    ],
)
def test_refusals(text: str, error: type[CalcError], parameter: str) -> None:
    with pytest.raises(error) as raised:
        of(text)
    assert raised.value.parameter == parameter
    assert raised.value.accepted


def test_near_sizes_are_named() -> None:
    with pytest.raises(NotTabulatedError) as raised:
        of("G1/3 A")
    assert "1/4" in raised.value.accepted
    assert "3/8" in raised.value.accepted


def test_class_beside_the_text() -> None:
    assert of("G1/2", "a") == of("G1/2 A")
    with pytest.raises(AmbiguousError):
        of("G1/2 A", "B")


def test_the_inside_thread_is_assumed_aloud_without_class_or_side() -> None:
    for text, said in (("G1/2", False), ("G1/2 A", True), ("G1/2 nut", True)):
        trail = Trail()
        call_out = iso_228_1.parse(text)
        assert call_out is not None
        iso_228_1.limits(call_out, trail=trail)
        assert [each.parameter for each in trail.assumptions] == ([] if said else ["side"])


def test_side_beside_the_call_out() -> None:
    call_out = iso_228_1.parse("G1/2")
    assert call_out is not None
    assert iso_228_1.limits(call_out, side="internal") == of("G1/2")
    with pytest.raises(MissingInputError) as raised:
        iso_228_1.limits(call_out, side="external")
    assert raised.value.parameter == "tolerance_class"


@pytest.mark.parametrize("size", ["1/2", "G1/2", 0.5, 12.7, 20.955])
def test_fields(size: str | float) -> None:
    call_out = iso_228_1.read(Fields(series="G", nominal_diameter=size, tolerance_class="A"))
    assert iso_228_1.limits(call_out) == of("G1/2 A")


@pytest.mark.parametrize("size", [None, 13.0, "thirteen", -1.0])
def test_field_refusals(size: str | float | None) -> None:
    with pytest.raises(CalcError) as raised:
        iso_228_1.read(Fields(series="G", nominal_diameter=size))
    assert raised.value.parameter == "nominal_diameter"


def test_a_class_field_that_is_none() -> None:
    with pytest.raises(UnknownDesignationError) as raised:
        iso_228_1.read(Fields(series="G", nominal_diameter="1/2", tolerance_class="C"))
    assert raised.value.parameter == "tolerance_class"


def test_sizes_in_inch_give_the_millimetres() -> None:
    """BS 21 inch gauge diameters, recalled: ISO 228-1 is those times 25.4, 1/16 excepted."""
    for name, row in whitworth_pipe.all_sizes().items():
        slack = 0.002 if name == "1/16" else 0.0005
        assert row.bs_21_in * MM_PER_IN == pytest.approx(row.major_diameter_mm, abs=slack)
    assert len(iso_228_1.sizes()) == 24
