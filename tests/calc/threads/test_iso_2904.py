"""Trapezoidal threads: call-outs, classes, several starts, refusals. Limits: tests/published."""

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
from threadwright_service.calc.threads.trapezoidal import iso_2902, iso_2903, iso_2904
from threadwright_service.calc.trail import Trail


def of(text: str, *, trail: Trail | None = None) -> ThreadLimits:
    call_out = iso_2902.parse(text)
    assert call_out is not None
    return iso_2904.limits(call_out, trail=trail)


@pytest.mark.parametrize(
    ("text", "normal"),
    [
        ("Tr32x6-7e", "Tr32x6-7e"),
        ("TR 32 X 6 7E", "Tr32x6-7e"),
        ("Tr. 32x6 - 7e", "Tr32x6-7e"),
        ("Tr20x8(P4)-7e LH", "Tr20x8(P4)LH-7e"),
        ("Tr20x8P4LH-7H", "Tr20x8(P4)LH-7H"),
        ("Tr 40x7 LH - 7H", "Tr40x7LH-7H"),
        ("Tr8x1.5-8c", "Tr8x1.5-8c"),
        ("Tr40x7-7e-140", "Tr40x7-7e-140"),
    ],
)
def test_spellings_and_their_normal_form(text: str, normal: str) -> None:
    thread = of(text)
    assert thread.designation == normal
    assert of(normal) == thread


@pytest.mark.parametrize(
    ("text", "error", "parameter"),
    [
        ("Tr32x6", MissingInputError, "tolerance_class"),
        ("Tr33x6", MissingInputError, "tolerance_class"),
        ("Tr40-7e", MissingInputError, "pitch"),
        ("Tr41-7e", MissingInputError, "pitch"),
        ("Tr32x6-7H/7e", AmbiguousError, "tolerance_class"),
        ("Tr32x6-6e", UnknownDesignationError, "tolerance_class"),
        ("Tr32x6-7h", UnknownDesignationError, "tolerance_class"),
        ("Tr32x6-7g", UnknownDesignationError, "tolerance_class"),
        ("Tr32x6-7e-what-is-this", UnknownDesignationError, "designation"),
        ("Tr32x6-7e-9999", OutOfRangeError, "length_of_engagement"),
        ("Tr32x2.5-7e", NotTabulatedError, "pitch"),
        ("Tr310x12-7e", OutOfRangeError, "nominal_diameter"),
        ("Tr6x1.5-7e", OutOfRangeError, "nominal_diameter"),
        ("Tr12x10-7e", InfeasibleError, "pitch"),
    ],
)
def test_refusals(text: str, error: type[CalcError], parameter: str) -> None:
    with pytest.raises(error) as raised:
        of(text)
    assert raised.value.parameter == parameter
    assert raised.value.accepted


@pytest.mark.parametrize("text", ["M24x1.5-6g", "Trx6", "1-5 ACME-2G", ""])
def test_other_texts(text: str) -> None:
    assert iso_2902.parse(text) is None


def test_class_beside_the_text() -> None:
    call_out = iso_2902.parse("Tr32x6", "7e")
    assert call_out is not None
    assert call_out.tolerance_class == "7e"
    with pytest.raises(AmbiguousError):
        iso_2902.parse("Tr32x6-7e", "7H")


def test_fields() -> None:
    fields = Fields(
        series="Tr",
        nominal_diameter="Tr20",
        pitch=4,
        starts=2,
        tolerance_class="7e",
        hand="left",
        length_of_engagement=40,
        length_unit="mm",
    )
    thread = iso_2904.limits(iso_2902.read(fields))
    assert thread.designation == "Tr20x8(P4)LH-7e-40"
    assert thread.lead == 8


@pytest.mark.parametrize(("starts", "factor"), [(2, 1.12), (3, 1.25), (4, 1.4), (5, 1.6), (6, 1.6)])
def test_several_starts_widen_the_pitch_diameter_alone(starts: int, factor: float) -> None:
    """ISO 2903, factors recalled; the single-start tolerance of Tr20x4-7e is published, 265."""
    trail = Trail()
    one, many = of("Tr20x4-7e"), of(f"Tr20x{4 * starts}(P4)-7e", trail=trail)
    assert many.limits.pitch_diameter.tolerance == pytest.approx(
        round(265 * factor) / 1000, abs=1e-9
    )
    assert many.limits.pitch_diameter.max == one.limits.pitch_diameter.max
    assert many.limits.minor_diameter == one.limits.minor_diameter
    assert many.limits.major_diameter == one.limits.major_diameter
    assert "tolerance-from-memory" in {caution.code for caution in trail.cautions}
    assert "memory" in many.basis
    assert math.tan(math.radians(many.lead_angle_deg)) == pytest.approx(
        4 * starts / (math.pi * 18), rel=1e-12
    )


