"""NPT: call-outs, taper, truncation. Basic dimensions: tests/published."""

from __future__ import annotations

import math

import pytest

from threadwright_service.calc.errors import (
    AmbiguousError,
    CalcError,
    NotTabulatedError,
    OutOfRangeError,
    UnknownDesignationError,
)
from threadwright_service.calc.threads.pipe import asme_b1_20_1
from threadwright_service.calc.threads.registry import Fields
from threadwright_service.calc.threads.thread import Side, ThreadLimits
from threadwright_service.calc.trail import Trail

parse = asme_b1_20_1.FAMILY.parse


def of(text: str, distance: float | None = None, *, side: Side | None = None) -> ThreadLimits:
    call_out = parse(text)
    assert call_out is not None
    return asme_b1_20_1.limits(call_out, side=side, distance_from_gauge_plane=distance)


@pytest.mark.parametrize(
    ("text", "normal"),
    [
        ("1/2-14 NPT", "1/2-14 NPT"),
        ("3/8 NPT", "3/8-18 NPT"),
        ("NPT 3/8", "3/8-18 NPT"),
        ('3/8" NPT', "3/8-18 NPT"),
        ("1-11.5 N.P.T. LH", "1-11.5 NPT-LH"),
        ("1-11 1/2 NPT-LH", "1-11.5 NPT-LH"),
        ("1 1/4 NPT", "1 1/4-11.5 NPT"),
        ("1-1/4-11.5NPT", "1 1/4-11.5 NPT"),
        ("0.5-14 NPT", "1/2-14 NPT"),
    ],
)
def test_spellings_and_their_normal_form(text: str, normal: str) -> None:
    thread = of(text)
    assert thread.designation == normal
    assert of(normal) == thread


@pytest.mark.parametrize(
    ("text", "error", "parameter"),
    [
        ("5/8 NPT", NotTabulatedError, "nominal_diameter"),
        ("26 NPT", NotTabulatedError, "nominal_diameter"),
        ("1/2-18 NPT", UnknownDesignationError, "threads_per_inch"),
        ("1/2 NPT-2A", UnknownDesignationError, "tolerance_class"),
        ("1/2-14 NPT (2 START)", NotTabulatedError, "starts"),
        ("1/2-14 NPTF", NotTabulatedError, "designation"),
        ("1/2-14 NPSM", NotTabulatedError, "designation"),
        ("1/2 NPT male female", AmbiguousError, "side"),
    ],
)
def test_refusals(text: str, error: type[CalcError], parameter: str) -> None:
    with pytest.raises(error) as raised:
        of(text)
    assert raised.value.parameter == parameter
    assert raised.value.accepted


@pytest.mark.parametrize("size", [size.size for size in asme_b1_20_1.FAMILY.sizes()])
def test_diameters_along_the_taper(size: str) -> None:
    """Going back by L1 from the gauge plane comes to E0, and on to L2 comes to E2."""
    reference = of(f"{size} NPT").reference
    hand_tight, effective = reference["length_hand_tight"], reference["length_effective"]
    small = of(f"{size} NPT", -hand_tight)
    large = of(f"{size} NPT", effective - hand_tight)
    assert small.basic.pitch_diameter == pytest.approx(
        reference["pitch_diameter_small_end"], abs=1.1e-5
    )
    assert large.basic.pitch_diameter == pytest.approx(
        reference["pitch_diameter_effective_end"], abs=1.5e-5
    )


def test_one_turn_either_way() -> None:
    """The gauging tolerance, one turn, is p/16 on the diameter: 0.00446 at 14 to the inch."""
    thread = of("1/2-14 NPT")
    assert thread.limits.pitch_diameter.tolerance == pytest.approx(2 / 14 / 16, abs=1.1e-5)
    assert thread.basic.pitch_diameter == 0.77843


def test_truncation_limits_the_crest() -> None:
    """Height between truncations of 0.033 p at both ends is 0.8 p (ASME B1.20.1, 2.4)."""
    limits = of("1/2-14 NPT").limits
    assert (limits.major_diameter.max or 0) - (limits.pitch_diameter.max or 0) == pytest.approx(
        0.8 / 14, abs=2e-5
    )
    sharp = math.sqrt(3) / 2 / 14
    assert (limits.major_diameter.min or 0) - (limits.pitch_diameter.min or 0) == pytest.approx(
        sharp - 2 * 0.0056, abs=2e-5
    )


def test_form() -> None:
    form = of("1/2-14 NPT").form
    assert form.taper_ratio == 1 / 16
    assert form.addendum_ratio + form.dedendum_ratio == 0.8
    sharp_half = math.sqrt(3) / 4
    truncation = sharp_half - form.external_root_ratio
    assert form.external_root_flat_ratio == pytest.approx(
        2 * truncation * math.tan(math.radians(30)), abs=1e-9
    )
    assert of("1/2-14 NPT").reference["taper_half_angle_deg"] == pytest.approx(
        1 + 47.4 / 60, abs=0.001
    )


@pytest.mark.parametrize(
    ("text", "distance"), [("1/2 NPT", -0.33), ("1/2 NPT", 0.47), ("1/2 NPT internal", 0.08)]
)
def test_distances_off_the_thread(text: str, distance: float) -> None:
    with pytest.raises(OutOfRangeError) as raised:
        of(text, distance)
    assert raised.value.parameter == "distance_from_gauge_plane"


def test_side() -> None:
    trail = Trail()
    call_out = parse("1/2 NPT")
    assert call_out is not None
    asme_b1_20_1.limits(call_out, trail=trail)
    assert [each.parameter for each in trail.assumptions] == ["side"]
    assert of("1/2 NPT", side="internal") == of("1/2 NPT internal")
    assert of("1/2 NPT internal").side == "internal"


def test_fields() -> None:
    read = asme_b1_20_1.FAMILY.read
    assert asme_b1_20_1.limits(read(Fields(nominal_diameter="1/2"))) == of("1/2 NPT")
    assert asme_b1_20_1.limits(read(Fields(nominal_diameter=0.5))) == of("1/2 NPT")
    with pytest.raises(NotTabulatedError):
        read(Fields(nominal_diameter=0.84))


def test_counts_keep_their_value_in_millimetres() -> None:
    thread = of("1/2-14 NPT")
    metric = thread.in_millimetres()
    assert metric.reference["length_hand_tight_threads"] == 4.48
    assert metric.reference["taper_ratio"] == 1 / 16
    assert metric.reference["length_hand_tight"] == pytest.approx(0.320 * 25.4)


@pytest.mark.parametrize(
    ("size", "small_end", "gauge_plane", "effective_end"),
    [
        ("14", 13.77500, 13.87262, 13.91562),
        ("16", 15.76250, 15.87575, 15.91562),
        ("18", 17.75000, 17.87500, 17.91562),
        ("20", 19.73750, 19.87031, 19.91562),
        ("24", 23.71250, 23.86094, 23.91562),
    ],
)
def test_sizes_of_the_outside_diameter(
    size: str, small_end: float, gauge_plane: float, effective_end: float
) -> None:
    """E0, E1 and E2 of ASME B1.20.1, Table 2, from memory; the answer says so."""
    thread = of(f"{size}-8 NPT")
    found = tuple(
        thread.reference[f"pitch_diameter_{place}"]
        for place in ("small_end", "gauge_plane", "effective_end")
    )
    assert found == (small_end, gauge_plane, effective_end)
    assert "memory" in thread.basis
