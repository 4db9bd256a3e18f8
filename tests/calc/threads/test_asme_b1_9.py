"""Inch buttress threads. Tables 2 and 4 of the standard: tests/published."""

from __future__ import annotations

import math

import pytest

from threadwright_service.calc.errors import (
    CalcError,
    InfeasibleError,
    MissingInputError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.buttress import asme_b1_9
from threadwright_service.calc.threads.registry import Fields
from threadwright_service.calc.threads.thread import ThreadLimits
from threadwright_service.calc.trail import Trail

parse = asme_b1_9.FAMILY.parse


def of(text: str, *, trail: Trail | None = None) -> ThreadLimits:
    call_out = parse(text)
    assert call_out is not None
    return asme_b1_9.limits(call_out, trail=trail)


@pytest.mark.parametrize(
    ("text", "normal"),
    [
        ("2.5-8 BUTT-2A", "2 1/2-8 BUTT-2A"),
        ("2 1/2-8 Buttress 2B LH", "2 1/2-8 BUTT-2B-LH"),
        ("2.5-8 PUSH-BUTT-3A", "2 1/2-8 PUSH-BUTT-3A"),
        ("2.5-8 pull butt class 2 nut", "2 1/2-8 PULL-BUTT-2B"),
        ("2.5-8 BUTT-2", "2 1/2-8 BUTT-2A"),
    ],
)
def test_spellings_and_their_normal_form(text: str, normal: str) -> None:
    thread = of(text)
    assert thread.designation == normal
    assert of(normal).limits == thread.limits


@pytest.mark.parametrize(
    ("text", "error", "parameter"),
    [
        ("2.5-8 BUTT", MissingInputError, "tolerance_class"),
        ("2.5 BUTT-2A", MissingInputError, "threads_per_inch"),
        ("2.5-8 BUTT-1A", UnknownDesignationError, "tolerance_class"),
        ("2.5-8 BUTT-2A nut", UnknownDesignationError, "tolerance_class"),
        ("0.25-20 BUTT-2A", OutOfRangeError, "nominal_diameter"),
        ("30-2 BUTT-2A", OutOfRangeError, "nominal_diameter"),
        ("1/2-2 BUTT-2A", InfeasibleError, "threads_per_inch"),
    ],
)
def test_refusals(text: str, error: type[CalcError], parameter: str) -> None:
    with pytest.raises(error) as raised:
        of(text)
    assert raised.value.parameter == parameter
    assert raised.value.accepted


def test_limits_by_the_formulas_of_table_3() -> None:
    """ANSI B1.9 Table 3 put to numbers by hand, 2 1/2-8: p = 0.125, D in 1.5 to 2.5, middle 2."""
    class_2 = 0.002 * 2 ** (1 / 3) + 0.0173 * math.sqrt(0.125)
    class_3 = 2 / 3 * class_2
    screw, nut = of("2.5-8 BUTT-2A"), of("2.5-8 BUTT-2B")
    assert screw.allowance == pytest.approx(class_3, abs=0.00005)
    assert screw.limits.major_diameter.max == pytest.approx(2.5 - class_3, abs=0.0001)
    assert screw.limits.pitch_diameter.max == pytest.approx(2.425 - class_3, abs=0.0001)
    assert screw.limits.minor_diameter.max == pytest.approx(2.5 - 1.32542 / 8 - class_3, abs=0.0001)
    assert screw.limits.minor_diameter.min == pytest.approx(
        2.425 - class_3 - class_2 - 0.80803 / 8, abs=0.00016
    )
    assert nut.limits.major_diameter.min == pytest.approx(2.5 + 0.12542 / 8, abs=0.00006)
    assert nut.limits.major_diameter.max == pytest.approx(
        2.425 + class_2 + 0.80803 / 8, abs=0.00011
    )
    assert nut.limits.minor_diameter.min == 2.35
    assert nut.limits.minor_diameter.tolerance == pytest.approx(class_2, abs=0.00006)
    assert nut.allowance == 0


def test_engagement_of_ten_pitches_gives_the_short_formula() -> None:
    """The standard says that the formula reduces to the short one at Le = 10 p."""
    read = asme_b1_9.FAMILY.read
    fields = Fields(
        nominal_diameter="2.5", threads_per_inch=8, tolerance_class="2A", length_of_engagement=1.25
    )
    given = asme_b1_9.limits(read(fields))
    assert given.limits.pitch_diameter.tolerance == pytest.approx(
        of("2.5-8 BUTT-2A").limits.pitch_diameter.tolerance or 0, abs=0.0001
    )


def test_form() -> None:
    """Crest flat 0.16316 p and root flat 0.0928 p follow from the pitch line's P/2."""
    form = of("2.5-8 BUTT-2A").form
    slope = math.tan(math.radians(7)) + math.tan(math.radians(45))
    assert 0.5 - form.addendum_ratio * slope == pytest.approx(0.16316, abs=1e-5)
    assert form.external_root_flat_ratio == pytest.approx(0.0928, abs=1e-4)
    assert not form.is_symmetric


def test_off_the_table_is_flagged() -> None:
    trail = Trail()
    assert "not tabulated" in of("2.5-7 BUTT-2A", trail=trail).basis
    assert "not-tabulated" in {each.code for each in trail.cautions}
    assert "recalled" in of("2.5-8 BUTT-2A").basis
    assert "recalled" not in of("2.5-10 BUTT-2A").basis


def test_several_starts_are_told() -> None:
    trail = Trail()
    thread = of("2.5-8 BUTT-2A (2 START)", trail=trail)
    assert "single-start" in thread.basis
    assert "several-starts" in {each.code for each in trail.cautions}
    assert thread.limits == of("2.5-8 BUTT-2A").limits


def test_sizes() -> None:
    for size in asme_b1_9.FAMILY.sizes():
        of(f"{size.size}-{size.threads_per_inch:g} BUTT-2A")
        of(f"{size.size}-{size.threads_per_inch:g} BUTT-3B")
