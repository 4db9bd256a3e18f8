"""Threads of Whitworth form. Form dimensions: tests/published."""

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
from threadwright_service.calc.threads.registry import Fields
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.threads.whitworth import bs_84
from threadwright_service.calc.trail import Trail

parse = bs_84.FAMILY.parse


def of(text: str, *, trail: Trail | None = None) -> ThreadLimits:
    call_out = parse(text)
    assert call_out is not None
    return bs_84.limits(call_out, trail=trail)


# Basic effective and minor diameters of BS 84, recalled, not read.
RECALLED = [
    ("1/4-20 BSW", 0.2180, 0.1860),
    ("1/2-12 BSW", 0.4466, 0.3932),
    ("3/4-10 BSW", 0.6860, 0.6220),
    ("1-8 BSW", 0.9200, 0.8400),
    ("1/2-16 BSF", 0.4600, 0.4200),
]


@pytest.mark.parametrize(("text", "effective", "minor"), RECALLED)
def test_recalled_basic_diameters(text: str, effective: float, minor: float) -> None:
    basic = of(f"{text} close").basic
    assert (basic.pitch_diameter, basic.minor_diameter) == (effective, minor)


@pytest.mark.parametrize(
    ("text", "normal"),
    [
        ("1/2-12 BSW medium", "1/2-12 BSW medium"),
        ("1/2 BSW MEDIUM fit", "1/2-12 BSW medium"),
        ("1/4-20 B.S.W. (close) bolt", "1/4-20 BSW close"),
        ("BSW 1-8 class close", "1-8 BSW close"),
        ("3/8 BSF free LH", "3/8-20 BSF free LH"),
        ("2-4 1/2 BSW close", "2-4.5 BSW close"),
        ("1/2-20 WHIT close", "1/2-20 Whit close"),
    ],
)
def test_spellings_and_their_normal_form(text: str, normal: str) -> None:
    thread = of(text)
    assert thread.designation == normal
    assert of(normal) == thread


@pytest.mark.parametrize(
    ("text", "error", "parameter"),
    [
        ("1/2-12 BSW", MissingInputError, "tolerance_class"),
        ("1/2 WHIT medium", MissingInputError, "threads_per_inch"),
        ("1/2-13 BSW medium", NotTabulatedError, "designation"),
        ("1/3 BSW medium", NotTabulatedError, "designation"),
        ("1/2-12 BSW tight", UnknownDesignationError, "tolerance_class"),
        ("1/2-12 BSW free nut", AmbiguousError, "tolerance_class"),
        ("1/2-12 BSW normal bolt", AmbiguousError, "tolerance_class"),
        ("7-2 WHIT close", OutOfRangeError, "nominal_diameter"),
        ("1/4-5 WHIT close", InfeasibleError, "threads_per_inch"),
    ],
)
def test_refusals(text: str, error: type[CalcError], parameter: str) -> None:
    with pytest.raises(error) as raised:
        of(text)
    assert raised.value.parameter == parameter
    assert raised.value.accepted


def test_tolerances_of_a_close_bolt_by_hand() -> None:
    """BS 84 formulas (recalled) for 1-8 BSW: T = 0.002 + 0.003 + 0.005 / sqrt 8 = 0.006768."""
    unit = 0.002 + 0.003 + 0.005 / math.sqrt(8)
    limits = of("1-8 BSW close").limits
    assert limits.pitch_diameter.max == 0.92
    assert limits.pitch_diameter.tolerance == pytest.approx(2 / 3 * unit, abs=0.00005)
    assert limits.major_diameter.tolerance == pytest.approx(
        2 / 3 * unit + 0.01 / math.sqrt(8), abs=0.00005
    )
    assert limits.minor_diameter.tolerance == pytest.approx(
        2 / 3 * unit + 0.013 / math.sqrt(8), abs=0.00005
    )


def test_tolerances_of_a_nut_by_hand() -> None:
    limits = of("1-8 BSW normal").limits
    unit = 0.002 + 0.003 + 0.005 / math.sqrt(8)
    assert limits.pitch_diameter.tolerance == pytest.approx(1.5 * unit, abs=0.00005)
    assert limits.minor_diameter.tolerance == pytest.approx(0.2 / 8 + 0.007, abs=0.00005)
    assert limits.major_diameter.max is None


def test_the_allowance_is_for_medium_and_free_bolts_up_to_three_quarters() -> None:
    trail = Trail()
    small = of("3/4-10 BSW medium bolt", trail=trail)
    unit = 0.002 * 0.75 ** (1 / 3) + 0.003 * math.sqrt(0.75) + 0.005 * math.sqrt(0.1)
    assert small.allowance == pytest.approx(0.3 * unit, abs=0.00005)
    assert small.limits.major_diameter.max == pytest.approx(0.75 - small.allowance)
    assert "allowance-from-memory" in {each.code for each in trail.cautions}
    assert "not confirmed" in small.basis
    assert of("7/8-9 BSW medium bolt").allowance == 0
    assert of("3/4-10 BSW close bolt").allowance == 0
    assert of("3/4-10 BSW medium nut").allowance == 0
    # Sizes below 1/4 in take the allowance of 1/4 in.
    assert of("3/16-24 BSW free").allowance == of("1/4-20 BSW free").allowance


def test_everything_that_is_recalled_says_so() -> None:
    trail = Trail()
    assert "memory only" in of("1-8 BSW close", trail=trail).basis
    assert "tolerance-from-memory" in {each.code for each in trail.cautions}
    assert [each.parameter for each in trail.assumptions] == ["side", "length_of_engagement"]


def test_a_longer_engagement_widens_the_tolerance() -> None:
    fields = Fields(series="BSW", nominal_diameter="1", tolerance_class="close")
    short = bs_84.limits(bs_84.FAMILY.read(fields))
    longer = bs_84.limits(
        bs_84.FAMILY.read(
            Fields(
                series="BSW",
                nominal_diameter="1",
                tolerance_class="close",
                length_of_engagement=2.0,
            )
        )
    )
    assert (longer.limits.pitch_diameter.tolerance or 0) > (
        short.limits.pitch_diameter.tolerance or 0
    )
    assert short == of("1-8 BSW close")


def test_a_special_pair_is_flagged() -> None:
    trail = Trail()
    thread = of("1/2-20 WHIT medium bolt", trail=trail)
    assert "not tabulated" in thread.basis
    (caution,) = [each for each in trail.cautions if each.code == "not-tabulated"]
    assert "1/2-12" in caution.detail


def test_several_starts_and_close_nuts_are_told() -> None:
    trail = Trail()
    thread = of("1-8 BSW close nut (2 START)", trail=trail)
    assert "special use" in thread.basis
    assert "single-start" in thread.basis
    assert "several-starts" in {each.code for each in trail.cautions}
    assert thread.lead == 0.25


def test_every_size_has_a_core() -> None:
    for size in bs_84.FAMILY.sizes():
        of(f"{size.size} {size.series} close")


def test_form_is_whitworth() -> None:
    """BS 84: two thirds of the triangle, 55 degrees; H = P / (2 tan 27.5)."""
    form = of("1-8 BSW close").form
    triangle = 1 / (2 * math.tan(math.radians(27.5)))
    assert form.addendum_ratio == pytest.approx(triangle / 3, abs=1e-6)
    assert form.included_angle_deg == 55
