"""Coatings against a ball in a coated groove, limits before coating, and ISO 4042's guidance."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.groove_model import Screw, ball_centre
from support.sample_threads import ISO_FORM, m10_6g, m10_6h, trapezoid, unc_3_4_2a
from threadwright_service.calc.errors import InfeasibleError, NotTabulatedError, OutOfRangeError
from threadwright_service.calc.measurement.treatments.coating import (
    before_coating,
    coated_fit,
    flank_factor_ratio,
)
from threadwright_service.calc.measurement.treatments.iso_4042 import (
    SERIES_UM,
    length_group,
    smallest_deviation_um,
    thickness_that_fits_um,
)
from threadwright_service.calc.threads.thread import DiameterLimits, Span, ThreadForm
from threadwright_service.calc.trail import Trail


def of_angles(pressure: float, clearance: float) -> ThreadForm:
    return replace(ISO_FORM, pressure_flank_angle_deg=pressure, clearance_flank_angle_deg=clearance)


class TestFlankFactor:
    @pytest.mark.parametrize(
        "angles",
        [(30.0, 30.0), (27.5, 27.5), (23.75, 23.75), (15.0, 15.0), (14.5, 14.5), (7.0, 45.0),
         (3.0, 30.0)],
    )  # fmt: skip
    def test_against_a_ball_in_the_coated_groove(self, angles: tuple[float, float]) -> None:
        """A coat of t lifts a ball as far as a ball of diameter W + 2 t is lifted without it.

        The lift is worth k t of pitch diameter, found by laying both balls in by brute force.
        """
        coat, wire, diameter, pitch = 0.004, 1.2, 4000.0, 2.0
        bare = Screw(diameter, pitch, 0.0, angles)
        slide = angles[0] != angles[1]
        on_bare = ball_centre(bare, wire, slide=slide)
        on_coat = ball_centre(bare, wire + 2 * coat, slide=slide)
        by_model = 2 * (on_coat - on_bare) / coat
        assert flank_factor_ratio(form=of_angles(*angles)) == pytest.approx(by_model, rel=1e-4)

    @pytest.mark.parametrize(
        ("angles", "factor"),
        # 4 t and 8 t are published; 7.99, 7.73, 4.33, 4.97 and 4.31 by hand.
        [((30.0, 30.0), 4.0), ((14.5, 14.5), 7.99), ((15.0, 15.0), 7.73), ((27.5, 27.5), 4.33),
         ((23.75, 23.75), 4.97), ((7.0, 45.0), 4.31)],
    )  # fmt: skip
    def test_known_factors(self, angles: tuple[float, float], factor: float) -> None:
        assert flank_factor_ratio(form=of_angles(*angles)) == pytest.approx(factor, abs=0.005)

    def test_published_m6_pair(self) -> None:
        """5 µm on bolt and nut of M6 use 40 µm of clearance; 6g/6H has 26."""
        assert 2 * 5 * flank_factor_ratio(form=ISO_FORM) == pytest.approx(40.0)


class TestBeforeCoating:
    def test_external_by_hand(self) -> None:
        """8 to 12 µm on M10-6g: 48 µm off the largest, 32 off the smallest pitch diameter."""
        got = before_coating(thread=m10_6g(), thickness_max_mm=0.012, thickness_min_mm=0.008)
        assert got.limits.pitch_diameter.max_mm == pytest.approx(8.994 - 0.048)
        assert got.limits.pitch_diameter.min_mm == pytest.approx(8.862 - 0.032)
        assert got.limits.major_diameter.max_mm == pytest.approx(9.968 - 0.024)
        assert got.limits.major_diameter.min_mm == pytest.approx(9.732 - 0.016)
        assert got.limits.minor_diameter.max_mm is None
        assert got.pitch_diameter_tolerance_mm == pytest.approx(0.132 - 0.016)
        assert got.tolerance_taken_mm == pytest.approx(0.016)

    def test_internal_is_the_mirror(self) -> None:
        got = before_coating(thread=m10_6h(), thickness_max_mm=0.012, thickness_min_mm=0.008)
        assert got.limits.pitch_diameter.max_mm == pytest.approx(9.206 + 0.032)
        assert got.limits.pitch_diameter.min_mm == pytest.approx(9.026 + 0.048)
        assert got.limits.minor_diameter.max_mm == pytest.approx(8.676 + 0.016)
        assert got.limits.minor_diameter.min_mm == pytest.approx(8.376 + 0.024)
        assert got.limits.major_diameter.min_mm == pytest.approx(10.0 + 0.024)

    @given(
        side=st.sampled_from([m10_6g, m10_6h]),
        thin=st.floats(0.0, 0.02),
        spread=st.floats(0.0, 0.008),
        at=st.floats(0.0, 1.0),
        coat=st.floats(0.0, 1.0),
    )
    def test_every_part_cut_inside_ends_inside(
        self, side: Any, thin: float, spread: float, at: float, coat: float
    ) -> None:
        made = side()
        got = before_coating(thread=made, thickness_max_mm=thin + spread, thickness_min_mm=thin)
        high, low = got.limits.pitch_diameter.max_mm, got.limits.pitch_diameter.min_mm
        assert high is not None
        assert low is not None
        sign = 1.0 if made.side == "external" else -1.0
        coated = low + at * (high - low) + sign * 4 * (thin + coat * spread)
        assert made.limits.pitch_diameter.min - 1e-9 <= coated
        assert coated <= made.limits.pitch_diameter.max + 1e-9

    def test_no_coating_changes_nothing(self) -> None:
        got = before_coating(thread=m10_6g(), thickness_max_mm=0.0)
        assert got.limits.pitch_diameter.max_mm == 8.994
        assert got.limits.pitch_diameter.min_mm == 8.862

    @pytest.mark.parametrize(("spread", "fits"), [(0.0329, True), (0.0331, False)])
    def test_spread_that_takes_the_whole_tolerance(self, spread: float, fits: bool) -> None:
        """132 µm / 4 = 33 µm."""
        if fits:
            assert before_coating(
                thread=m10_6g(), thickness_max_mm=0.01 + spread, thickness_min_mm=0.01
            )
        else:
            with pytest.raises(InfeasibleError, match="pitch diameter") as refused:
                before_coating(
                    thread=m10_6g(), thickness_max_mm=0.01 + spread, thickness_min_mm=0.01
                )
            assert refused.value.parameter == "coating_thickness"

    def test_one_sided_limits_stay_one_sided(self) -> None:
        none = Span(max=None, min=None)
        made = replace(
            m10_6g(),
            limits=DiameterLimits(
                major_diameter=none, pitch_diameter=Span(max=8.994, min=None), minor_diameter=none
            ),
        )
        got = before_coating(thread=made, thickness_max_mm=0.01)
        assert got.limits.pitch_diameter.max_mm == pytest.approx(8.954)
        assert got.limits.pitch_diameter.min_mm is None
        assert got.pitch_diameter_tolerance_mm is None

    def test_even_coating_is_an_assumption(self) -> None:
        trail = Trail(steps=[])
        before_coating(thread=m10_6g(), thickness_max_mm=0.01, trail=trail)
        assert [each.parameter for each in trail.assumptions] == ["coating_thickness_min"]
        assert "coating-uneven" in {caution.code for caution in trail.cautions}

    @pytest.mark.parametrize(
        ("change", "parameter"),
        [
            ({"thickness_max_mm": -0.001}, "coating_thickness"),
            ({"thickness_max_mm": 0.01, "thickness_min_mm": -0.001}, "coating_thickness_min"),
            ({"thickness_max_mm": 0.01, "thickness_min_mm": 0.011}, "coating_thickness_min"),
        ],
    )
    def test_bad_thickness(self, change: dict[str, Any], parameter: str) -> None:
        with pytest.raises(OutOfRangeError) as refused:
            before_coating(thread=m10_6g(), **change)
        assert refused.value.parameter == parameter

    def test_inch_record(self) -> None:
        """3/4-10, 0.0003 in: 0.0012 in off."""
        got = before_coating(thread=unc_3_4_2a(), thickness_max_mm=25.4 * 0.0003)
        assert got.limits.pitch_diameter.max_mm == pytest.approx(25.4 * 0.6820)


class TestCoatedFit:
    def test_m10_6g(self) -> None:
        """es 32: 8 µm fit by geometry and by the guidance."""
        got = coated_fit(thread=m10_6g(), thickness_max_mm=0.008, thickness_min_mm=0.005)
        assert got.thickness_max_mm == pytest.approx(0.008)
        assert got.fits is True
        assert got.left_mm == pytest.approx(0.0, abs=1e-12)
        assert got.coated_pitch_diameter.max_mm == pytest.approx(9.026)
        assert got.coated_pitch_diameter.min_mm == pytest.approx(8.862 + 0.020)
        assert got.iso_4042 is not None
        assert got.iso_4042.thickness_max_um == 8.0

    def test_too_thick(self) -> None:
        trail = Trail()
        got = coated_fit(thread=m10_6g(), thickness_max_mm=0.010, trail=trail)
        assert got.fits is False
        assert got.left_mm == pytest.approx(-0.008)
        assert "coating-too-thick" in {caution.code for caution in trail.cautions}

    def test_internal_position_h_takes_nothing(self) -> None:
        got = coated_fit(thread=m10_6h(), thickness_max_mm=0.005)
        assert got.thickness_max_mm == 0.0
        assert got.fits is False
        assert got.coated_pitch_diameter.min_mm == pytest.approx(9.026 - 0.020)
        assert got.coated_pitch_diameter.max_mm == pytest.approx(9.206 - 0.020)

    def test_2a_allowance(self) -> None:
        """3/4-10 UNC-2A: allowance 0.0018 in takes 0.00045 in; no metric guidance."""
        got = coated_fit(thread=unc_3_4_2a())
        assert got.thickness_max_mm == pytest.approx(25.4 * 0.00045)
        assert got.iso_4042 is None
        assert got.fits is None
        assert got.left_mm is None

    @pytest.mark.parametrize(
        ("length", "thickness"), [(50.0, 8.0), (50.1, 5.0), (100.0, 5.0), (150.0, 5.0)]
    )
    def test_guidance_by_length(self, length: float, thickness: float) -> None:
        """32 / 4, / 5 and / 6 µm on M10."""
        got = coated_fit(thread=m10_6g(), coated_length_mm=length)
        assert got.iso_4042 is not None
        assert got.iso_4042.thickness_max_um == thickness

    def test_longer_than_the_guidance(self) -> None:
        with pytest.raises(NotTabulatedError, match="15 diameters"):
            coated_fit(thread=m10_6g(), coated_length_mm=150.1)

    def test_without_limits(self) -> None:
        none = Span(max=None, min=None)
        made = replace(
            m10_6g(),
            limits=DiameterLimits(major_diameter=none, pitch_diameter=none, minor_diameter=none),
        )
        with pytest.raises(InfeasibleError):
            coated_fit(thread=made)

    @given(share=st.floats(0.0, 1.0), form=st.sampled_from([30.0, 14.5, 27.5]))
    def test_the_largest_that_fits_just_fits(self, share: float, form: float) -> None:
        made = replace(m10_6g(), form=trapezoid(form, 0.4, "any"), allowance=0.05 * share)
        largest = coated_fit(thread=made).thickness_max_mm
        assert coated_fit(thread=made, thickness_max_mm=largest).fits is True
        assert coated_fit(thread=made, thickness_max_mm=largest + 1e-6).fits is False


class TestIso4042:
    @pytest.mark.parametrize("length", ["local", "le5d", "le10d", "le15d"])
    @given(deviation=st.integers(0, 200))
    def test_never_more_than_the_deviation_takes(self, length: Any, deviation: int) -> None:
        found = thickness_that_fits_um(deviation_um=deviation, length=length)
        if found.departs_from_rule:
            assert (deviation, length) in ((17, "le15d"), (26, "le10d"))
            assert found.thickness_um == 3.0
        else:
            assert found.thickness_um in (0.0, *SERIES_UM)
            if found.thickness_um:
                needed = smallest_deviation_um(thickness_um=found.thickness_um, length=length)
                assert needed <= deviation

    @pytest.mark.parametrize(("deviation", "length"), [(11, "local"), (14, "le10d"), (16, "le15d")])
    def test_too_small_for_any(self, deviation: int, length: Any) -> None:
        assert thickness_that_fits_um(deviation_um=deviation, length=length).thickness_um == 0.0

    def test_printed_departure_is_told(self) -> None:
        """g at P 1, lengths over 5 to 10 diameters: 3 in print, 5 by the rule."""
        trail = Trail(steps=[])
        found = thickness_that_fits_um(deviation_um=26, length="le10d", trail=trail)
        assert found.departs_from_rule
        assert trail.steps is not None
        assert "as printed" in trail.steps[0].formula

    @pytest.mark.parametrize(
        ("length", "group"),
        [(None, "local"), (50.0, "le5d"), (50.01, "le10d"), (100.0, "le10d"), (150.0, "le15d")],
    )
    def test_groups(self, length: float | None, group: str) -> None:
        assert length_group(coated_length_mm=length, nominal_diameter_mm=10.0) == group

    def test_bad_input(self) -> None:
        with pytest.raises(OutOfRangeError):
            length_group(coated_length_mm=0.0, nominal_diameter_mm=10.0)
        with pytest.raises(OutOfRangeError):
            thickness_that_fits_um(deviation_um=-1, length="local")
        with pytest.raises(OutOfRangeError):
            smallest_deviation_um(thickness_um=0.0, length="local")
