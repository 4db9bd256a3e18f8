"""UNJ threads, from their Unified thread."""

from __future__ import annotations

import math

import pytest

from threadwright_service.calc.errors import CalcError, NotTabulatedError
from threadwright_service.calc.threads.registry import Fields
from threadwright_service.calc.threads.thread import Span, ThreadLimits
from threadwright_service.calc.threads.unified import asme_b1_1, asme_b1_15

unified = asme_b1_1.UNIFIED


def of(text: str, rounding: str | None = None) -> ThreadLimits:
    call_out = asme_b1_15.parse(text)
    assert call_out is not None
    return asme_b1_15.limits(call_out, rounding=rounding)


# Minor diameters of ASME B1.15, class 3B, recalled, not read.
@pytest.mark.parametrize(
    ("text", "largest", "smallest"),
    [("1/4-28 UNJF-3B", 0.2229, 0.2152), ("10-32 UNJF-3B", 0.1675, 0.1596)],
)
def test_recalled_internal_minor(text: str, largest: float, smallest: float) -> None:
    assert of(text).limits.minor_diameter == Span(max=largest, min=smallest)


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("1/4-28 UNJF-3A", "1/4-28 UNF-3A"),
        ("3/4-10 UNJC-2A LH", "3/4-10 UNC-2A LH"),
        ("1-8 UNJC-3B", "1-8 UNC-3B"),
        ("1 1/16-16 UNJ-3A", "1 1/16-16 UN-3A"),
    ],
)
def test_major_and_pitch_are_those_of_the_unified_thread(text: str, plain: str) -> None:
    thread = of(text)
    call_out = unified.parse(plain)
    assert call_out is not None
    other = unified.limits(call_out)
    assert thread.limits.major_diameter == other.limits.major_diameter
    assert thread.limits.pitch_diameter == other.limits.pitch_diameter
    assert thread.allowance == other.allowance
    assert thread.designation == other.designation.replace("UN", "UNJ", 1)
    assert "memory" in thread.basis


def test_geometry_of_the_root() -> None:
    """A root radius tangent to 60 degree flanks ends H/2 - R below the pitch line.

    The largest radius, 5H/24 (0.18042 P), puts the root of the largest screw 0.50518 P below its
    pitch diameter; the smallest, 0.15011 P, that of the smallest screw 0.56580 P below.
    """
    screw = of("3/8-16 UNJC-3A", "exact")
    pitch = 1 / 16
    sharp = math.sqrt(3) / 2 * pitch
    largest, smallest = screw.limits.pitch_diameter, screw.limits.minor_diameter
    assert (largest.max or 0) - (smallest.max or 0) == pytest.approx(
        2 * (sharp / 2 - 5 / 24 * sharp), abs=1e-6
    )
    assert (largest.min or 0) - (smallest.min or 0) == pytest.approx(
        2 * (sharp / 2 - 0.15010841 * pitch), abs=1e-6
    )
    assert screw.root_radius.max == pytest.approx(5 / 24 * sharp, abs=1e-8)
    assert of("3/8-16 UNJC-3B").basic.minor_diameter == pytest.approx(
        0.375 - 9 / 8 * sharp, abs=0.00005
    )


def test_members_clear_each_other_at_the_root() -> None:
    """Unlike UN, the screw's root always clears the nut's crest."""
    for text in ("1/4-28 UNJF", "1-8 UNJC", "10-32 UNJF"):
        screw, nut = of(f"{text}-3A"), of(f"{text}-3B")
        assert (screw.limits.minor_diameter.max or 0) < (nut.limits.minor_diameter.min or 0)


@pytest.mark.parametrize("name", ["1A", "1B", "2B"])
def test_classes_that_are_not_shipped(name: str) -> None:
    with pytest.raises(NotTabulatedError) as raised:
        of(f"1/4-28 UNJF-{name}")
    assert raised.value.parameter == "tolerance_class"
    assert raised.value.accepted == "2A, 3A, 3B"


def test_the_recalled_crest_tolerance_is_not_shipped_where_it_cannot_be_right() -> None:
    """On #1-64 it would reach past the pitch line: the standard must have another value there."""
    with pytest.raises(NotTabulatedError) as raised:
        of("#1-64 UNJC-3B")
    assert "pitch diameter" in raised.value.detail
    of("#1-64 UNJC-3A")
    of("#10-24 UNJC-3B")


@pytest.mark.parametrize("text", ["1/4-28 UNF-3A", "M6x1", "UNJOY"])
def test_other_texts(text: str) -> None:
    assert asme_b1_15.parse(text) is None


def test_a_wrong_series_is_refused() -> None:
    with pytest.raises(CalcError):
        of("1/4-28 UNJC-3A")


def test_fields_and_sizes() -> None:
    fields = Fields(
        series="UNJF", nominal_diameter="1/4", threads_per_inch=28, tolerance_class="3A"
    )
    assert asme_b1_15.limits(asme_b1_15.read(fields)) == of("1/4-28 UNJF-3A")
    assert {size.series for size in asme_b1_15.sizes()} <= set(asme_b1_15.SYMBOLS)
