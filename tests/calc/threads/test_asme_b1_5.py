"""Acme threads: call-outs, classes, sides, special sizes. Limits: tests/published."""

from __future__ import annotations

import math

import pytest

from threadwright_service.calc.errors import (
    AmbiguousError,
    CalcError,
    InfeasibleError,
    MissingInputError,
    NotTabulatedError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.acme import asme_b1_5, asme_b1_8
from threadwright_service.calc.threads.registry import Fields
from threadwright_service.calc.threads.thread import Span, ThreadLimits
from threadwright_service.calc.trail import Trail


def of(text: str, *, trail: Trail | None = None) -> ThreadLimits:
    call_out = asme_b1_5.parse(text)
    assert call_out is not None
    return asme_b1_5.limits(call_out, trail=trail)


# Limits of size of ASME B1.5 (general purpose 2G, centralizing), recalled, not read.
RECALLED = [
    ("1-5 ACME-2G", (1.0, 0.99), (0.892, 0.8726), (0.78, 0.7509)),
    ("1-5 ACME-2G nut", (1.04, 1.02), (0.9194, 0.9), (0.81, 0.8)),
    ("1/2-10 ACME-2G", (0.5, 0.495), (0.4443, 0.4306), (0.38, 0.3594)),
    ("1/2-10 ACME-2C", (0.5, 0.4975), (0.4443, 0.4306), (0.38, 0.3594)),
    ("1/2-10 ACME-4C nut", (0.5021, 0.5007), None, (0.415, 0.41)),
]


@pytest.mark.parametrize(("text", "major", "pitch", "minor"), RECALLED)
def test_recalled_limits(
    text: str,
    major: tuple[float, float],
    pitch: tuple[float, float] | None,
    minor: tuple[float, float],
) -> None:
    limits = of(text).limits
    assert limits.major_diameter == Span(max=major[0], min=major[1])
    if pitch is not None:
        assert limits.pitch_diameter == Span(max=pitch[0], min=pitch[1])
    assert limits.minor_diameter == Span(max=minor[0], min=minor[1])


@pytest.mark.parametrize(
    ("text", "normal"),
    [
        ("1-5 ACME-2G", "1-5 ACME-2G"),
        ("1.750-6-ACME-4C-LH", "1 3/4-6 ACME-4C-LH"),
        ("1-3/4 - 4 Acme class 3G", "1 3/4-4 ACME-3G"),
        ("ACME 1 1/2-4 2g", "1 1/2-4 ACME-2G"),
        ("2.875-0.4P-0.8L-ACME-3G (Two Start)", "2 7/8-0.4P-0.8L ACME-3G"),
        ("2.500-0.3333P-0.6667L-ACME-4C (Two Start) LH", "2 1/2-0.3333P-0.6667L ACME-4C-LH"),
        ("1-5 ACME-2G (2 START)", "1-0.2P-0.4L ACME-2G"),
    ],
)
def test_spellings_and_their_normal_form(text: str, normal: str) -> None:
    thread = of(text)
    assert thread.designation == normal
    assert of(normal) == thread


@pytest.mark.parametrize(
    ("text", "error", "parameter"),
    [
        ("1-5 ACME", MissingInputError, "tolerance_class"),
        ("1 ACME-2G", MissingInputError, "threads_per_inch"),
        ("1.1 ACME-2G", MissingInputError, "threads_per_inch"),
        ("1-5 ACME-2", AmbiguousError, "tolerance_class"),
        ("1-5 ACME-5G", NotTabulatedError, "tolerance_class"),
        ("1-5 ACME-6C", NotTabulatedError, "tolerance_class"),
        ("1-5 ACME-9X", UnknownDesignationError, "tolerance_class"),
        ("6-2 ACME-2G", OutOfRangeError, "nominal_diameter"),
        ("1/4-5 ACME-2G", InfeasibleError, "threads_per_inch"),
        ("banana ACME-2G", UnknownDesignationError, "designation"),
    ],
)
def test_refusals(text: str, error: type[CalcError], parameter: str) -> None:
    with pytest.raises(error) as raised:
        of(text)
    assert raised.value.parameter == parameter
    assert raised.value.accepted


@pytest.mark.parametrize("text", ["1-5 STUB ACME-2G", "1/2-13 UNC-2A", "Tr32x6-7e"])
def test_other_texts(text: str) -> None:
    assert asme_b1_5.parse(text) is None


def test_the_open_side_is_assumed_and_both_sides_are_there() -> None:
    trail = Trail()
    screw = of("1-5 ACME-2G", trail=trail)
    nut = of("1-5 ACME-2G internal")
    assert screw.side == "external"
    assert [each.parameter for each in trail.assumptions] == ["side"]
    assert nut.side == "internal"
    for name in ("major_diameter", "pitch_diameter", "minor_diameter"):
        span = getattr(nut.limits, name)
        assert screw.reference[f"mating_{name}_max"] == span.max
        assert screw.reference[f"mating_{name}_min"] == span.min
    call_out = asme_b1_5.parse("1-5 ACME-2G")
    assert call_out is not None
    assert asme_b1_5.limits(call_out, side="internal") == nut


def test_a_special_size_is_computed_and_flagged() -> None:
    trail = Trail()
    thread = of("1-8 ACME-2G", trail=trail)
    assert "not tabulated" in thread.basis
    (caution,) = [each for each in trail.cautions if each.code == "not-tabulated"]
    assert "1-5" in caution.detail
    assert "not tabulated" not in of("1-5 ACME-2G").basis


def test_several_starts_are_told() -> None:
    trail = Trail()
    many = of("1-5 ACME-2G (3 start)", trail=trail)
    assert many.lead == pytest.approx(0.6)
    assert many.limits == of("1-5 ACME-2G").limits
    assert "several-starts" in {each.code for each in trail.cautions}


def test_long_engagement_is_told() -> None:
    trail = Trail()
    fields = Fields(
        nominal_diameter="1", threads_per_inch=5, tolerance_class="2G", length_of_engagement=3.0
    )
    asme_b1_5.limits(asme_b1_5.read(fields), trail=trail)
    assert "long-engagement" in {each.code for each in trail.cautions}


def test_profile() -> None:
    """The crest flat of B1.5, 0.3707 P, follows from a ridge of P/2 on the pitch line."""
    form = of("1-5 ACME-2G").form
    tangent = math.tan(math.radians(14.5))
    assert 0.5 - 2 * form.addendum_ratio * tangent == pytest.approx(0.3707, abs=0.00005)
    # Root flat of B1.5: 0.3707 P - 0.259 x allowance, 0.020 in at 5 threads per inch.
    assert form.external_root_flat_ratio * 0.2 == pytest.approx(
        0.3707 * 0.2 - 0.259 * 0.020, abs=0.00005
    )


def test_stub_root_flat_agrees_with_the_published_form_table() -> None:
    """ASME B1.8 form table, 5 threads per inch: crest flat .0845, root flat .0793."""
    call_out = asme_b1_8.parse("1-5 STUB ACME")
    assert call_out is not None
    thread = asme_b1_8.limits(call_out)
    assert thread.form.external_root_flat_ratio * 0.2 == pytest.approx(0.0793, abs=0.00005)
    assert thread.reference["root_flat_internal"] == 0.0793


def test_centralizing_nut_guides_on_the_major_diameter() -> None:
    """The clearance at the major diameter is a fraction of the general-purpose one."""
    general, centralizing = of("1-5 ACME-2G nut"), of("1-5 ACME-2C nut")
    assert general.allowances["major_diameter"] == 0.02
    assert centralizing.allowances["major_diameter"] == 0.001
    assert centralizing.allowances["minor_diameter"] == 0.02
    assert centralizing.limits.pitch_diameter == general.limits.pitch_diameter
