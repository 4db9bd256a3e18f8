"""MJ threads, from their M thread."""

from __future__ import annotations

import math

import pytest

from threadwright_service.calc.errors import NotTabulatedError
from threadwright_service.calc.threads.metric import iso_965_1, iso_5855
from threadwright_service.calc.threads.registry import Fields
from threadwright_service.calc.threads.thread import Span, ThreadLimits


def of(text: str) -> ThreadLimits:
    call_out = iso_5855.parse(text)
    assert call_out is not None
    return iso_5855.limits(call_out)


# Internal minor diameters of ISO 5855-2, recalled, not read.
@pytest.mark.parametrize(
    ("text", "largest", "smallest"),
    [("MJ5x0.8-4H6H", 4.421, 4.221), ("MJ6x1-4H5H", 5.216, 5.026)],
)
def test_recalled_internal_minor(text: str, largest: float, smallest: float) -> None:
    assert of(text).limits.minor_diameter == Span(max=largest, min=smallest)


def test_major_and_pitch_are_those_of_the_metric_thread() -> None:
    thread = of("MJ10x1.25-4h6h LH")
    call_out = iso_965_1.ISO_METRIC.parse("M10x1.25-4h6h LH")
    assert call_out is not None
    other = iso_965_1.ISO_METRIC.limits(call_out)
    assert thread.limits.major_diameter == other.limits.major_diameter
    assert thread.limits.pitch_diameter == other.limits.pitch_diameter
    assert thread.designation == "MJ10x1.25-4h6h-LH"
    assert (thread.series, thread.family, thread.hand) == ("MJ", "iso-metric-j", "left")
    assert thread.basis.startswith("memory only")


def test_geometry_of_the_root() -> None:
    """A root radius tangent to 60 degree flanks ends H/2 - R below the pitch line."""
    screw = of("MJ10x1.5-4h6h")
    sharp = math.sqrt(3) / 2 * 1.5
    limits = screw.limits
    assert (limits.pitch_diameter.max or 0) - (limits.minor_diameter.max or 0) == pytest.approx(
        2 * (sharp / 2 - 0.18042 * 1.5), abs=0.0011
    )
    assert (limits.pitch_diameter.min or 0) - (limits.minor_diameter.min or 0) == pytest.approx(
        2 * (sharp / 2 - 0.15011 * 1.5), abs=0.0011
    )
    assert screw.root_radius == Span(max=0.271, min=0.225)
    nut = of("MJ10x1.5-4H5H")
    assert nut.basic.minor_diameter == pytest.approx(10 - 9 / 8 * sharp, abs=0.0006)
    assert (limits.minor_diameter.max or 0) < (nut.limits.minor_diameter.min or 0)


@pytest.mark.parametrize(
    "text", ["MJ6x1-6g", "MJ6x1-6H", "MJ6x1-4H6H", "MJ5x0.8-4H5H", "MJ6x1-4g6g"]
)
def test_classes_that_are_not_shipped(text: str) -> None:
    with pytest.raises(NotTabulatedError) as raised:
        of(text)
    assert raised.value.parameter == "tolerance_class"
    assert "4h6h" in raised.value.accepted


@pytest.mark.parametrize("text", ["M6x1-4h6h", "MJx1", "1/4-28 UNJF-3A"])
def test_other_texts(text: str) -> None:
    assert iso_5855.parse(text) is None


@pytest.mark.parametrize("size", [6.0, "MJ6", "6"])
def test_fields(size: float | str) -> None:
    fields = Fields(series="MJ", nominal_diameter=size, pitch=1.0, tolerance_class="4h6h")
    assert iso_5855.limits(iso_5855.read(fields)) == of("MJ6x1-4h6h")


def test_every_size_is_computed() -> None:
    for size in iso_5855.sizes():
        inside = "4H6H" if size.nominal_diameter <= 5 else "4H5H"
        of(f"MJ{size.size}x{size.pitch:g}-4h6h")
        of(f"MJ{size.size}x{size.pitch:g}-{inside}")