def test_grades_follow_the_ratio_of_the_standard() -> None:
    """Grades 7, 8, 9 stand as 1.25 : 1.6 : 2 outside and 1.7 : 2.12 : 2.65 inside."""
    for internal, ratios in ((False, (1.25, 1.6, 2)), (True, (1.7, 2.12, 2.65))):
        values = [
            iso_2903.pitch_diameter_tolerance_um(
                nominal_diameter_mm=32, pitch_mm=6, grade=grade, internal=internal
            )
            for grade in (7, 8, 9)
        ]
        for value, ratio in zip(values, ratios, strict=True):
            assert value / values[0] == pytest.approx(ratio / ratios[0], rel=0.02)


def test_position_c_is_looser_than_e_and_says_where_it_was_read() -> None:
    close, loose = of("Tr32x6-8e"), of("Tr32x6-8c")
    assert close.allowance == 0.118
    assert loose.allowance == 0.236
    assert "position c at P = 6: published in GOST 24739-81" in loose.basis
    assert "position c at P = 40: memory only" in of("Tr300x40-8c").basis
    assert "implied" in close.basis


def test_the_open_deviation_at_pitch_12_is_told() -> None:
    assert "160 or 170" in of("Tr50x12-7e").basis
    assert "160 or 170" not in of("Tr50x12-7H").basis


def test_a_pair_off_the_plan_is_computed_and_flagged() -> None:
    trail = Trail()
    thread = of("Tr33x6-7e", trail=trail)
    assert "not tabulated" in thread.basis
    (caution,) = [each for each in trail.cautions if each.code == "not-tabulated"]
    assert "32x6" in caution.detail
    assert "34x6" in caution.detail
    # The neighbours' tolerances are those of the same range, so the limits lie between theirs.
    low, high = of("Tr32x6-7e").limits, of("Tr34x6-7e").limits
    middle = thread.limits.pitch_diameter.max
    assert middle == pytest.approx(
        ((low.pitch_diameter.max or 0) + (high.pitch_diameter.max or 0)) / 2, abs=1e-9
    )


def test_engagement_group_by_formula() -> None:
    trail = Trail()
    assert of("Tr40x7-7e-30", trail=trail).length_of_engagement_group == "N"
    assert of("Tr40x7-7e-140", trail=trail).length_of_engagement_group == "L"
    details = [each.detail for each in trail.cautions if each.code == "engagement-by-formula"]
    assert "8e" not in details[0]
    assert "8e" in details[1]
    assert of("Tr40x7-7e-L").length_of_engagement_group == "L"
    assert of("Tr40x7-7e-N").length_of_engagement_group == "N"
    assert of("Tr40x7-7e").length_of_engagement_group == "N"


def test_profile_of_iso_2901() -> None:
    """Crest width 0.366 P and, on the basic profile, a groove as wide as the ridge on d2."""
    thread = of("Tr40x7-7e")
    tangent = math.tan(math.radians(15))
    assert 0.5 - 2 * thread.form.addendum_ratio * tangent == pytest.approx(0.36603, abs=1e-5)
    depth = thread.reference["thread_height"]
    assert thread.form.external_root_ratio * 7 + thread.form.addendum_ratio * 7 == pytest.approx(
        depth
    )
    assert thread.form.external_root_flat_ratio * 7 == pytest.approx(
        0.36603 * 7 - 2 * 0.5 * tangent, abs=1e-4
    )
    assert thread.root_radius.max == 0.5
    assert thread.stress_area is None


def test_working_is_shown() -> None:
    trail = Trail(steps=[])
    thread = of("Tr32x6-7e", trail=trail)
    assert trail.steps
    values = {step.value for step in trail.steps}
    assert thread.limits.pitch_diameter.min in values
    assert 118.0 in values


def test_the_plan() -> None:
    """ISO 2902: three pitches for a diameter from 22 mm on, two from 9 mm, one for 8 mm."""
    assert len({size.nominal_diameter for size in iso_2902.sizes()}) == 65
    assert [s.pitch for s in iso_2902.sizes() if s.nominal_diameter == 32] == [3, 6, 10]
    assert (8.0, 1.5) in iso_2902.plan()
    for size in iso_2902.sizes():
        of(f"Tr{size.size}x{size.pitch:g}-7e")
        of(f"Tr{size.size}x{size.pitch:g}-7H")
