"""Metric buttress threads: a recalled profile, without limits."""

from __future__ import annotations

import math

import pytest

from threadwright_service.calc.errors import (
    CalcError,
    InfeasibleError,
    MissingInputError,
    NotTabulatedError,
)
from threadwright_service.calc.threads.buttress import din_513
from threadwright_service.calc.threads.registry import Fields
from threadwright_service.calc.threads.thread import NO_LIMIT, ThreadLimits
from threadwright_service.calc.trail import Trail


def of(text: str, *, trail: Trail | None = None) -> ThreadLimits:
    call_out = din_513.parse(text)
    assert call_out is not None
    return din_513.limits(call_out, trail=trail)


def test_recalled_dimensions() -> None:
    """DIN 513, the row S 40x7, recalled to 0.01 mm: d2 34.75, D1 29.50, d3 27.85, R 0.87."""
    thread = of("S 40x7")
    assert thread.basic.pitch_diameter == pytest.approx(34.75, abs=0.005)
    assert thread.basic.minor_diameter == pytest.approx(29.50, abs=0.005)
    assert thread.reference["external_minor_diameter"] == pytest.approx(27.85, abs=0.005)
    assert thread.root_radius.max == pytest.approx(0.87, abs=0.005)


def test_no_limits_and_said_so() -> None:
    trail = Trail()
    thread = of("S40x7", trail=trail)
    assert thread.limits.pitch_diameter == NO_LIMIT
    assert "memory" in thread.basis
    assert {each.code for each in trail.cautions} == {"no-limits"}


@pytest.mark.parametrize(
    ("text", "normal"),
    [("S 40x7", "S40x7"), ("s40x14(P7) LH", "S40x14(P7) LH"), ("S 40 x 7 nut", "S40x7")],
)
def test_spellings(text: str, normal: str) -> None:
    assert of(text).designation == normal


@pytest.mark.parametrize(
    ("text", "error", "parameter"),
    [
        ("S40x7-7e", NotTabulatedError, "tolerance_class"),
        ("S40x7-7H", NotTabulatedError, "tolerance_class"),
        ("S40", MissingInputError, "pitch"),
        ("S12x10", InfeasibleError, "pitch"),
    ],
)
def test_refusals(text: str, error: type[CalcError], parameter: str) -> None:
    with pytest.raises(error) as raised:
        of(text)
    assert raised.value.parameter == parameter
    assert raised.value.accepted


def test_class_beside_the_text_is_refused() -> None:
    with pytest.raises(NotTabulatedError):
        din_513.parse("S40x7", "7e")
    with pytest.raises(NotTabulatedError):
        din_513.read(Fields(nominal_diameter=40, pitch=7, tolerance_class="7e"))


def test_fields_and_plan() -> None:
    trail = Trail()
    assert din_513.limits(din_513.read(Fields(nominal_diameter=40, pitch=7))) == of("S40x7")
    of("S41x7", trail=trail)
    assert "not-tabulated" in {each.code for each in trail.cautions}
    assert min(size.nominal_diameter for size in din_513.sizes()) == 10


def test_profile_closes() -> None:
    """Crest width 0.26384 P of the 3/30 degree profile follows from P/2 on the pitch line."""
    form = of("S40x7").form
    slope = math.tan(math.radians(3)) + math.tan(math.radians(30))
    assert 0.5 - form.addendum_ratio * slope == pytest.approx(0.26384, abs=1e-5)
    assert form.internal_root_flat_ratio == pytest.approx(0.26384, abs=1e-5)
